// The intake form: fills city and state from the ZIP, adds up the months, spreads a pasted row over them.
(() => {
  const field = (name) => document.getElementById("id_" + name);

  document.body.addEventListener("htmx:afterSwap", (event) => {
    if (event.target.id !== "place") return;
    const place = event.target.querySelector("[data-city]");
    if (!place) return;
    for (const [name, said] of [["city", place.dataset.city], ["state", place.dataset.state]]) {
      if (field(name) && !field(name).value.trim()) field(name).value = said;
    }
  });

  // The tick "another household" must survive when the list of duplicates is drawn again.
  document.body.addEventListener("htmx:beforeSwap", (event) => {
    if (event.target.id !== "duplicates") return;
    const tick = field("another_household");
    event.target.dataset.ticked = tick && tick.checked ? "yes" : "";
  });
  document.body.addEventListener("htmx:afterSwap", (event) => {
    if (event.target.id !== "duplicates" || event.target.dataset.ticked !== "yes") return;
    if (field("another_household")) field("another_household").checked = true;
  });

  const months = Array.from({ length: 12 }, (_, i) => field("kwh_" + (i + 1)));
  const sum = document.querySelector("[data-months-sum]");
  const add = () => {
    const given = months.map((m) => parseFloat(m.value.replace(/,/g, ""))).filter((n) => !Number.isNaN(n));
    const total = given.reduce((a, b) => a + b, 0);
    sum.textContent = given.length ? `${given.length} / 12: ${Math.round(total).toLocaleString("en-US")} kWh` : "";
  };
  if (sum && months.every(Boolean)) {
    months.forEach((month, start) => {
      month.addEventListener("input", add);
      month.addEventListener("paste", (event) => {
        const row = event.clipboardData.getData("text").trim().split(/[\s;]+/).filter(Boolean);
        if (row.length < 2) return;
        event.preventDefault();
        row.slice(0, 12 - start).forEach((value, i) => { months[start + i].value = value.replace(/,/g, ""); });
        add();
      });
    });
    add();
  }

  // A half-filled form isn't left by a slip of the finger.
  const form = document.querySelector("form[data-keep-typing]");
  if (form) {
    let typed = false;
    form.addEventListener("input", () => { typed = true; });
    form.addEventListener("submit", () => { typed = false; });
    window.addEventListener("beforeunload", (event) => { if (typed) event.preventDefault(); });
  }
})();
