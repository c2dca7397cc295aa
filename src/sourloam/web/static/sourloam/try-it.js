// Two vessels answer while sliders move; the days are played from drawings that come once.
import { step } from "./numbers.js";
import { say } from "./saying.js";

const form = document.getElementById("try"), day = document.getElementById("day"), play = document.getElementById("play");
const movers = document.getElementById("moves");
const still = matchMedia("(prefers-reduced-motion: reduce)");
const PAUSE = 220, STEP = 170, LONG_STEP = 1500, WEEK = 7;
let timer, asked = 0, ticking, frames, framesOf = "";

function query(without = []) {
  const data = new FormData(form), said = new URLSearchParams();
  for (const [name, value] of data) {
    const field = form.elements[name];
    if (without.includes(name)) continue;
    if (name === "body" ? value !== "pail" : value !== field.dataset.usual) said.append(name, value);
  }
  return said;
}

function place(html) {
  const parts = document.createRange().createContextualFragment(html);
  for (const part of parts.querySelectorAll("[data-into]")) document.getElementById(part.dataset.into).replaceChildren(...part.childNodes);
}

async function ask() {
  const mine = ++asked;
  form.setAttribute("aria-busy", "true");
  try {
    const reply = await fetch(`${form.dataset.answer}?${query()}`, { credentials: "same-origin" });
    if (mine !== asked) return;
    if (reply.status === 429) { setTimeout(() => { if (mine === asked) ask(); }, 1000 * Number(reply.headers.get("Retry-After") ?? 1)); return; }
    const open = form.querySelector("#try-facts details")?.open;
    place(await reply.text());
    if (open) form.querySelector("#try-facts details").open = true;
    history.replaceState(null, "", address());
    mark();
    if (movers.open) askMovers();
  } catch { say(form.dataset.sayGone); } finally { if (mine === asked) form.removeAttribute("aria-busy"); }
}

// What moves A most is asked for only by whoever opens it, and again only when A changed.
async function askMovers() {
  const said = query(["day"]), box = document.getElementById("try-moves");
  for (const name of [...said.keys()]) if (name.startsWith("b_")) said.delete(name);
  if (movers.dataset.of === said.toString()) return;
  movers.dataset.of = said.toString();
  box.setAttribute("aria-busy", "true");
  try {
    const reply = await fetch(`${movers.dataset.from}?${said}`, { credentials: "same-origin" });
    box.innerHTML = await reply.text();
    if (!reply.ok) delete movers.dataset.of;
  } catch { delete movers.dataset.of; } finally { box.removeAttribute("aria-busy"); }
}

// An address that says nothing would open the page with its own difference.
function address() {
  const said = query();
  if (![...said.keys()].some((name) => name !== "units")) said.set("day", day.value);
  return `?${said}`;
}

// The ready-made comparison that stands now keeps its mark.
function mark() {
  const here = new URLSearchParams(query(["day"])).toString();
  for (const link of form.querySelectorAll("a[href^='?']")) {
    const there = new URLSearchParams(link.getAttribute("href"));
    there.delete("day");
    if (there.toString() === here && here) link.setAttribute("aria-current", "true");
    else link.removeAttribute("aria-current");
  }
}

async function fetchFrames() {
  const wanted = query(["day"]).toString();
  if (wanted === framesOf && frames) return frames;
  const reply = await fetch(`${form.dataset.frames}?${wanted}`, { credentials: "same-origin" });
  if (!reply.ok) throw new Error(reply.status);
  frames = await reply.json();
  framesOf = wanted;
  return frames;
}

function show(made, number) {
  for (const side of ["a", "b"]) {
    const stand = form.querySelector(`.stand[data-side="${side}"]`), frame = made[side][number - 1];
    if (!stand || !frame) continue;
    stand.querySelector(".scene").innerHTML = frame.svg;
    stand.querySelector("figcaption").textContent = frame.line;
  }
}

