// Presses, ticks, readings and faults made at the vehicle: kept on this phone first, sent at once or when the network is back.
// Each carries a key, so that sent twice it counts once, and the time it was made. Without this file the forms post as usual.
import { load, keep, drop, setAside, aside, forget } from "./queue_store.js";
import { shrink, toBlob } from "./queue_photo.js";
import { showState } from "./queue_state.js";
import { startOffline } from "./offline.js";

const RETRY_MS = 15000;
const SETTLE_MS = 300;
let sending = false;
let settle = 0;
let trouble = "";

const user = () => document.querySelector("[data-queue-user]")?.dataset.queueUser ?? "";
const newKey = () => [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
const token = () => document.querySelector("[name=csrfmiddlewaretoken]")?.value ?? "";

function draw() {
  showState({ mine: load(user()), aside: aside(user()), trouble, onForget: (key) => { forget(key); draw(); } });
}

async function toItem(form, submitter) {
  const fields = [];
  let photo = null;
  for (const [name, value] of new FormData(form, submitter)) {
    if (name === "csrfmiddlewaretoken" || name === "key") continue;
    if (typeof value === "string") fields.push([name, value]);
    else if (value.size) photo = { name, file: value };
  }
  const words = submitter?.getAttribute("aria-label") || submitter?.textContent.trim() || "Act";
  return { key: newKey(), user: user(), url: form.action, fields, photo, made: Date.now(), kind: form.dataset.queue, words };
}

// What the page shows before the server has answered.
function showAtOnce(form, submitter) {
  if (form.dataset.queue === "tick") {
    const button = form.querySelector(".tick");
    const pressed = button.getAttribute("aria-pressed") !== "true";
    button.setAttribute("aria-pressed", pressed);
    form.elements.act.value = pressed ? "untick" : "tick";
    form.querySelector(".tick-by").textContent = pressed ? "kept on this phone" : "";
  }
  if (form.dataset.queue === "reading") {
    const said = form.closest(".check")?.querySelector(".check-said");
    const typed = form.elements.typed?.value || submitter?.textContent.trim();
    if (said) said.textContent = `${typed}, kept on this phone`;
    form.reset();
  }
}

async function post(item) {
  const body = new FormData();
  for (const [name, value] of item.fields) body.append(name, value);
  body.append("key", item.key);
  body.append("made_ms", item.made);
  body.append("sends_ms", Date.now());
  if (item.photo) body.append(item.photo.name, item.photo.file ?? toBlob(item.photo.url), "photo.jpg");
  return fetch(item.url, { method: "POST", body, headers: { "X-CSRFToken": token(), "X-Queued": "1" }, redirect: "manual", credentials: "same-origin" });
}

// One item: "sent", "later" (network, server), "refused", "log in".
async function send(item) {
  let answer;
  try {
    answer = await post(item);
  } catch {
    return { how: "later" };
  }
  if (answer.type === "opaqueredirect") return { how: "log in" };
  if (answer.ok) return { how: "sent", told: await answer.json().catch(() => ({})) };
  if (answer.status === 403) return { how: "log in" };
  if (answer.status >= 500 || answer.status === 429) return { how: "later" };
  const told = await answer.json().catch(() => ({}));
  return { how: "refused", told: { why: told.why ?? `The server answered ${answer.status}.` } };
}

async function flush() {
  if (sending) return;
  sending = true;
  trouble = "";
  let went = 0;
  let goTo = "";
  try {
    for (let item; (item = load(user())[0]);) {
      const { how, told } = await send(item);
      if (how === "later") { trouble = "network"; break; }
      if (how === "log in") { trouble = "log in"; break; }
      drop(item.key);
      if (how === "refused") setAside(item, told.why);
      else {
        went += 1;
        if (item.kind === "raise" && told.to) goTo = told.to;
      }
    }
  } finally {
    sending = false;
  }
  draw();
  if (goTo && !load(user()).length && !aside(user()).length) location.assign(goTo);
  else if (went) refreshSoon();
}

function refreshSoon() {
  clearTimeout(settle);
  settle = setTimeout(refresh, SETTLE_MS);
}

const isDirty = (field) => field.type !== "hidden" && field.value !== field.defaultValue;

// The page as the server now draws it; what is being typed stays.
async function refresh() {
  if (sending || load(user()).length) return;
  const answer = await fetch(location.href, { credentials: "same-origin", redirect: "manual" }).catch(() => null);
  if (!answer?.ok) return;
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
  const typing = [...document.querySelectorAll("main input:not([data-meter]), main textarea")].some(isDirty);
  const parts = typing ? [".battery", ".sheet-head .actions"] : ["main"];
  if (typing) document.querySelectorAll(".check[id]").forEach((line) => { if (![...line.querySelectorAll("input")].some(isDirty)) parts.push(`#${line.id}`); });
  const held = document.activeElement?.id;
  const open = [...document.querySelectorAll("details")].map((one) => one.open);
  for (const part of parts) {
    const [now, then] = [document.querySelector(part), fresh.querySelector(part)];
    if (now && then) now.replaceWith(document.adoptNode(then));
  }
  document.querySelectorAll("details").forEach((one, place) => { if (open[place]) one.open = true; });
  if (held) document.getElementById(held)?.focus({ preventScroll: true });
  draw();
}

// A full phone keeps the words at least.
function keepWhatFits(item) {
  if (keep(item)) return true;
  if (!item.photo) return false;
  item.photo = null;
  item.words += " without its photo, there is no room for it";
  return keep(item);
}

async function take(form, submitter) {
  if (form.dataset.busy) return;
  form.dataset.busy = "1";
  try {
    const item = await toItem(form, submitter);
    if (item.photo) item.photo = { name: item.photo.name, url: await shrink(item.photo.file) };
    if (!keepWhatFits(item)) {
      form.removeAttribute("data-queue");
      form.requestSubmit(submitter);
      return;
    }
    form.dispatchEvent(new CustomEvent("queued", { bubbles: true }));
    showAtOnce(form, submitter);
    draw();
    await flush();
  } finally {
    delete form.dataset.busy;
  }
}

document.addEventListener("submit", (event) => {
  const form = event.target.closest?.("form[data-queue]");
  if (!form || event.defaultPrevented) return;
  event.preventDefault();
  take(form, event.submitter);
}, { capture: true });

document.addEventListener("input", (event) => {
  if (!event.target.matches?.("[data-meter]")) return;
  document.querySelectorAll("[data-meter-copy]").forEach((copy) => { copy.value = event.target.value; });
});

addEventListener("online", flush);
document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") flush(); });
setInterval(() => { if (load(user()).length) flush(); }, RETRY_MS);
draw();
startOffline();
if (load(user()).length) flush();
