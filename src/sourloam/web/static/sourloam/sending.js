// Send what waits, oldest first. An entry leaves the queue only when the server has said so.
import { all, drop, put } from "./queue.js";

const AT_ONCE = 40;
const TOO_LARGE = 413; // said of a photo by a server on the way, it will say so again
const listeners = [];
export const onChange = (listener) => listeners.push(listener);
export const changed = () => listeners.forEach((listener) => listener());

const token = () => /(?:^|; )csrftoken=([^;]+)/.exec(document.cookie)?.[1] ?? "";
const PATIENCE = 20000, PATIENCE_WITH_PHOTO = 120000;
const post = (url, body, headers = {}, patience = PATIENCE) => fetch(url, {
  method: "POST", body, credentials: "same-origin", redirect: "error",
  headers: { "X-CSRFToken": token(), ...headers }, signal: AbortSignal.timeout(patience),
});

let running = null, arrived = 0;
// Resolves to how many entries arrived.
export function sendAll() {
  running ??= sendOnce().finally(() => { running = null; changed(); });
  return running;
}

async function sendOnce() {
  const guard = navigator.locks;
  arrived = 0;
  await (guard ? guard.request("sourloam-send", sendWaiting) : sendWaiting());
  if (arrived) keepAnew();
  return arrived;
}

// The copies that a phone holds for the shed are of before what was just sent.
function keepAnew() {
  const links = document.querySelectorAll(".lintel .mark, .sill a:first-child");
  const keep = [location.href.split("#")[0], ...[...links].map((link) => link.href)];
  navigator.serviceWorker?.controller?.postMessage({ keep: [...new Set(keep)] });
}

async function sendWaiting() {
  const person = document.body.dataset.person;
  const waiting = (await all()).filter((i) => i.person === person && i.state === "waiting");
  try {
    for (let start = 0; start < waiting.length; start += AT_ONCE) {
      const some = waiting.slice(start, start + AT_ONCE);
      const ready = [];
      for (const item of some) if (await withPhoto(item)) ready.push(item);
      if (ready.length) await sendSome(ready);
    }
  } catch { /* no signal: all stays where it is */ }
}

async function withPhoto(item) {
  if (!item.photo) return true;
  const form = new FormData();
  form.append("place", item.entry.place);
  form.append("file", item.photo, "photo.jpg");
  const answer = await post(document.body.dataset.photos, form, {}, PATIENCE_WITH_PHOTO);
  if (answer.ok) {
    item.entry.body.photo = (await answer.json()).photo;
    delete item.photo;
    await put(item);
    return true;
  }
  const word = await said(answer);
  if (answer.status === TOO_LARGE && !word) await put({ ...item, state: "refused", why: document.body.dataset.sayLarge });
  else await settle(item, word);
  return false;
}

async function sendSome(items) {
  const text = JSON.stringify(items.map((item) => item.entry));
  const answer = await post(document.body.dataset.entries, text, { "Content-Type": "application/json" });
  if (!answer.ok) {
    if (signedOut(await said(answer))) throw new Error("signed out");
    throw new Error("later");
  }
  const results = (await answer.json()).entries;
  for (const [place, item] of items.entries()) await settle(item, results[place]);
}

// Only the log's own word about this very entry refuses it; whatever else comes, it is sent again.
const LATER = new Set([401, 408, 429]);
async function settle(item, word) {
  const { status, detail } = word ?? {};
  if (status === 200 || status === 201) {
    arrived += 1;
    return drop(item.id);
  }
  if (signedOut(word)) throw new Error("signed out");
  if (status >= 400 && status < 500 && !LATER.has(status) && typeof detail === "string") {
    return put({ ...item, state: "refused", why: detail });
  }
}

function signedOut(word) {
  const signal = document.getElementById("signal");
  if (word?.status === 401 && signal) signal.dataset.signin = "1";
  return word?.status === 401;
}

// The log says its status in its answer too; a page of a proxy or of the door does not.
async function said(answer) {
  try {
    const word = await answer.json();
    return word.status === answer.status ? word : null;
  } catch { return null; }
}

// What the photo was to show is still worth a note.
export async function sendWithoutPhoto({ photo, ...item }) {
  const { photo: _name, ...body } = item.entry.body;
  const note = body.note || document.body.dataset.sayNoPhoto;
  await sendAgain({ ...item, entry: { ...item.entry, kind: "noted", body: { ...body, note } } });
}

export async function sendAgain(item) {
  await put({ ...item, state: "waiting" });
  await running;
  return sendAll();
}