function told(number) {
  document.getElementById("day-said").textContent = number;
  day.setAttribute("aria-valuetext", `${day.dataset.word} ${number}`);
  const pair = form.querySelector(".pair");
  if (!pair) return;
  const moved = (number - Number(pair.dataset.drawn)) * Number(pair.dataset.px);
  for (const line of pair.querySelectorAll(".d-today")) {
    line.setAttribute("transform", `translate(${moved} 0)`);
    const word = line.nextElementSibling;
    word.setAttribute("transform", `translate(${moved} 0)`);
    word.textContent = word.textContent.replace(/\d+/, number);
  }
}

async function toDay(number) {
  told(number);
  try {
    const made = await fetchFrames();
    if (Number(day.value) === number) show(made, number);
  } catch { say(form.dataset.sayBusy); }
}

function stop() {
  clearInterval(ticking);
  ticking = undefined;
  play.setAttribute("aria-pressed", "false");
  play.lastElementChild.textContent = play.dataset.play;
  if (!form.hasAttribute("aria-busy")) history.replaceState(null, "", address());
}

async function start() {
  play.setAttribute("aria-pressed", "true");
  play.lastElementChild.textContent = play.dataset.pause;
  if (day.value === day.max) day.value = 1;
  try { await fetchFrames(); } catch { say(form.dataset.sayBusy); return stop(); }
  const stride = still.matches ? WEEK : 1;
  ticking = setInterval(() => {
    day.value = Math.min(Number(day.value) + stride, Number(day.max));
    toDay(Number(day.value));
    if (day.value === day.max) stop();
  }, still.matches ? LONG_STEP : STEP);
  toDay(Number(day.value));
}

function moved(field) {
  if (field.dataset.says) {
    const index = Math.round((field.value - field.min) / field.step), text = field.dataset.says.split("|")[index];
    field.setAttribute("aria-valuetext", text);
    form.querySelector(`output[for="${field.id}"]`).textContent = text;
  }
  const other = form.elements[(field.name[0] === "a" ? "b" : "a") + field.name.slice(1)];
  field.closest(".move")?.classList.toggle("differs", other && other.value !== field.value);
}

// The difference that the page opens with gives way to the first other thing that is moved.
function giveWay(field) {
  const own = form.elements[form.dataset.opening];
  delete form.dataset.opening;
  if (!own || field.name.slice(1) === own.name.slice(1)) return;
  own.value = own.dataset.usual;
  moved(own);
}

form.addEventListener("input", (event) => {
  const field = event.target;
  if (field === day) {
    if (ticking) stop();
    toDay(Number(day.value));
    clearTimeout(timer);
    timer = setTimeout(() => history.replaceState(null, "", address()), PAUSE);
    return;
  }
  giveWay(field);
  moved(field);
  if (ticking) stop();
  clearTimeout(timer);
  timer = setTimeout(ask, PAUSE);
});
form.addEventListener("click", ({ target }) => {
  const field = target.dataset.by && target.parentElement.querySelector("input");
  if (field) step(field, target.dataset.by * field.step);
});
movers.addEventListener("toggle", () => { if (movers.open) askMovers(); });
form.addEventListener("submit", (event) => { event.preventDefault(); ask(); });
play.addEventListener("click", () => (play.getAttribute("aria-pressed") === "true" ? stop() : start()));
play.hidden = false;
form.querySelector("[data-unscripted]")?.remove();
if (!movers.open) document.getElementById("try-moves").replaceChildren();
// The same trial in the other units, as it stands when the link is followed.
const units = document.getElementById("other-units");
units.addEventListener("click", () => {
  const said = new URLSearchParams(address());
  if (form.elements.units.value === "us") said.delete("units"); else said.set("units", "us");
  units.href = `?${said}`;
});
const share = document.getElementById("share");
if (navigator.clipboard) {
  share.hidden = false;
  share.addEventListener("click", async () => {
    await navigator.clipboard.writeText(new URL(address(), location.href).href);
    say(form.dataset.sayCopied);
  });
}
