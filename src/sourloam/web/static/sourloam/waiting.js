// Shows what waits on this device: on a vessel's page its own, under Settings all of it.
import { all, drop } from "./queue.js";
import { changed, sendAgain, sendWithoutPhoto } from "./sending.js";

function button(word, act) {
  const made = document.createElement("button");
  made.className = "plain";
  made.textContent = word;
  made.addEventListener("click", act);
  return made;
}

function zoneOf({ zone }) {
  try { return new Intl.DateTimeFormat("en", { timeZone: zone }).resolvedOptions().timeZone; }
  catch { return undefined; }
}

function row(item) {
  const say = document.body.dataset, line = document.createElement("li"), words = document.createElement("div");
  line.className = item.state === "refused" ? "conflict" : "waiting";
  const what = document.createElement("b"), when = document.createElement("span");
  what.textContent = item.said;
  when.className = "when";
  const time = new Date(item.entry.at).toLocaleString(document.documentElement.lang, { dateStyle: "medium", timeStyle: "short", timeZone: zoneOf(item) });
  when.textContent = ` ${time} · ${item.state === "refused" ? `${say.sayRefused}: ${item.why}` : say.sayWaiting}`;
  words.append(what, when);
  line.append(words);
  if (item.state === "refused") {
    if (item.photo) line.append(button(say.sayWithout, () => sendWithoutPhoto(item)));
    line.append(button(say.sayAgain, () => sendAgain(item)));
    line.append(button(say.sayDrop, () => drop(item.id).then(changed)));
  }
  return line;
}

export async function showWaiting() {
  const mine = (await all()).filter((item) => item.person === document.body.dataset.person);
  const here = document.getElementById("pending"), every = document.getElementById("waiting");
  if (here) {
    const about = (i) => i.entry.body.vessel === here.dataset.vessel && i.entry.place === here.dataset.place;
    here.replaceChildren(...mine.filter(about).map(row));
  }
  if (every) {
    every.replaceChildren(...mine.map(row));
    document.getElementById("waiting-none").hidden = mine.length > 0;
  }
}
