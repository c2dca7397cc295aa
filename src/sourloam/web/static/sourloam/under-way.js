// A page that takes long to come shows that it is under way: once put on the home screen, there is
// no browser around it that would.
const SLOW_MS = 700, FORGET_MS = 15000;
const timers = [];

function begin() {
  end();
  const main = document.getElementById("main");
  timers.push(setTimeout(() => main.setAttribute("aria-busy", "true"), SLOW_MS));
  timers.push(setTimeout(end, FORGET_MS)); // a file came that leaves the page where it is
}

function end() {
  while (timers.length) clearTimeout(timers.pop());
  document.getElementById("main").removeAttribute("aria-busy");
}

function leads(link) {
  if (!link || link.target || link.hasAttribute("download") || link.origin !== location.origin) return false;
  return !link.hash || link.pathname !== location.pathname || link.search !== location.search;
}

export function showUnderWay() {
  document.addEventListener("click", (event) => {
    const elsewhere = event.button || event.ctrlKey || event.metaKey || event.shiftKey;
    if (!event.defaultPrevented && !elsewhere && leads(event.target.closest("a[href]"))) begin();
  });
  document.addEventListener("submit", (event) => {
    queueMicrotask(() => { if (!event.defaultPrevented) begin(); }); // after all who may hold it back
  });
  window.addEventListener("pageshow", end);
}
