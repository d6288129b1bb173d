// Nothing typed is lost: a form marked data-keep asks before the page is left, and the press that stores it is taken once.
export function startLeaving(doc) {
  const touched = new Set();
  doc.addEventListener("input", (event) => {
    const form = event.target.closest?.("form[data-keep]");
    if (form) touched.add(form);
  });
  doc.addEventListener("submit", (event) => {
    touched.delete(event.target);
    const button = event.submitter;
    if (!button || event.target.hasAttribute("data-many") || event.defaultPrevented) return;
    // After the press is sent, not before: a disabled button would send no value.
    setTimeout(() => { button.disabled = true; }, 0);
    addEventListener("pageshow", () => { button.disabled = false; }, { once: true });
    setTimeout(() => { button.disabled = false; }, 8000);
  });
  doc.addEventListener("htmx:afterRequest", (event) => {
    if (event.detail.successful) touched.delete(event.target.closest?.("form"));
  });
  addEventListener("beforeunload", (event) => {
    for (const form of touched) if (!form.isConnected) touched.delete(form);
    if (touched.size) event.preventDefault();
  });
}
