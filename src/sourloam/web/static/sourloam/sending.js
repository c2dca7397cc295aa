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
  await settle(item, answer.status, await line(answer));
  return false;
}

async function sendSome(items) {
  const text = JSON.stringify(items.map((item) => item.entry));
  const answer = await post(document.body.dataset.entries, text, { "Content-Type": "application/json" });
  if (!answer.ok) {
    const why = await line(answer);
    for (const item of items) await settle(item, answer.status, why);
    return;
  }
  const results = (await answer.json()).entries;
  for (const [place, item] of items.entries()) await settle(item, results[place].status, results[place].detail);
}

async function settle(item, status, why) {
  if (status === 200 || status === 201) return drop(item.id);
  const signal = document.getElementById("signal");
  if (status === 401) { if (signal) signal.dataset.signin = "1"; throw new Error("signed out"); }
  if (status >= 500 || status === 429 || status === 408) throw new Error("later");
  return put({ ...item, state: "refused", why });
}

async function line(answer) {
  try { return (await answer.json()).detail; } catch { return String(answer.status); }
}
