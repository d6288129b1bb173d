// Has the sheets of the work kept on this phone while there is a network, and says so on one that was kept.
const WORKER = "/jobs/floor-worker.js";
const SHEETS = /^\/jobs\/\d+\/(?:work\/(?:\d+\/)?|proof\/)$/;
const MOST = 40;
const QUIET_MS = 1500;
const AGAIN_MS = 30 * 60 * 1000;

export function startOffline() {
  sayKept();
  if (!("serviceWorker" in navigator) || !window.isSecureContext || document.body.hasAttribute("data-kept")) return;
  navigator.serviceWorker.register(WORKER, { scope: "/jobs/" }).catch(() => {});
  navigator.serviceWorker.ready.then(() => setTimeout(fetchAhead, QUIET_MS));
}

// What the next hours need: this sheet, the sheets it leads to, and what they are drawn with.
async function fetchAhead() {
  if (!navigator.serviceWorker.controller || !navigator.onLine) return;
  const parts = performance.getEntriesByType("resource").map((entry) => new URL(entry.name)).filter((url) => url.origin === location.origin && url.pathname.startsWith("/static/"));
  const links = [...document.querySelectorAll("a[href]")].map((link) => new URL(link.href)).filter((url) => url.origin === location.origin && SHEETS.test(url.pathname) && isDue(url.pathname));
  const wanted = new Set([location.pathname, ...parts.map((url) => url.pathname), ...links.map((url) => url.pathname)]);
  for (const path of [...wanted].slice(0, MOST)) {
    const answer = await fetch(path, { credentials: "same-origin" }).catch(() => null);
    if (!answer) return;
    await answer.arrayBuffer().catch(() => null);
    document.documentElement.dataset.fetchedAhead = path;
  }
  document.documentElement.dataset.fetchedAhead = "all";
}

function isDue(path) {
  const name = `loom-ahead ${path}`;
  if (Date.now() - Number(sessionStorage.getItem(name)) < AGAIN_MS) return false;
  sessionStorage.setItem(name, Date.now());
  return true;
}

function sayKept() {
  const drawn = document.body.dataset.drawn;
  const place = document.querySelector("[data-queue-state]");
  if (!place || !document.body.hasAttribute("data-kept")) return;
  const said = document.createElement("p");
  said.className = "message warning kept-note";
  said.textContent = `No network: this sheet is as it was on ${new Date(drawn).toLocaleString([], { dateStyle: "medium", timeStyle: "short" })}. What you press is kept and sent later.`;
  place.before(said);
}
