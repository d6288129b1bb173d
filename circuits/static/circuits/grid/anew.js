// What a page says of its plan besides the grids, brought up to date once a grid has stored something.
// Parts marked [data-anew] are exchanged by their id; the other grids of the page take in their rows as stored.

const SOON_MS = 600;
let timer = null;

// `grids` are those of the page; `from` is the one that stored.
export function lookAgain(grids, from) {
  if (grids.length < 2 && !document.querySelector("[data-anew]")) return;
  clearTimeout(timer);
  timer = setTimeout(() => bring(grids, from), SOON_MS);
}

async function bring(grids, from) {
  let page;
  try {
    const response = await fetch(location.href, { redirect: "manual" });
    if (!response.ok) return;
    page = new DOMParser().parseFromString(await response.text(), "text/html");
  } catch {
    return; // it stays as it was; the next answer tries again
  }
  for (const part of document.querySelectorAll("[data-anew]")) {
    const now = page.getElementById(part.id);
    if (now) part.replaceChildren(...now.childNodes);
  }
  for (const grid of grids) {
    const told = page.getElementById(`grid-${grid.data.name}`);
    if (grid !== from && told) grid.store.bring(JSON.parse(told.textContent));
  }
}
