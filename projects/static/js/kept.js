// What the crew records is kept on the tablet first and sent after that: no signal loses nothing.
// Each entry has a key, so that one sent twice is recorded once (projects/screens/kept.py answers).
"use strict";
(() => {
  const meta = (name) => document.querySelector(`meta[name="${name}"]`)?.content || "";
  const person = meta("person");
  if (!person || !window.indexedDB || !window.isSecureContext) return; // the forms work without us
  const KEPT = "kept", REFUSED = "refused", MARKS = "opened_with";
  const SHOWN_PAGE_IS_OLD_MS = 60000, TEXT_WAIT_MS = 12000, PHOTO_WAIT_MS = 90000, ASK_WAIT_MS = 6000, TICK_MS = 3000, QUIET_TICKS = 7, STOCK_AGAIN_MS = 600000, TAKEN_OVER_MS = 10000, SAID_MS = 15000;

  // The shelf: one row an entry, photographs included.
  const shelf = new Promise((resolve, reject) => {
    const opening = indexedDB.open("rafterbook", 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore("entries", { keyPath: "key" });
    opening.onsuccess = () => resolve(opening.result);
    opening.onerror = () => reject(opening.error);
  });
  const ask = async (mode, call) => {
    const store = (await shelf).transaction("entries", mode).objectStore("entries");
    return new Promise((resolve, reject) => {
      const asked = call(store);
      store.transaction.oncomplete = () => resolve(asked.result);
      store.transaction.onerror = store.transaction.onabort = () => reject(store.transaction.error);
    });
  };
  const entries = async () => (await ask("readonly", (s) => s.getAll())).sort((a, b) => a.at - b.at);
  const keep = (entry) => ask("readwrite", (s) => s.put(entry));
  const drop = (key) => ask("readwrite", (s) => s.delete(key));

  const cookie = (name) => document.cookie.split("; ").find((c) => c.startsWith(name + "="))?.split("=")[1] || "";
  const clock = (ms) => new Date(ms).toLocaleTimeString([], { hour: "numeric", minute: "2-digit" });

  // "sent", "refused" (the book says no, and why), "sign in", or "no signal".
  async function send(entry) {
    const body = new FormData();
    for (const [name, value] of entry.fields) body.append(name, name === "csrfmiddlewaretoken" ? cookie("csrftoken") : value);
    const photo = entry.fields.some(([, value]) => value instanceof Blob);
    const patience = new AbortController();
    const timer = setTimeout(() => patience.abort(), photo ? PHOTO_WAIT_MS : TEXT_WAIT_MS);
    try {
      const answer = await fetch(entry.url, {
        method: "POST", body, redirect: "manual", signal: patience.signal,
        headers: { "X-Entry-Key": entry.key, "X-Entry-Person": entry.person, "X-CSRFToken": cookie("csrftoken") },
      });
      if (answer.status === 204) return { state: "sent" };
      if (answer.type === "opaqueredirect" || answer.status === 403 || answer.status === 409) return { state: "sign in" };
      if (answer.status >= 500 || answer.status === 429) return { state: "no signal" };
      return { state: REFUSED, ...(await reasons(answer, entry)) };
    } catch {
      return { state: "no signal" };
    } finally {
      clearTimeout(timer);
    }
  }

  async function reasons(answer, entry) {
    if (answer.status === 404) return { why: "The job book has no such page any more." };
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const said = [...page.querySelectorAll("main .error, main .errorlist, main [role=alert] li")].map((e) => e.textContent.trim());
    const form = [...page.querySelectorAll("form[data-kept]")].find((one) => one.dataset.kept === entry.label);
    const marks = form?.querySelector(`[name=${MARKS}]`)?.value;
    const once = [...new Set(said.filter((one) => one && !said.some((other) => other !== one && other.endsWith(one))))]; // a summary names the field too
    return { why: once.join(" ") || "The job book did not take it.", marks };
  }

  // Whoever was told what was changed meanwhile and sends again means it: the marks of what stands there now go along.
  const told = (fields, marks) => (marks ? fields.map(([name, value]) => [name, name === MARKS ? marks : value]) : fields);

  // Whether the office can be reached is asked, not believed: a tablet with a network and no way out calls itself online.
  let reached = true, asking = null;
  const askOffice = () => (asking ||= asked().finally(() => { asking = null; }));
  async function asked() {
    const patience = new AbortController();
    const timer = setTimeout(() => patience.abort(), ASK_WAIT_MS);
    const before = reached;
    try {
      reached = (await fetch("/worker.js", { method: "HEAD", cache: "no-store", signal: patience.signal })).status < 500;
    } catch {
      reached = false;
    } finally {
      clearTimeout(timer);
    }
    if (reached && lastWord === "no signal") lastWord = "";
    if (reached && (await waiting())) await sendAll(inTurn);
    else if (reached !== before) await show();
  }
  const waiting = async () => (await entries()).some((entry) => entry.person === person && entry.state !== REFUSED);

  // One tab sends at a time; the others would only send the same again.
  const LOCK = "rafterbook-send";
  const alone = (work) => (navigator.locks ? navigator.locks.request(LOCK, { ifAvailable: true }, (lock) => lock && work()) : work());
  const inTurn = (work) => (navigator.locks ? navigator.locks.request(LOCK, work) : work());

  let lastWord = "";
  function sendAll(turn = alone) {
    return turn(async () => {
      let sent = 0;
      for (const entry of await entries()) {
        if (entry.person !== person || entry.state === REFUSED) continue;
        const { state, why, marks } = await send(entry);
        lastWord = state;
        reached = state !== "no signal";
        if (state === "sent") { await drop(entry.key); sent += 1; }
        else if (state === REFUSED) await keep({ ...entry, fields: told(entry.fields, marks), state: REFUSED, why });
        else break;
      }
      if (sent) lately = { sent: sent + (Date.now() < lately.until ? lately.sent : 0), until: Date.now() + SAID_MS };
      await show();
    });
  }

  // The tray at the top of the page: what is still here, and why.
  const tray = document.createElement("section");
  tray.id = "kept";
  tray.className = "kept";
  tray.setAttribute("aria-live", "polite");
  tray.hidden = true;
  const line = (tag, text, where, kind = "") => {
    const made = document.createElement(tag);
    made.textContent = text;
    if (kind) made.className = kind;
    where.append(made);
    return made;
  };

  // What was sent is said for a while, whatever else there is to show meanwhile, and as one sum.
  let lately = { sent: 0, until: 0 };

  async function show() {
    const all = await entries();
    const mine = all.filter((entry) => entry.person === person), others = all.length - mine.length;
    const made = Date.parse(meta("made")), old = made && Date.now() - made > SHOWN_PAGE_IS_OLD_MS;
    const silent = !navigator.onLine || !reached || (lastWord === "no signal" && mine.length > 0);
    tray.replaceChildren();
    if (silent || (old && lastWord !== "sent")) {
      if (silent) line("h2", "No signal", tray);
      if (old) line("p", `This page is as it was at ${clock(made)}.`, tray);
      if (silent) line("p", "What you record is kept on this tablet and sent by itself.", tray);
    }
    if (lastWord === "sign in" && mine.length) {
      line("p", "The office asks you to sign in again before this can be sent.", tray);
      const link = line("a", "Sign in", tray, "btn go");
      // An address that only takes entries is nowhere to come back to.
      link.href = `/sign-in/?next=${encodeURIComponent(document.querySelector("form[data-then]")?.dataset.then || location.pathname)}`;
    }
    const { sent, until } = lately;
    if (Date.now() < until && !mine.length) line("p", sent === 1 ? "What was kept here has been sent." : `${sent} entries that were kept here have been sent.`, tray);
    if (mine.length) {
      line("h3", mine.length === 1 ? "1 entry on this tablet, not yet sent" : `${mine.length} entries on this tablet, not yet sent`, tray);
      const list = line("ul", "", tray);
      for (const entry of mine) list.append(row(entry));
    }
    if (others) line("p", `${others} more from somebody else: sent when they sign in on this tablet.`, tray);
    tray.hidden = !tray.childNodes.length;
    for (const form of document.querySelectorAll("form[data-kept]")) note(form, mine);
  }

  function row(entry) {
    const item = document.createElement("li");
    line("strong", entry.label, item);
    const typed = entry.fields.filter(([name, v]) => v && typeof v === "string" && !/token|key|correction|opened_with/.test(name)).map(([, v]) => v);
    line("span", ` ${[clock(entry.at), ...typed].join(", ")}`, item, "soft");
    if (entry.state !== REFUSED) return item;
    line("p", `Refused: ${entry.why}`, item, "late");
    const again = line("button", "Send again", item, "btn");
    again.addEventListener("click", async () => { await keep({ ...entry, state: KEPT, why: "" }); sendAll(); });
    const away = line("button", "Throw away", item, "btn quiet");
    away.addEventListener("click", async () => {
      if (window.confirm(`Throw away “${entry.label}”? It was never recorded.`)) { await drop(entry.key); show(); }
    });
    return item;
  }

  function note(form, mine) {
    form.querySelector(".kept-note")?.remove();
    const waiting = mine.filter((entry) => entry.form === formName(form) && entry.state !== REFUSED);
    if (waiting.length) line("p", `Kept on this tablet at ${clock(waiting.at(-1).at)}; sent when there is a signal.`, form, "kept-note");
  }
  const formName = (form) => `${new URL(form.action).pathname} ${form.dataset.kept}`;

  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (new URL(form.action).pathname === "/sign-out/") leaving = true;
    if (!form.matches("form[data-kept]") || event.defaultPrevented) return;
    event.preventDefault();
    if (sending.has(form)) return; // a second tap of a glove
    sending.add(form);
    try { await record(form, event.submitter); } finally { sending.delete(form); }
  });

  const sending = new WeakSet();
  async function record(form, submitter) {
    const data = new FormData(form, submitter);
    const entry = {
      key: [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join(""),
      person, url: new URL(form.action).pathname, fields: [...data], at: Date.now(), state: KEPT,
      label: form.dataset.kept, form: formName(form),
    };
    try {
      await keep(entry);
    } catch {
      form.submit(); // no room on the tablet: straight to the office, as without us
      return;
    }
    // Off the shelf before another turn begins, which would find it and send it again.
    const { state } = await inTurn(async () => {
      const answer = await send(entry);
      if (answer.state === "sent" || answer.state === REFUSED) await drop(entry.key);
      return answer;
    });
    lastWord = state;
    reached = state !== "no signal";
    if (state === "sent") {
      location.assign(form.dataset.then || location.pathname);
    } else if (state === REFUSED) {
      // There is a signal, so the office's own page says what is wrong, beside the field.
      form.submit();
    } else if (!form.checkValidity()) {
      // Nobody but the tablet can say now what the office would refuse later: a photograph without its file.
      await drop(entry.key);
      form.reportValidity();
    } else {
      form.reset();
      await show();
      tray.scrollIntoView({ block: "nearest" });
    }
  }

  // Nobody looks at these: the words for the person wait for a page that is seen (projects/screens/notices.py).
  const fetchToKeep = (path) => fetch(path, { headers: { "X-Page-Unseen": "1" } }).catch(() => null);

  let leaving = false; // whoever signs out takes the pages off the tablet (worker.js): none comes onto it any more

  // The pages of the day, kept for the roof while there is a signal.
  async function stockUp() {
    if (location.pathname !== "/crew/" || !navigator.serviceWorker?.controller || !navigator.onLine) return;
    const recently = Date.now() - Number(sessionStorage.getItem("stocked") || 0) < STOCK_AGAIN_MS;
    if (!recently) sessionStorage.setItem("stocked", String(Date.now()));
    const wanted = [...document.querySelectorAll("[data-stock]")].flatMap((row) => row.dataset.stock.split(" "));
    let missed = false;
    for (const path of wanted) {
      if (leaving) return;
      if (recently && (await caches.match(path))) continue; // what is gone was taken off since
      missed = !(await fetchToKeep(path))?.ok || missed;
    }
    if (missed) sessionStorage.removeItem("stocked"); // the next look at the day tries again
  }

  // Whoever signs in after somebody else, whose time had run out, must not be shown that person's pages on the roof.
  // A page older than the last change of hands is one of those itself.
  async function changesHands() {
    const last = JSON.parse(localStorage.getItem("rafterbook-person") || "{}"), made = Date.parse(meta("made"));
    if (last.person === person || made < last.made) return;
    localStorage.setItem("rafterbook-person", JSON.stringify({ person, made }));
    if (last.person) await caches.delete("rafterbook-pages");
  }

  // An active worker takes this page over a moment after it is ready; what is fetched before that is not kept.
  const takenOver = () => navigator.serviceWorker.controller || new Promise((done) => {
    navigator.serviceWorker.addEventListener("controllerchange", done, { once: true });
    setTimeout(done, TAKEN_OVER_MS);
  });

  document.addEventListener("DOMContentLoaded", async () => {
    document.querySelector(".page")?.prepend(tray);
    await changesHands();
    await show();
    if ((await entries()).length) await sendAll();
    else askOffice();
    if (navigator.serviceWorker) {
      await navigator.serviceWorker.register("/worker.js", { scope: "/" }).catch(() => {});
      await navigator.serviceWorker.ready;
      await takenOver();
      // The very first time this page came before the worker: fetch it once more through the worker.
      if (navigator.onLine) await fetchToKeep(location.pathname);
      stockUp();
    }
  });
  // In turn: a try that began without a signal may still be failing when the signal comes back.
  window.addEventListener("online", () => { lastWord = ""; reached = true; sendAll(inTurn); });
  window.addEventListener("offline", () => show());
  let ticks = 0;
  setInterval(async () => {
    ticks += 1;
    if (!reached || ticks % QUIET_TICKS === 0 || (lastWord !== "sign in" && (await waiting()))) askOffice();
  }, TICK_MS);
})();
