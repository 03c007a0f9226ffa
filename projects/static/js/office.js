// Opens the form of a fact inside the page. Without this file every button leads to the form's own small page.
"use strict";
document.addEventListener("htmx:beforeSwap", (event) => {
  // What the office got wrong comes back as 422 with the form: show it where it was typed.
  if (event.detail.xhr.status === 422) { event.detail.shouldSwap = true; event.detail.isError = false; }
});
document.addEventListener("htmx:afterSwap", (event) => {
  const slot = event.detail.target;
  if (!slot.classList.contains("slot")) return;
  const opener = event.detail.requestConfig.elt;
  if (opener.hasAttribute("data-opens")) {
    for (const other of document.querySelectorAll(".slot")) { if (other !== slot) other.replaceChildren(); }
    slot.opener = opener;
  }
  const first = slot.querySelector("[aria-invalid=true]") || slot.querySelector("input:not([type=hidden]), select, textarea, button");
  if (first) { first.focus(); slot.scrollIntoView({ block: "nearest" }); }
  offerCopying(slot);
});
function close(slot) {
  slot.replaceChildren();
  if (slot.opener) slot.opener.focus();
}
document.addEventListener("click", (event) => {
  const leave = event.target.closest(".slot [data-close]");
  if (leave) { event.preventDefault(); close(leave.closest(".slot")); return; }
  const copy = event.target.closest("[data-copy]");
  if (copy) {
    const source = document.getElementById(copy.dataset.copy);
    source.select();
    navigator.clipboard.writeText(source.value).then(() => { copy.textContent = "Copied"; });
  }
});
document.addEventListener("keydown", (event) => {
  const slot = event.key === "Escape" && event.target.closest(".slot");
  if (slot) close(slot);
});
function offerCopying(root) {
  if (!navigator.clipboard) return;
  for (const button of root.querySelectorAll("[data-copy]")) button.hidden = false;
}
document.addEventListener("DOMContentLoaded", () => offerCopying(document));
