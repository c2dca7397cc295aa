// A time typed by the clock of a place, on a phone whose own clock may be another.
const DAY = 24 * 3600 * 1000;

function ahead(instant, zone) {
  const parts = new Intl.DateTimeFormat("en", {
    timeZone: zone, hourCycle: "h23", year: "numeric", month: "numeric", day: "numeric",
    hour: "numeric", minute: "numeric", second: "numeric",
  }).formatToParts(instant);
  const at = Object.fromEntries(parts.map(({ type, value }) => [type, Number(value)]));
  return Date.UTC(at.year, at.month - 1, at.day, at.hour, at.minute, at.second) - instant;
}

// Of an hour that comes twice the first is meant, of one that is left out the clock before it.
function instantIn(zone, text) {
  const wall = Date.parse(`${text}Z`);
  const before = wall - ahead(wall - DAY, zone), after = wall - ahead(wall + DAY, zone);
  const fits = (instant) => instant + ahead(instant, zone) === wall;
  return new Date(fits(before) || !fits(after) ? before : after);
}

// What a correction brings along says its zone and stays to the last digit.
export function moment(text, zone) {
  if (/(Z|[+-]\d\d:\d\d)$/.test(text)) return text;
  try { return instantIn(zone, text).toISOString(); }
  catch { return new Date(text).toISOString(); } // a clock that this phone does not know
}

// Where a place's clock is chosen, the clock of this device is offered first.
export function offerClock() {
  const button = document.querySelector("[data-clock]"), field = document.getElementById("place-zone");
  const here = Intl.DateTimeFormat().resolvedOptions().timeZone;
  if (!button || !here || field.value === here) return;
  button.textContent = button.dataset.clock.replace("{zone}", here);
  button.hidden = false;
  button.addEventListener("click", () => { field.value = here; button.hidden = true; });
}
