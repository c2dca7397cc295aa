// Set-up answers while the sliders move.
import { written } from "./numbers.js";
import { tell } from "./saying.js";

let timer, asked = 0;

async function ask(form) {
  const box = document.getElementById("answer"), mine = ++asked;
  box.setAttribute("aria-busy", "true");
  setTimeout(() => box.querySelector("[data-late]")?.removeAttribute("hidden"), 3000);
  try {
    const reply = await fetch(form.dataset.answer, { method: "POST", body: new FormData(form), credentials: "same-origin" });
    const text = await reply.text();
    if (mine !== asked || !reply.ok) return;
    box.replaceChildren(document.createRange().createContextualFragment(text));
    const sentence = box.querySelector(".answer:not([data-ask])");
    if (sentence) tell(sentence.textContent); // the drawing and the figures are there to be looked up
    suggest(form, box.querySelector("[data-needed]")?.dataset.needed);
  } catch { /* no signal: the last answer stays */ } finally {
    if (mine === asked) box.removeAttribute("aria-busy");
  }
}

// So many vessels as the answer says, until somebody chooses a number.
function suggest(form, needed) {
  const field = form.elements.stand;
  if (field && needed && !field.dataset.chosen) field.value = needed;
}

function beside(slider) {
  const { unit, times, plus, digits } = slider.dataset;
  const said = Number((slider.value * times + Number(plus)).toFixed(Number(digits)));
  return `${written(said)} ${unit}`.trim();
}

export function listenToSetup() {
  const form = document.getElementById("setup"), zone = document.getElementById("zone");
  if (zone) zone.value = Intl.DateTimeFormat().resolvedOptions().timeZone;
  if (form?.querySelector("[data-ask]")) ask(form);
  form?.querySelector("[data-unscripted]")?.remove();
  form?.querySelector(".stepper")?.addEventListener("click", () => { form.elements.stand.dataset.chosen = "1"; });
  form?.addEventListener("input", (event) => {
    const slider = event.target;
    if (slider.type === "range") {
      slider.setAttribute("aria-valuetext", beside(slider));
      form.querySelector(`output[for="${slider.id}"]`).textContent = beside(slider);
    }
    if (slider.name === "stand") slider.dataset.chosen = "1";
    if (slider.name === "name" || slider.name === "stand") return;
    clearTimeout(timer);
    timer = setTimeout(() => ask(form), 180);
  });
}
