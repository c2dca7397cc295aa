// What every page of a signed-in person runs: send what waits, write down, keep pages for later.
import { all } from "./queue.js";
import { sendAll, onChange } from "./sending.js";
import { listenToForms } from "./writing.js";
import { showWaiting } from "./waiting.js";
import { listenToNumbers } from "./numbers.js";
import { listenToSetup } from "./setup.js";
import { offerClock } from "./moments.js";
import { showUnderWay } from "./under-way.js";
import { anew, showDone } from "./anew.js";
import { tell, tellNotes } from "./saying.js";
import { stand } from "./focus.js";

const body = document.body;

async function showSignal() {
  const mine = (await all()).filter((item) => item.person === body.dataset.person);
  const refused = mine.filter((item) => item.state === "refused").length;
  const button = document.getElementById("signal");
  if (!button) return;
  button.hidden = mine.length === 0;
  button.dataset.state = refused ? "refused" : "waiting";
  const say = body.dataset;
  button.textContent = refused
    ? `${refused} ${say.sayRefused}`
    : `${mine.length} ${button.dataset.signin ? say.saySignin : say.sayWaiting}`;
}

function keepForLater() {
  const last = Number(localStorage.getItem("sourloam-kept") || 0);
  const links = [...document.querySelectorAll("a[data-keep]")].slice(0, 30).map((a) => a.href);
  if (!links.length || Date.now() - last < 20 * 60 * 1000) return;
  navigator.serviceWorker.ready.then((registration) => {
    registration.active.postMessage({ keep: [location.href, ...links] });
    localStorage.setItem("sourloam-kept", String(Date.now()));
  });
}

function openByHash() {
  const target = location.hash && document.getElementById(location.hash.slice(1));
  if (target instanceof HTMLDetailsElement) {
    for (let at = target; at; at = at.parentElement.closest("details")) at.open = true;
    target.scrollIntoView({ block: "start" });
    stand(target.querySelector("summary"), { preventScroll: true });
  }
}

// A form that opens below the edge of a small screen comes up to be seen.
function bringIntoSight(event) {
  const opened = event.target;
  if (!opened.matches?.(".verbs > details[open]")) return;
  if (opened.getBoundingClientRect().bottom > innerHeight) opened.scrollIntoView({ block: "start" });
}

// A place that is opened among many comes up, so that its work lies under the thumb.
function bringUp(event) {
  const summary = event.target.closest("details.house > summary");
  if (summary && !summary.parentElement.open) setTimeout(() => summary.scrollIntoView({ block: "start" }), 0);
}

// What is still being reckoned is looked for again.
const LOOK_MS = 4000;
async function lookAgain() {
  if (document.querySelector("[data-again]") && !document.hidden) {
    await anew();
    if (!document.querySelector("[data-again]")) tell(document.querySelector("main h1").textContent);
  }
  setTimeout(lookAgain, LOOK_MS);
}

async function sendLater() {
  if (await sendAll()) anew();
}

if ("serviceWorker" in navigator) {
  navigator.serviceWorker.register(body.dataset.worker, { scope: "/" }).catch(() => {});
  if (!location.search) keepForLater();
}
document.addEventListener("toggle", bringIntoSight, true);
document.addEventListener("click", bringUp);
listenToForms();
listenToNumbers();
listenToSetup();
offerClock();
showUnderWay();
tellNotes();
openByHash();
window.addEventListener("load", () => setTimeout(openByHash)); // the browser's own way there lets go of the focus
window.addEventListener("hashchange", openByHash);
setTimeout(lookAgain, LOOK_MS);
onChange(() => { showSignal(); showWaiting(); showDone(); });
document.getElementById("signal")?.addEventListener("click", sendLater);
window.addEventListener("online", sendLater);
document.addEventListener("visibilitychange", () => { if (!document.hidden) sendLater(); });
setInterval(sendLater, 30000);
sendLater();
