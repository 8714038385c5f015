// What the pages do more where script runs. All of it works without, by plain forms.
"use strict";
(() => {
  const KEY = "rakelight-kept";
  const line = document.getElementById("kept");
  const read = () => { try { return JSON.parse(localStorage.getItem(KEY)) || []; } catch { return []; } };
  const write = (list) => { try { localStorage.setItem(KEY, JSON.stringify(list)); } catch { /* storage is off */ } show(); };
  const newId = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("");
  const clock = (ms) => { const d = new Date(ms); return `${d.getHours()}:${String(d.getMinutes()).padStart(2, "0")}`; };

  // -- entries kept on this phone, sent once, in order --------------------------------------------
  const away = document.body.dataset.away ? "Out of reach of the shop's computer: this is the bench as it was." : "";

  function show() {
    if (!line) return;
    const list = read();
    const waiting = list.filter((e) => !e.says), refused = list.filter((e) => e.says);
    line.hidden = !list.length && !away;
    line.querySelector("p").textContent = `${away} ` + (waiting.length
      ? `Kept on this phone: ${waiting.length} ${waiting.length === 1 ? "entry" : "entries"}. ${held}`.trim() : refused.length ? "Not taken:" : "");
    const rows = line.querySelector("ul");
    rows.replaceChildren(...list.map((e) => {
      const row = document.createElement("li");
      row.append(`${clock(e.at)} ${e.name}${e.says ? `: ${e.says}` : ""} `);
      const out = document.createElement("button");
      out.className = "press";
      out.textContent = e.says ? "Put away" : "Take it back";
      out.addEventListener("click", () => write(read().filter((k) => k.id !== e.id)));
      row.append(out);
      return row;
    }));
  }

  // the page's own word for its forms, read now: a form that was sent is no longer there
  const formKey = document.querySelector('meta[name="form-key"]')?.content || "";
  let held = "";  // why the computer takes nothing from this phone now

  // false: kept, sent again later; "": taken; else why it was not
  async function post(entry) {
    const body = new URLSearchParams(entry.fields);
    body.set("id", entry.id);
    body.set("ago_s", String(Math.max(0, Math.round((Date.now() - entry.at) / 1000))));
    body.set("form_key", formKey);
    let answer;
    try {
      answer = await fetch(entry.to, { method: "POST", body, headers: { Accept: "application/json" }, redirect: "manual", signal: AbortSignal.timeout(8000) });
    } catch { return false; }
    if (answer.type === "opaqueredirect" || answer.ok) { held = ""; return ""; }
    if (answer.status >= 500) return false;
    let says = "It was not taken.";
    try { const told = await answer.json(); says = `${told.says} ${told.mend || ""}`.trim() || says; } catch { /* no words came */ }
    held = answer.status === 403 ? says : "";  // paired no more, or an old page: nothing is wrong with the entry
    return held ? false : says;
  }

  let sending = false;
  async function sendAll() {
    if (sending || !read().some((e) => !e.says)) return;
    sending = true;
    let taken = 0;
    try {
      for (let next; (next = read().find((e) => !e.says));) {
        const says = await post(next);
        if (says === false) { show(); break; }
        write(says ? read().map((e) => (e.id === next.id ? { ...e, says } : e)) : read().filter((e) => e.id !== next.id));
        if (!says) taken += 1;
      }
    } finally { sending = false; }
    if (taken && quiet()) location.reload();
  }
  const again = () => (navigator.locks ? navigator.locks.request(KEY, { ifAvailable: true }, (got) => (got ? sendAll() : null)) : sendAll());

  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || !form.dataset.kept) return;
    event.preventDefault();
    const data = new FormData(form, event.submitter);
    const id = newId();  // one press, one id: the id the page brought is for pages without script
    const fields = Object.fromEntries(data);
    delete fields.form_key;
    const entry = { id, to: form.getAttribute("action"), fields, at: Date.now(), name: form.dataset.kept };
    for (const button of form.querySelectorAll("button")) button.disabled = true;
    const says = read().some((e) => !e.says) ? false : await post(entry);
    if (says === "") return void location.assign(`/?told=${id.slice(0, 8)}`);
    write([...read(), says ? { ...entry, says } : entry]);
    if (says === false) {
      const said = document.createElement("p");
      said.className = "said";
      said.textContent = `${clock(entry.at)}: kept on this phone.`;
      form.replaceWith(said);
    } else { for (const button of form.querySelectorAll("button")) button.disabled = false; if (line) line.scrollIntoView({ block: "center" }); }
  });

  // -- the page stays right -----------------------------------------------------------------------
  const quiet = () => !document.querySelector("details[open] input, input:focus, textarea:focus, select:focus") && !document.querySelector("main form.dirty");
  document.addEventListener("input", (event) => event.target.closest("form")?.classList.add("dirty"));

  async function watch() {
    const before = document.getElementById("beside");
    if (!before || before.dataset.working !== "yes") return;
    let told;
    try { told = await (await fetch("/api/ready", { headers: { Accept: "application/json" } })).json(); } catch { return void setTimeout(watch, 5000); }
    if (told.working) {
      const says = before.querySelector("b");
      if (says && told.says) says.textContent = `${told.says}.`;
      if (told.planned && document.body.dataset.planned === "no" && quiet()) return location.reload();
      return void setTimeout(watch, 1500);
    }
    if (quiet()) location.reload(); else before.remove();
  }

  // a button that takes back stands for a minute
  const undo = document.querySelector("[data-undo-s]");
  if (undo) setTimeout(() => { if (quiet()) location.replace("/"); }, Number(undo.dataset.undoS) * 1000 + 500);
  // the clock and the lamp on each band move once a minute
  if (document.body.classList.contains("bench")) setTimeout(() => { if (quiet() && navigator.onLine && !document.hidden) fetch("/healthz").then((a) => { if (a.ok && quiet()) location.reload(); }, () => {}); }, 60000);

  // over https the bench is kept on this phone, and opens out of reach
  if (location.protocol === "https:" && "serviceWorker" in navigator) navigator.serviceWorker.register("/keeping.js").catch(() => {});

  show();
  again();
  watch();
  window.addEventListener("online", again);
  window.addEventListener("storage", show);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) again(); });
  setInterval(again, 10000);
})();
