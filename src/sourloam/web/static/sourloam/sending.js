// Send what waits, oldest first. An entry leaves the queue only when the server has said so.
import { all, drop, put } from "./queue.js";

const AT_ONCE = 40;
const listeners = [];
export const onChange = (listener) => listeners.push(listener);
export const changed = () => listeners.forEach((listener) => listener());

const token = () => /(?:^|; )csrftoken=([^;]+)/.exec(document.cookie)?.[1] ?? "";
const post = (url, body, headers = {}) => fetch(url, {
  method: "POST", body, credentials: "same-origin", redirect: "error",
  headers: { "X-CSRFToken": token(), ...headers }, signal: AbortSignal.timeout(20000),
});

let running = null;
export function sendAll() {
  running ??= sendOnce().finally(() => { running = null; changed(); });
  return running;
}

async function sendOnce() {
  const guard = navigator.locks;
  if (!guard) return sendWaiting();
  return guard.request("sourloam-send", sendWaiting);
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
  const answer = await post(document.body.dataset.photos, form);
  if (answer.ok) {
    item.entry.body.photo = (await answer.json()).photo;
    delete item.photo;
    await put(item);
    return true;
  }
  await settle(item, await said(answer));
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
  if (status === 200 || status === 201) return drop(item.id);
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

export async function sendAgain(item) {
  await put({ ...item, state: "waiting" });
  await running;
  return sendAll();
}
