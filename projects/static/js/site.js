// The site assessment: shows a chosen photo before it is sent, asks before something is taken out, and leaves out what
// the chosen shape of a roof plane (or kind of obstruction) doesn't ask for.
"use strict";
document.addEventListener("change", (event) => {
  const preview = event.target.dataset && event.target.dataset.preview && document.getElementById(event.target.dataset.preview);
  if (!preview) return;
  const file = event.target.files && event.target.files[0];
  if (preview.src) URL.revokeObjectURL(preview.src);
  preview.hidden = !file || !file.type.startsWith("image/");
  if (preview.hidden) preview.removeAttribute("src");
  else preview.src = URL.createObjectURL(file);
});
document.addEventListener("click", (event) => {
  const button = event.target.closest && event.target.closest("[data-ask]");
  if (button && !window.confirm(button.dataset.ask)) event.preventDefault();
});
function onlyWhatIsAsked(form) {
  const chosen = form.querySelector(`[name="${form.dataset.asks}"]:checked`);
  if (!chosen) return;
  for (const part of form.querySelectorAll("[data-when]")) {
    // What was refused stays in sight.
    part.hidden = !part.dataset.when.split(" ").includes(chosen.value) && !part.querySelector(".errorlist");
  }
}
document.addEventListener("change", (event) => {
  const form = event.target.closest && event.target.closest("form[data-asks]");
  if (form && event.target.name === form.dataset.asks) onlyWhatIsAsked(form);
});
document.querySelectorAll("form[data-asks]").forEach(onlyWhatIsAsked);
