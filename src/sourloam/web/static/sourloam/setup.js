// Set-up answers while the sliders move.
let timer, asked = 0;

async function ask(form) {
  const box = document.getElementById("answer"), mine = ++asked;
  box.setAttribute("aria-busy", "true");
  try {
    const reply = await fetch(form.dataset.answer, { method: "POST", body: new FormData(form), credentials: "same-origin" });
    const text = await reply.text();
    if (mine === asked && reply.ok) box.replaceChildren(document.createRange().createContextualFragment(text));
  } catch { /* no signal: the last answer stays */ } finally {
    if (mine === asked) box.removeAttribute("aria-busy");
  }
}

export function listenToSetup() {
  const form = document.getElementById("setup"), zone = document.getElementById("zone");
  if (zone) zone.value = Intl.DateTimeFormat().resolvedOptions().timeZone;
  if (form?.querySelector("[data-ask]")) ask(form);
  form?.addEventListener("input", (event) => {
    const slider = event.target;
    if (slider.type === "range") form.querySelector(`output[for="${slider.id}"]`).textContent = `${slider.value} ${slider.dataset.unit}`.trim();
    if (slider.name === "name") return;
    clearTimeout(timer);
    timer = setTimeout(() => ask(form), 180);
  });
}
