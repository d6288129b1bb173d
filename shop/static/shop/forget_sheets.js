// Whoever leaves takes along what was kept of the work on this phone. What is not sent yet stays: it is theirs, under their name.
const OURS = "floor-";

async function forgetSheets() {
  if (!("caches" in window)) return;
  for (const name of await caches.keys()) if (name.startsWith(OURS)) await caches.delete(name);
}

export function startForgetting(doc) {
  if (doc.querySelector("[data-logged-out]")) forgetSheets();
  doc.addEventListener("submit", (event) => {
    if (event.target.matches?.("form[data-log-out]")) forgetSheets();
  }, { capture: true });
}
