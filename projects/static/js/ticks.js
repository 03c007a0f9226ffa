// "All": ticks every job of the page, or none. Without this file each is ticked by hand.
// data-ticks="name": what is ticked stays so while one turns the list's pages, in this tab, until it is used.
"use strict";
for (const form of document.querySelectorAll("form[data-ticks]")) {
  const label = form.querySelector("[data-tick-all]");
  const ticks = [...form.querySelectorAll("input[name=job]")];
  if (!label || !ticks.length) continue;
  const all = label.querySelector("input");
  const other = form.querySelector("[data-ticked-elsewhere]");
  const shelf = form.dataset.ticks && other ? `ticked ${form.dataset.ticks}` : "";
  const here = new Set(ticks.map((tick) => tick.value));
  const read = () => { try { return JSON.parse(sessionStorage.getItem(shelf)) || []; } catch { return []; } };
  const elsewhere = new Set(shelf ? read().filter((value) => !here.has(value)) : []);
  const write = () => {
    if (!shelf) return;
    const kept = [...elsewhere, ...ticks.filter((tick) => tick.checked).map((tick) => tick.value)];
    if (kept.length) sessionStorage.setItem(shelf, JSON.stringify(kept));
    else sessionStorage.removeItem(shelf);
  };
  const show = () => {
    const count = ticks.filter((tick) => tick.checked).length;
    all.checked = count === ticks.length;
    all.indeterminate = count > 0 && count < ticks.length;
    if (!other) return;
    other.hidden = !elsewhere.size;
    other.querySelector("span").textContent = `${elsewhere.size} more on other pages`;
  };
  if (shelf) {
    const kept = new Set(read());
    for (const tick of ticks) if (kept.has(tick.value)) tick.checked = true;
    other.querySelector("button").addEventListener("click", () => { elsewhere.clear(); write(); show(); });
    form.addEventListener("submit", (event) => {
      if (event.submitter?.value !== "ticked") return;
      for (const value of elsewhere) {
        const more = document.createElement("input");
        Object.assign(more, { type: "hidden", name: "job", value });
        form.append(more);
      }
      sessionStorage.removeItem(shelf);
    });
    // Back from the next page, the browser shows this one as it was left: with what was added on the way out.
    window.addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
  }
  label.hidden = false;
  all.addEventListener("change", () => { for (const tick of ticks) tick.checked = all.checked; });
  form.addEventListener("change", () => { write(); show(); });
  show();
}
