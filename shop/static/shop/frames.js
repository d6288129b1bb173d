// A frame that scrolls inside itself can be reached and scrolled by keyboard, and only while it does.
const FRAMES = ".drawing, .table-frame";

function reach(frame) {
  if (frame.dataset.reach === "always") return;
  const scrolls = frame.scrollWidth > frame.clientWidth + 1 || frame.scrollHeight > frame.clientHeight + 1;
  if (scrolls) frame.tabIndex = 0;
  else frame.removeAttribute("tabindex");
}

export function startFrames(doc) {
  const watcher = new ResizeObserver((entries) => entries.forEach((entry) => reach(entry.target)));
  const watch = (root) => root.querySelectorAll?.(FRAMES).forEach((frame) => watcher.observe(frame));
  watch(doc);
  doc.addEventListener("htmx:load", (event) => watch(event.detail.elt.parentElement ?? event.detail.elt));
}
