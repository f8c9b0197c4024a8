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
      document.dispatchEvent(new Event("garage:swapped"));
      document.querySelector(".errors, .error, .ask")?.scrollIntoView({ block: "center" });
    });
    request.open("POST", submitter?.getAttribute("formaction") || form.getAttribute("action") || location.href);
    request.setRequestHeader("X-Upload", "1"); // the page it lands on is fetched once more: its message must wait
    request.send(new FormData(form, submitter));
  }

  on("submit", (event) => {
    const form = event.target;
    if (form.getAttribute("method")?.toLowerCase() !== "post") return; // form.method may be a field called method
    if (sending.has(form)) return event.preventDefault();
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
  // Of several fields in one place it is the same of them, if that one is in sight.
  const fieldsIn = (cell) => [...(cell?.querySelectorAll("input:not([type=hidden]), select") ?? [])].filter((part) => part.checkVisibility());
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
    const fields = fieldsIn(next?.cells[cell.cellIndex]);
    const there = fields[fieldsIn(cell).indexOf(field)] ?? fields[0];
    (there ?? (event.shiftKey ? field : buttonsOf(field.form)[0]))?.focus();
    there?.select?.();
  });
})();
