// Opens the sheets of the work without a network: packages, hours, ticks, check entry, as they were last seen. Only these are
// kept, by a list of what may be kept: nothing of money, customers or the shop, whatever else a page asks for. Leaving clears it.
const KEPT = "floor-1";
const SHEETS = /^\/jobs\/\d+\/(?:work\/(?:\d+\/)?|proof\/(?:\d+\/)?)$/;
const PARTS = /^\/static\/[\w./-]+\.(?:js|css|svg)$/;
const WAIT_MS = 4000;
const OLDEST_MS = 72 * 3600 * 1000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (SHEETS.test(url.pathname)) event.respondWith(sheet(event, url.pathname));
  else if (PARTS.test(url.pathname)) event.respondWith(part(event));
});

// The network first; what was kept where it is gone or takes too long.
async function sheet(event, path) {
  const kept = await keptSheet(path);
  const fresh = fetch(event.request).then((answer) => keepSheet(path, answer));
  event.waitUntil(fresh.catch(() => null));
  if (!kept) return fresh;
  const late = new Promise((resolve) => setTimeout(() => resolve(null), WAIT_MS));
  return (await Promise.race([fresh.catch(() => null), late])) ?? kept;
}

async function keepSheet(path, answer) {
  const cache = await caches.open(KEPT);
  if (answer.status === 200 && answer.type === "basic" && !answer.redirected) await cache.put(path, answer.clone());
  else if (answer.status < 500) await cache.delete(path); // gone, refused, or to the log-in
  return answer;
}

// A kept sheet says so of itself.
async function keptSheet(path) {
  const kept = await (await caches.open(KEPT)).match(path);
  if (!kept || !(Date.now() - Date.parse(kept.headers.get("Date")) < OLDEST_MS)) return null;
  const text = (await kept.text()).replace("<body ", "<body data-kept ");
  return new Response(text, { headers: { "Content-Type": "text/html; charset=utf-8", "X-Frame-Options": "DENY" } });
}

async function part(event) {
  const cache = await caches.open(KEPT);
  try {
    const answer = await fetch(event.request);
    if (answer.status === 200) await cache.put(event.request, answer.clone());
    return answer;
  } catch (error) {
    const kept = await cache.match(event.request, { ignoreVary: true });
    if (kept) return kept;
    throw error;
  }
}
