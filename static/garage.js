// Small helps on top of pages that work without any script. Everything listens on the document,
// so that parts swapped in later are served too.
(() => {
  "use strict";
  document.documentElement.classList.add("js");
  const on = (type, act) => document.addEventListener(type, act);

  // One press, one post: a second submit is dropped until the page answers.
  const sending = new Set();
  const buttonsOf = (form) => [...form.elements].filter((part) => part.type === "submit");
  function hold(form) {
    sending.add(form);
    // Later, because a button disabled now would drop out of the very submit it started.
    setTimeout(() => sending.has(form) && buttonsOf(form).forEach((button) => { button.disabled = true; }));
  }
  function release(form) {
    if (!sending.delete(form)) return;
    buttonsOf(form).forEach((button) => { button.disabled = false; });
  }
  on("htmx:finally:request", () => [...sending].forEach(release));
  window.addEventListener("pageshow", () => [...sending].forEach(release));

  // Drafts: typing in a form with data-keep outlives a page left or a broken line, until it is saved.
  const store = {
    read: (key) => { try { return JSON.parse(sessionStorage.getItem("keep:" + key)); } catch { return null; } },
    write: (key, draft) => { try { sessionStorage.setItem("keep:" + key, JSON.stringify(draft)); } catch { /* full: no draft */ } },
    drop: (key) => { try { sessionStorage.removeItem("keep:" + key); } catch { /* storage refused */ } },
  };
  const initial = new WeakMap();
  const secret = new Set(["hidden", "file", "password", "submit", "button", "reset", "fieldset", "output"]);
  function partsOf(form) {
    const seen = {};
    return [...form.elements].filter((part) => part.name && !secret.has(part.type)).map((part) => {
      seen[part.name] = (seen[part.name] ?? -1) + 1;
      return { part, id: `${part.name}#${seen[part.name]}`, ticks: part.type === "checkbox" || part.type === "radio" };
    });
  }
  const valueOf = ({ part, ticks }) => (ticks ? part.checked : part.value);
  const snapshot = (form) => Object.fromEntries(partsOf(form).map((entry) => [entry.id, valueOf(entry)]));
  const answeredWithErrors = (form) => form.querySelector(".field.bad, .error, .errors") !== null;
  function keepDraft(form) {
    const before = initial.get(form) ?? {};
    const typed = Object.entries(snapshot(form)).filter(([id, value]) => value !== before[id]);
    if (typed.length === 0) return store.drop(form.dataset.keep);
    store.write(form.dataset.keep, { typed: typed.map(([id, value]) => [id, before[id], value]) });
  }
  function restoreDraft(form) {
    if (initial.has(form)) return;
    const draft = store.read(form.dataset.keep);
    const typed = new Map((draft?.typed ?? []).map(([id, was, value]) => [id, { was, value }]));
    initial.set(form, snapshot(form));
    if (answeredWithErrors(form)) { // the page itself shows what was typed: keep the draft, put nothing in
      typed.forEach(({ was }, id) => { initial.get(form)[id] = was; });
      return draft && store.write(form.dataset.keep, { ...draft, sent: false });
    }
    for (const entry of partsOf(form)) {
      const kept = typed.get(entry.id);
      if (!kept || valueOf(entry) !== kept.was) continue; // the thing itself has changed since: leave it
      if (entry.ticks) entry.part.checked = kept.value; else entry.part.value = kept.value;
    }
  }
  // A draft that was sent is done with, unless it was refused or the reader came back to try again.
  function settle(key, refused) {
    const draft = store.read(key);
    if (draft?.sent) refused ? store.write(key, { ...draft, sent: false }) : store.drop(key);
  }
  function settleAll() {
    const visit = performance.getEntriesByType("navigation")[0];
    const refused = (visit?.responseStatus ?? 200) >= 400 || visit?.type === "back_forward" || answeredWithErrors(document);
    Object.keys(sessionStorage).filter((key) => key.startsWith("keep:")).forEach((key) => settle(key.slice(5), refused));
  }
  const restoreAll = () => document.querySelectorAll("form[data-keep]").forEach(restoreDraft);
  on("input", (event) => {
    if (event.target.form?.dataset.keep !== undefined) keepDraft(event.target.form);
  });
  on("htmx:after:process", restoreAll);
  on("htmx:after:request", (event) => {
    const form = event.detail.ctx.sourceElement?.closest?.("form[data-keep]");
    if (form) settle(form.dataset.keep, event.detail.ctx.response.status >= 400);
  });

  // Uploads show how far they are; the answer then takes the place of the page, as without a script.
  const carriesFiles = (form) => [...form.elements].some((part) => part.type === "file" && part.files.length > 0);
  // Once sent, some files take their time to be read: how far that is stands at an address of its own.
  async function followReading(form, bar, request) {
    const words = form.querySelector("[data-reading-words]") ?? form.appendChild(document.createElement("p"));
    Object.assign(words, { className: "how", role: "status" }).dataset.readingWords = "";
    while (request.readyState < XMLHttpRequest.DONE) {
      const told = await fetch(form.dataset.reading).then((answer) => answer.json()).catch(() => null);
      if (request.readyState === XMLHttpRequest.DONE) break;
      if (told?.words) { words.textContent = told.words; bar.value = told.percent / 100; }
      await new Promise((next) => setTimeout(next, 400));
    }
    words.remove();
  }
  function upload(form, submitter) {
    const bar = form.querySelector("progress") ?? form.appendChild(document.createElement("progress"));
    const request = new XMLHttpRequest();
    const failed = (why) => {
      bar.hidden = true;
      release(form);
      const words = form.querySelector("[data-upload-failed]") ?? form.appendChild(document.createElement("p"));
      Object.assign(words, { className: "error", role: "alert" }).dataset.uploadFailed = "";
      words.textContent = why ?? "Sending failed. What you typed is still here: try again.";
    };
    Object.assign(bar, { hidden: false, max: 1, ariaLabel: "sent so far" });
    request.upload.addEventListener("progress", (event) => { if (event.lengthComputable) bar.value = event.loaded / event.total; });
    if (form.dataset.reading) request.upload.addEventListener("load", () => followReading(form, bar, request));
    request.addEventListener("error", () => failed());
    request.addEventListener("load", () => {
      if (request.status === 413) return failed(request.responseText);
      if (request.status >= 500) return failed();
      if (request.status < 400) return location.assign(request.responseURL);
      const answer = new DOMParser().parseFromString(request.responseText, "text/html");
      if (!answer.querySelector("main")) return failed();
      document.querySelector("main").replaceWith(document.adoptNode(answer.querySelector("main")));
      release(form);
      window.htmx?.process(document.querySelector("main"));
      restoreAll();
      document.querySelector(".errors, .error")?.scrollIntoView({ block: "center" });
    });
    request.open("POST", submitter?.getAttribute("formaction") || form.getAttribute("action") || location.href);
    request.setRequestHeader("X-Upload", "1"); // the page it lands on is fetched once more: its message must wait
    request.send(new FormData(form, submitter));
  }

  on("submit", (event) => {
    const form = event.target;
    if (form.getAttribute("method")?.toLowerCase() !== "post") return; // form.method may be a field called method
    if (sending.has(form)) return event.preventDefault();
    const draft = form.dataset.keep !== undefined ? store.read(form.dataset.keep) : null;
    if (draft) store.write(form.dataset.keep, { ...draft, sent: true });
    hold(form);
    if (event.defaultPrevented || !carriesFiles(form)) return;
    event.preventDefault();
    upload(form, event.submitter);
  });

  // "now" beside a time field: data-autofill-now names the field's id.
  on("click", (event) => {
    const button = event.target.closest?.("[data-autofill-now]");
    const field = button && document.getElementById(button.dataset.autofillNow);
    if (!field) return;
    const now = new Date();
    field.value = new Date(now - now.getTimezoneOffset() * 60000).toISOString().slice(0, field.type === "date" ? 10 : 16);
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });

  // A row taken out of a list is emptied: what is empty is not read. Its number stays taken.
  on("click", (event) => {
    const button = event.target.closest?.("[name=row_drop]");
    const row = button?.closest(".one-row");
    if (!row) return;
    event.preventDefault();
    row.querySelectorAll("input:not([type=hidden]), select, textarea").forEach((part) => { part.value = ""; });
    row.dispatchEvent(new Event("input", { bubbles: true }));
    row.hidden = true;
    row.closest(".list")?.querySelector("[name=row_more]")?.focus();
  });

  // A table of rows to fill: Enter goes down a row as in a book, Shift+Enter up, past the last to the button.
  // Where each thing has several rows, a tbody of its own, Enter goes to the same place in the next thing.
  on("keydown", (event) => {
    const field = event.target;
    const cell = field.closest?.("table[data-rows] td");
    if (event.key !== "Enter" || !cell || !field.matches("input, select")) return;
    event.preventDefault();
    const row = cell.parentElement;
    const step = event.shiftKey ? "previousElementSibling" : "nextElementSibling";
    const body = row.parentElement;
    const next = body.rows.length > 1 && row.closest("table").tBodies.length > 1
      ? body[step]?.rows?.[[...body.rows].indexOf(row)] : row[step];
    const there = next?.cells[cell.cellIndex]?.querySelector("input:not([type=hidden]), select");
    (there ?? (event.shiftKey ? field : buttonsOf(field.form)[0]))?.focus();
    there?.select?.();
  });

  settleAll();
  restoreAll();
})();
