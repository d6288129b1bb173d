// Light, dark, or as the device says: one button, the choice kept in a cookie so that the server draws it without a flash.
const ORDER = ["", "light", "dark"];
const WORDS = { "": "Auto", light: "Light", dark: "Dark" };
const SAID = { "": "Auto, as the device", light: "Light", dark: "Dark" };
const YEAR_S = 31536000;

function show(button, scheme) {
  const root = document.documentElement;
  if (scheme) root.dataset.scheme = scheme;
  else delete root.dataset.scheme;
  button.textContent = WORDS[scheme];
  button.setAttribute("aria-label", `Light or dark: ${SAID[scheme]}`);
}

export function startScheme(doc) {
  const button = doc.querySelector("[data-scheme-next]");
  if (!button) return;
  let scheme = doc.documentElement.dataset.scheme ?? "";
  show(button, scheme);
  button.hidden = false;
  button.addEventListener("click", () => {
    scheme = ORDER[(ORDER.indexOf(scheme) + 1) % ORDER.length];
    doc.cookie = `scheme=${scheme}; path=/; max-age=${scheme ? YEAR_S : 0}; samesite=lax`;
    show(button, scheme);
  });
}
