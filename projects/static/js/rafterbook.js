// Small comforts; every page works without them.
"use strict";
document.addEventListener("keydown", (event) => {
  const typing = /^(input|textarea|select)$/i.test(event.target.tagName) || event.target.isContentEditable;
  if (event.key === "/" && !typing && !event.ctrlKey && !event.metaKey && !event.altKey) {
    const find = document.querySelector("[data-slash-focus]");
    if (find) { event.preventDefault(); find.focus(); find.select(); }
  }
});
// A form sent twice by an impatient double click is sent once, whether the browser or htmx sends it.
document.addEventListener("submit", (event) => {
  const { target: form, submitter } = event;
  const halt = () => { event.preventDefault(); event.stopImmediatePropagation(); };
  if (form.dataset.sent || form.dataset.asking) { halt(); return; }
  if (form.method !== "post" || navigator.onLine || form.hasAttribute("data-kept") || form.dataset.reached) return;
  halt();
  // A browser that calls itself offline may be wrong: the office's machine may stand in the same room, or be this one.
  form.dataset.asking = "yes";
  fetch("/worker.js", { method: "HEAD", cache: "no-store" }).then(() => true, () => false).then((reached) => {
    delete form.dataset.asking;
    if (!reached) { sayUnsent(form, UNSENT.line); return; }
    form.dataset.reached = "yes";
    form.requestSubmit(submitter);
    delete form.dataset.reached;
  });
}, true);
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post" || event.defaultPrevented) return;
  form.dataset.sent = "yes";
  window.addEventListener("pageshow", () => { delete form.dataset.sent; }, { once: true });
  setTimeout(() => { delete form.dataset.sent; }, 4000);
});
document.addEventListener("htmx:beforeRequest", (event) => {
  if (event.detail.elt.matches("form[method=post]")) event.detail.elt.dataset.sent = "yes";
});
document.addEventListener("htmx:afterRequest", (event) => {
  const { elt, xhr } = event.detail;
  if (!xhr?.getResponseHeader("HX-Redirect")) delete elt.dataset.sent; // where it leads on, the page is leaving
});
// What did not go through is said where it was typed, and stays typed.
const UNSENT = document.documentElement.lang === "es" ? {
  line: "No se envió: no hay conexión. Lo que escribió sigue aquí; inténtelo otra vez cuando la haya.",
  old: "No se guardó: esta página es demasiado antigua. Copie lo que escribió y cargue la página otra vez.",
  fault: "No se guardó: algo falló de nuestra parte. Lo que escribió sigue aquí.",
} : {
  line: "Not sent: there is no connection. What you typed is still here; press again once there is one.",
  old: "Not kept: you were signed out, or this page is too old. Copy what you typed, then load the page again.",
  fault: "Not kept: something went wrong on our side. What you typed is still here.",
};
function sayUnsent(form, words) {
  form.querySelector(".unsent")?.remove();
  const note = document.createElement("p");
  note.className = "caution unsent";
  note.setAttribute("role", "alert");
  note.textContent = words;
  form.append(note);
  note.scrollIntoView({ block: "nearest" });
}
const ofForm = (event) => (event.detail.elt.matches("form[method=post]") ? event.detail.elt : null);
for (const name of ["htmx:sendError", "htmx:timeout"]) {
  document.addEventListener(name, (event) => { if (ofForm(event)) sayUnsent(ofForm(event), UNSENT.line); });
}
document.addEventListener("htmx:beforeSwap", (event) => {
  const form = event.detail.requestConfig && ofForm({ detail: event.detail.requestConfig });
  const { status, responseURL } = event.detail.xhr;
  const signedOut = new URL(responseURL || "/", location).pathname.startsWith("/sign-in/");
  if (!form || (status < 400 && !signedOut) || status === 422) return;
  event.detail.shouldSwap = false;
  sayUnsent(form, status >= 500 ? UNSENT.fault : UNSENT.old);
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
