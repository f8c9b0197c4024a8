// What is typed into a form with data-keep stays on this device until the notebook says, by the form's one-time number,
// that it holds it: over a page left, a line that broke, a phone switched off. Pages work without it.
(() => {
  "use strict";
  const on = (type, act) => document.addEventListener(type, act);
  // Another notebook that is served at the same address at another time has drafts of its own.
  const BEGINNING = `draft:${document.documentElement.dataset.garage ?? ""}:`;

  const drafts = {
    read: (key) => { try { return JSON.parse(localStorage.getItem(BEGINNING + key)); } catch { return null; } },
    write: (key, draft) => { try { localStorage.setItem(BEGINNING + key, JSON.stringify(draft)); } catch { /* full: no draft */ } },
    drop: (key) => {
      const hasPictures = drafts.read(key)?.files > 0;
      try { localStorage.removeItem(BEGINNING + key); } catch { /* storage refused */ }
      if (hasPictures) pictures.drop(key);
    },
    keys: () => { try { return Object.keys(localStorage).filter((key) => key.startsWith(BEGINNING)).map((key) => key.slice(BEGINNING.length)); } catch { return []; } },
  };

  // Chosen files: too large for the other store.
  const pictures = {
    open: () => new Promise((done, failed) => {
      const asked = indexedDB.open("drafts", 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore("files");
      asked.onsuccess = () => done(asked.result);
      asked.onerror = () => failed(asked.error);
    }),
    act: async (mode, work) => {
      try {
        const base = await pictures.open();
        const asked = work(base.transaction("files", mode).objectStore("files"));
        const found = await new Promise((done) => { asked.onsuccess = () => done(asked.result); asked.onerror = () => done(null); });
        base.close();
        return found;
      } catch { return null; }
    },
    write: (key, files) => pictures.act("readwrite", (store) => store.put(files, BEGINNING + key)),
    read: (key) => pictures.act("readonly", (store) => store.get(BEGINNING + key)),
    drop: (key) => pictures.act("readwrite", (store) => store.delete(BEGINNING + key)),
  };

  const NUMBER = "form_number";
  const SHOWN = "form_shown";
  const UNITS = "form_units";
  const initial = new WeakMap();
  const restored = new WeakSet();
  // The number of the draft that a form wrote or took up: another tab's is not its own, to be said to be sent.
  const own = new WeakMap();
  const silent = new Set(["file", "password", "submit", "button", "reset", "fieldset", "output"]);
  function partsOf(form) {
    const seen = {};
    return [...form.elements].filter((part) => part.name && !silent.has(part.type) && !part.name.startsWith("form_")).map((part) => {
      seen[part.name] = (seen[part.name] ?? -1) + 1;
      return { part, id: `${part.name}#${seen[part.name]}`, ticks: part.type === "checkbox" || part.type === "radio" };
    });
  }
  const valueOf = ({ part, ticks }) => (ticks ? part.checked : part.value);
  const snapshot = (form) => Object.fromEntries(partsOf(form).map((entry) => [entry.id, valueOf(entry)]));
  const textOf = (form, name) => form.querySelector(`input[name="${name}"]`)?.value ?? "";
  const filesOf = (form) => Object.fromEntries([...form.elements].filter((part) => part.type === "file" && part.files.length > 0).map((part) => [part.name, [...part.files]]));
  const answeredWithErrors = (form) => form.querySelector(".field.bad, .error, .errors, .ask") !== null;
  const here = () => location.pathname + location.search;
  const nameOfPage = () => document.querySelector("main h1")?.textContent.trim() || document.title;

  function keep(form) {
    if (!restored.has(form)) return undefined; // what was typed earlier is still to be put back
    const key = form.dataset.keep;
    const before = initial.get(form) ?? {};
    const stands = Object.entries(snapshot(form)).map(([id, value]) => [id, before[id], value]);
    const changed = stands.filter(([, was, value]) => value !== was);
    const files = filesOf(form);
    if (changed.length === 0 && Object.keys(files).length === 0) return drafts.drop(key);
    // What is only proposed, the boat of a new row, may be another by then: the one that was seen is meant.
    const proposed = new Set(partsOf(form).filter(({ part }) => "proposed" in part.dataset).map(({ id }) => id));
    const typed = stands.filter(([id, was, value]) => value !== was || proposed.has(id));
    // A form that was refused stands at the address it was sent to: the way back is that of the form it was.
    const earlier = answeredWithErrors(form) ? drafts.read(key) : null;
    own.set(form, textOf(form, NUMBER));
    if (Object.keys(files).length === 0 && drafts.read(key)?.files > 0) pictures.drop(key);
    drafts.write(key, {
      typed, at: Date.now(), place: earlier?.place ?? here(), name: earlier?.name ?? nameOfPage(),
      number: textOf(form, NUMBER), shown: earlier?.shown ?? textOf(form, SHOWN), units: textOf(form, UNITS), files: Object.keys(files).length,
    });
    return Object.keys(files).length ? pictures.write(key, files) : undefined;
  }

  const clockOf = (draft) => {
    const at = new Date(draft.at);
    const clock = `${at.getHours()}`.padStart(2, "0") + ":" + `${at.getMinutes()}`.padStart(2, "0");
    return at.toDateString() === new Date().toDateString() ? clock : `${clock} on ${at.toLocaleDateString("en-GB", { day: "numeric", month: "long" })}`;
  };
  // How old a draft is, where it is not of today.
  const ageOf = (draft) => {
    const days = Math.round((new Date().setHours(0, 0, 0, 0) - new Date(draft.at).setHours(0, 0, 0, 0)) / 864e5);
    return days < 1 ? "" : days === 1 ? ", since yesterday" : `, for ${days} days`;
  };
  function button(words, act) {
    const made = Object.assign(document.createElement("button"), { type: "button", className: "link", textContent: words });
    made.addEventListener("click", act);
    return made;
  }

  async function putBack(form) {
    if (restored.has(form)) return;
    restored.add(form);
    const key = form.dataset.keep;
    const draft = drafts.read(key);
    if (!draft) return;
    own.set(form, draft.number);
    const typed = new Map(draft.typed.map(([id, was, value]) => [id, { was, value }]));
    if (answeredWithErrors(form)) { // the page itself shows what was typed: keep the draft, put nothing in
      typed.forEach(({ was }, id) => { initial.get(form)[id] = was; });
      return;
    }
    const shown = form.querySelector(`input[name="${SHOWN}"]`);
    const left = [];
    if ((draft.units ?? "") !== textOf(form, UNITS)) { // a bare number would mean something else now
      typed.forEach(({ value }) => { if (typeof value === "string" && value) left.push(value); });
      return say(form, key, draft, left, "Typed in other units");
    }
    for (const entry of partsOf(form)) {
      const kept = typed.get(entry.id);
      typed.delete(entry.id);
      if (!kept) continue;
      // Without what the form showed then, the notebook could not ask which of two stands.
      if (valueOf(entry) !== kept.was && !(shown && draft.shown)) { left.push(kept.value); continue; }
      if (entry.ticks) entry.part.checked = kept.value; else entry.part.value = kept.value;
    }
    if (shown && draft.shown) shown.value = draft.shown;
    typed.forEach(({ value }) => { if (typeof value === "string" && value) left.push(value); });
    await putFilesBack(form, key, draft);
    say(form, key, draft, left);
  }
  async function putFilesBack(form, key, draft) {
    const files = draft.files ? await pictures.read(key) : null;
    for (const part of [...form.elements].filter((each) => each.type === "file" && files?.[each.name])) {
      const chosen = new DataTransfer();
      files[part.name].forEach((file) => chosen.items.add(file));
      part.files = chosen.files;
    }
  }
  function say(form, key, draft, left, why = "No longer a place for") {
    const words = Object.assign(document.createElement("p"), { className: "draft" });
    words.setAttribute("role", "status");
    words.append(`Typed at ${clockOf(draft)} and never saved. `);
    if (left.length) words.append(`${why}: ${left.filter((value) => typeof value === "string").join(", ")}. `);
    words.append(button("Throw it away", () => { drafts.drop(key); location.assign(draft.place ?? here()); }));
    form.prepend(words);
  }

  // The notebook says which form it holds: in a cookie with its answer, or asked by the form's number.
  const justHeld = () => document.cookie.match(/(?:^|; )garage_held=([0-9a-f]{32})/)?.[1];
  async function isHeld(number) {
    if (!number) return false;
    try { return (await (await fetch(`/sent/${number}`)).json()).held === true; } catch { return false; }
  }
  async function letGoIfHeld(key) {
    const draft = drafts.read(key);
    if (draft && (draft.number === justHeld() || (draft.sent && await isHeld(draft.number)))) drafts.drop(key);
  }

  // On Home: all that was typed here and never saved.
  function list() {
    const place = document.querySelector("[data-drafts]");
    if (!place) return;
    const lines = drafts.keys().map((key) => [key, drafts.read(key)]).filter(([, draft]) => draft?.place).sort(([, one], [, other]) => other.at - one.at);
    place.hidden = lines.length === 0;
    place.querySelector("ul").replaceChildren(...lines.map(([key, draft]) => {
      const line = document.createElement("li");
      line.append(`${draft.name}: typed at ${clockOf(draft)}, never saved${ageOf(draft)}. `);
      line.append(Object.assign(document.createElement("a"), { href: draft.place, textContent: "Put it back" }), " ");
      line.append(button("Throw it away", () => { drafts.drop(key); list(); }));
      return line;
    }));
  }

  async function begin() {
    const forms = [...document.querySelectorAll("form[data-keep]")];
    forms.filter((form) => !initial.has(form)).forEach((form) => initial.set(form, snapshot(form)));
    await Promise.all(drafts.keys().map(letGoIfHeld));
    await Promise.all(forms.map(putBack));
    list();
  }

  on("input", (event) => { if (event.target.form?.dataset.keep !== undefined) keep(event.target.form); });
  on("change", (event) => { if (event.target.type === "file" && event.target.form?.dataset.keep !== undefined) keep(event.target.form); });
  on("submit", (event) => {
    const key = event.target.dataset.keep;
    const draft = key !== undefined ? drafts.read(key) : null;
    if (draft && draft.number === own.get(event.target)) drafts.write(key, { ...draft, number: textOf(event.target, NUMBER), sent: true });
  });
  on("htmx:after:process", begin);
  on("htmx:after:request", begin);
  on("garage:swapped", begin);
  window.addEventListener("pageshow", (event) => { if (event.persisted) begin(); });
  begin();
})();
