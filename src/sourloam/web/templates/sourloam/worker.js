// Keeps the shell, the shelf and the open vessels for a shed without signal.
const SHELL = "sourloam-shell-{{ version }}", PAGES = "sourloam-pages", OFFLINE = "{{ offline }}";
const PARTS = [{% for part in parts %}"{{ part }}", {% endfor %}OFFLINE];
const PATIENCE = 20000; // a slow answer is not a lost signal: so long, and only with a kept copy

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(SHELL).then((cache) => cache.addAll(PARTS)).then(() => self.skipWaiting()));
});
self.addEventListener("activate", (event) => {
  const old = (name) => name.startsWith("sourloam-shell-") && name !== SHELL;
  event.waitUntil(caches.keys().then((names) => Promise.all(names.filter(old).map((name) => caches.delete(name)))).then(() => self.clients.claim()));
});
self.addEventListener("fetch", (event) => {
  const { request } = event, url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (request.mode === "navigate") event.respondWith(page(request));
  else if (PARTS.includes(url.pathname)) event.respondWith(part(request));
});
self.addEventListener("message", (event) => {
  if (event.data.keep) event.waitUntil(keepAll(event.data.keep));
});

async function part(request) {
  return (await caches.match(request, { cacheName: SHELL })) ?? fetch(request);
}
async function page(request) {
  const kept = caches.match(request.url, { cacheName: PAGES, ignoreVary: true });
  const fresh = fetch(request).then(async (response) => { await remember(request.url, response); return response; });
  try {
    return (await Promise.race([fresh, afterPatience(kept)])) ?? (await fresh);
  } catch {
    return (await kept) ?? (await caches.match(OFFLINE, { cacheName: SHELL })) ?? Response.error();
  }
}
async function afterPatience(kept) {
  await new Promise((done) => setTimeout(done, PATIENCE));
  return kept;
}
async function remember(address, response) {
  if (!response.ok || response.redirected || response.headers.get("X-Keep") !== "1") return;
  const cache = await caches.open(PAGES);
  await cache.put(address.split("#")[0], response.clone());
}
async function keepAll(addresses) {
  for (const address of addresses) {
    try { await remember(address, await fetch(address, { credentials: "same-origin" })); } catch { return; }
  }
}
