// The site assessment: shows a chosen photo before it is sent, and asks before something is taken out.
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
