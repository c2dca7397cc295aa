// After something was written down a page says what is so now: at once, without asking, by leaving
// out what was done here; then, with signal, as the server tells it.
import { all } from "./queue.js";
import { showWaiting } from "./waiting.js";
import { held, leave } from "./focus.js";

const done = new Set(); // slips that were done here and still stand on the page

export function hold(slip) { if (slip) done.add(slip); }
export function release(slip) { done.delete(slip); }

const isGone = (slip) => "done" in slip.dataset && !slip.querySelector(".then:not([data-done])");

export async function showDone() {
  const at = document.activeElement?.closest(".slip");
  const { person } = document.body.dataset;
  const waiting = (await all()).filter((item) => item.person === person && item.state === "waiting");
  const away = new Set([...done, ...waiting.map((item) => item.slip)]);
  for (const one of document.querySelectorAll("[data-slip]")) one.toggleAttribute("data-done", away.has(one.dataset.slip));
  const gone = [...document.querySelectorAll(".slip")].filter(isGone);
  const names = new Set(gone.map((slip) => slip.dataset.slip));
  for (const tag of document.querySelectorAll(".tag[data-of]")) tag.hidden = names.has(tag.dataset.of);
  for (const line of document.querySelectorAll("[data-fewer]")) {
    const words = JSON.parse(line.dataset.fewer), within = line.closest("details, main");
    const fewer = gone.filter((slip) => within.contains(slip)).length;
    line.textContent = words[Math.min(fewer, words.length - 1)];
  }
  if (at && isGone(at)) leave(at);
}

// What somebody has begun to write must not be lost under the hand.
function isWriting(main) {
  if (document.activeElement?.matches("main :is(input, select, textarea)")) return true;
  const touched = (field) => field.type === "checkbox" || field.type === "radio" ? field.checked !== field.defaultChecked
    : field.options ? field.selectedIndex !== Math.max(0, [...field.options].findIndex((one) => one.defaultSelected))
    : field.type !== "hidden" && field.value !== field.defaultValue;
  return [...main.querySelectorAll("input, select, textarea")].some(touched);
}

function nameOf(part) {
  const above = part.parentElement?.closest("details");
  const own = part.id || (part.querySelector("summary b") ?? part.querySelector("summary"))?.textContent;
  return `${above ? nameOf(above) : ""}/${own}`;
}

// As the server told it: what scripts did since, and the marks that forms carry, is not in it.
const told = (main) => main.innerHTML.replace(/name="csrfmiddlewaretoken" value="\w+"/g, "");
let last = told(document.getElementById("main"));

async function renew() {
  const known = [...done];
  const reply = await fetch(location.href.split("#")[0], { credentials: "same-origin", headers: { Accept: "text/html" } });
  if (!reply.ok || reply.redirected) return;
  const made = new DOMParser().parseFromString(await reply.text(), "text/html").getElementById("main");
  const main = document.getElementById("main");
  if (!made || isWriting(main)) return;
  const now = told(made);
  if (now === last && !known.length) return;
  last = now;
  const find = held(main);
  const stood = new Map([...main.querySelectorAll("details")].map((part) => [nameOf(part), part.open]));
  main.replaceChildren(...made.childNodes);
  for (const part of main.querySelectorAll("details")) part.open = stood.get(nameOf(part)) ?? part.open;
  known.forEach(release);
  await Promise.all([showDone(), showWaiting()]);
  find();
}

let turn = Promise.resolve();
export function anew() {
  turn = turn.then(renew).catch(() => {}); // no signal: the page stays as it is
  return turn;
}
