// The list under the search field: arrows walk through it, Escape leaves it. Without this file the field still searches.
"use strict";
document.addEventListener("DOMContentLoaded", () => {
  const field = document.getElementById("find");
  const list = document.getElementById("found");
  if (!field || !list) return;
  const box = field.closest("form");
  const links = () => [...list.querySelectorAll("a")];
  const close = () => { list.replaceChildren(); };
  box.addEventListener("keydown", (event) => {
    const all = links();
    if (event.key === "Escape" && all.length) { event.preventDefault(); close(); field.focus(); return; }
    if ((event.key !== "ArrowDown" && event.key !== "ArrowUp") || !all.length) return;
    event.preventDefault();
    const next = all.indexOf(document.activeElement) + (event.key === "ArrowDown" ? 1 : -1);
    (all[next] || field).focus();
  });
  // An answer that comes in after somebody went elsewhere opens nothing.
  list.addEventListener("htmx:beforeSwap", (event) => { if (!box.contains(document.activeElement)) event.detail.shouldSwap = false; });
  document.addEventListener("click", (event) => { if (!box.contains(event.target)) close(); });
  box.addEventListener("focusout", (event) => { if (event.relatedTarget && !box.contains(event.relatedTarget)) close(); });
});
