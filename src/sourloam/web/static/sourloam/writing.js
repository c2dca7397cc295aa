// A form becomes an entry with its own id and time, is kept on the device, then sent.
import { freshId } from "./ids.js";
import { canKeep, get, put } from "./queue.js";
import { moment } from "./moments.js";
import { numberOf, step } from "./numbers.js";
import { changed, sendAll } from "./sending.js";
import { shrunk } from "./photos.js";
import { anew, hold, release, showDone } from "./anew.js";
import { say, tell } from "./saying.js";

const APART = new Set(["csrfmiddlewaretoken", "at", "supersedes", "file", "next"]);
const isApart = (name) => APART.has(name) || name.endsWith("-way") || name.endsWith("-n");
const slug = (text) => text.normalize("NFKD").replace(/[^\x00-\x7f]/g, "").toLowerCase().replace(/[^a-z0-9_]+/g, "-").replace(/^[-_]+|[-_]+$/g, "").slice(0, 64);

function place(body, path, value) {
  const keys = path.split(".");
  const last = keys.pop();
  let at = body;
  for (const key of keys) at = at[key] ??= {};
  at[last] = value;
}

// A field's name says where its value goes and what it is: "volume_ml:n1", "signs:list".
function read(body, name, text) {
  const [path, sort = ""] = name.split(":");
  if (text === "") return;
  if (sort === "json") Object.assign(body, JSON.parse(text));
  else if (sort === "slug") place(body, path, slug(text));
  else if (sort === "new") place(body, path, `${text}-${freshId().slice(0, 8)}`);
  else if (sort === "list") (body[path] ??= []).push(text);
  else if (sort === "f") place(body, path, Math.round(((numberOf(text) - 32) / 1.8) * 1e6) / 1e6);
  else if (sort.startsWith("n")) place(body, path, Number((numberOf(text) * Number(sort.slice(1))).toPrecision(9)));
  else place(body, path, text);
}

function amountOf(data, what) {
  const way = data.get(`${what}-way`), many = numberOf(data.get(`${what}-n`));
  if (way.startsWith("measure=")) return { measure: way.slice(8), count: many };
  const [key, sort] = way.split(":");
  return { [key]: Number((many * Number(sort.slice(1))).toPrecision(9)) };
}

function entryOf(form) {
  const data = new FormData(form), body = {}, now = new Date().toISOString();
  for (const [name, value] of data) if (!isApart(name) && typeof value === "string") read(body, name, value.trim());
  if (data.get("amount-n")) body.amount = amountOf(data, "amount");
  if (data.get("size-n")) Object.assign(body, amountOf(data, "size"));
  const at = data.getAll("at").filter(Boolean).pop();
  const entry = {
    id: freshId(), place: form.dataset.place, kind: form.dataset.entry,
    at: at ? moment(at, form.dataset.zone) : now, written_at: now, body,
  };
  if (data.get("supersedes")) entry.supersedes = data.get("supersedes");
  return entry;
}

async function write(form) {
  const entry = entryOf(form);
  const word = form.closest(".verbs details")?.querySelector("summary")?.textContent.trim();
  const done = form.closest("[data-slip]"), slip = done?.dataset.slip;
  const { person } = document.body.dataset, { zone } = form.dataset;
  const item = { id: entry.id, person, state: "waiting", entry, zone, slip, said: word || done?.querySelector(".what")?.textContent.trim() || entry.kind };
  const file = form.querySelector('input[type="file"]')?.files[0];
  if (file) item.photo = await shrunk(file);
  try { await put(item); } catch { return form.submit(); } // nothing can be kept: post it
  hold(slip);
  showDone();
  await Promise.race([sendAll(), new Promise((done) => setTimeout(done, 4000))]);
  const left = await get(entry.id);
  if (left?.state === "refused") release(slip);
  settle(form, left);
}

function settle(form, left) {
  const say_ = document.body.dataset;
  changed();
  if (left?.state === "refused") return say(`${say_.sayRefused}: ${left.why}`);
  if (!left && !("stay" in form.dataset)) {
    sessionStorage.setItem("sourloam-said", say_.saySaved);
    return goTo(new URL(form.dataset.then ?? location.pathname + location.search, location.href));
  }
  say(left ? say_.sayKept : say_.saySaved);
  form.reset();
  const verb = form.closest(".verbs > details"), within = verb?.contains(document.activeElement);
  if (verb) verb.open = false;
  if (within) verb.querySelector("summary").focus();
  if (!left) anew();
}

// To a place in the same page no browser goes by loading it anew.
function goTo(address) {
  const here = address.hash && address.pathname === location.pathname && address.search === location.search;
  location.assign(address);
  if (here) location.reload();
}

async function onSubmit(event) {
  const form = event.target;
  if (!form.matches("form[data-entry]") || !canKeep) return;
  event.preventDefault();
  if (form.ariaBusy) return; // a button that is switched off would lose the focus
  form.ariaBusy = "true";
  try { await write(form); } catch (error) { say(error.message); } finally { form.ariaBusy = null; }
}

// A step that can't be taken back is asked for twice; who turns to something else is asked anew.
function askOnceMore(button) {
  const sure = document.body.dataset.saySure, words = [...button.childNodes], { ariaLabel } = button;
  const asked = `${sure} ${ariaLabel ?? button.textContent}`;
  button.dataset.asked = "1";
  button.textContent = sure;
  button.ariaLabel = asked;
  tell(asked);
  button.addEventListener("blur", () => {
    delete button.dataset.asked;
    button.replaceChildren(...words);
    button.ariaLabel = ariaLabel;
  }, { once: true });
}

function onClick(event) {
  const button = event.target.closest("button");
  if (!button) return;
  if (button.dataset.step) {
    step(button.parentElement.querySelector("input"), Number(button.dataset.step));
  } else if ("sure" in button.dataset && !button.dataset.asked) {
    event.preventDefault();
    askOnceMore(button);
  }
}

export function listenToForms() {
  document.addEventListener("submit", onSubmit);
  document.addEventListener("click", onClick);
  document.querySelector("form[data-leave]")?.addEventListener("submit", () => {
    globalThis.caches?.delete("sourloam-pages");
    localStorage.removeItem("sourloam-kept");
  });
  const said = sessionStorage.getItem("sourloam-said");
  if (said) { sessionStorage.removeItem("sourloam-said"); say(said); }
}
