// "All": ticks every job of the page, or none. Without this file each is ticked by hand.
"use strict";
for (const form of document.querySelectorAll("form[data-ticks]")) {
  const label = form.querySelector("[data-tick-all]");
  const ticks = [...form.querySelectorAll("input[name=job]")];
  if (!label || !ticks.length) continue;
  const all = label.querySelector("input");
  const show = () => {
    const count = ticks.filter((tick) => tick.checked).length;
    all.checked = count === ticks.length;
    all.indeterminate = count > 0 && count < ticks.length;
  };
  label.hidden = false;
  all.addEventListener("change", () => { for (const tick of ticks) tick.checked = all.checked; });
  form.addEventListener("change", show);
  show();
}
