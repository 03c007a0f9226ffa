// Small comforts; every page works without them.
"use strict";
document.addEventListener("keydown", (event) => {
  const typing = /^(input|textarea|select)$/i.test(event.target.tagName) || event.target.isContentEditable;
  if (event.key === "/" && !typing && !event.ctrlKey && !event.metaKey && !event.altKey) {
    const find = document.querySelector("[data-slash-focus]");
    if (find) { event.preventDefault(); find.focus(); find.select(); }
  }
});
// A form sent twice by an impatient double click is sent once.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post" || event.defaultPrevented) return;
  if (form.dataset.sent) { event.preventDefault(); return; }
  form.dataset.sent = "yes";
  window.addEventListener("pageshow", () => { delete form.dataset.sent; }, { once: true });
  setTimeout(() => { delete form.dataset.sent; }, 4000);
});
// After a form came back with an error, the first field in question gets the cursor.
document.addEventListener("DOMContentLoaded", () => {
  const wrong = document.querySelector("[aria-invalid=true]");
  if (wrong) {
    const details = wrong.closest("details");
    if (details) details.open = true;
    wrong.focus();
  }
});
