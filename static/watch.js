// An open page hears of what was written elsewhere: it says so, marks what is different, and touches nothing typed.
(() => {
  "use strict";
  const EVERY_MS = 4000;
  const watched = () => /^\/(runs|outings|packs)\/\d+(\/|$)/.test(location.pathname) || document.querySelector('input[name="form_shown"]');
  const ask = (address) => fetch(address, { headers: { "X-Look": "1" } });
  const flat = (node) => node.textContent.replace(/\s+/g, " ").trim();
  // What a field held when its page was made, whatever was typed since.
  function stood(field) {
    if (field.type === "checkbox" || field.type === "radio") return field.defaultChecked ? field.value : "";
    if (field.tagName === "SELECT") {
      const option = [...field.options].find((each) => each.defaultSelected) ?? field.options[0];
      return option?.value ?? "";
    }
    return field.defaultValue ?? "";
  }
  const open = (field) => field.name && !["hidden", "file", "submit", "button", "password"].includes(field.type) && !field.name.startsWith("form_");
  function fieldsOf(page) {
    const found = new Map();
    for (const field of page.querySelectorAll("main input, main select, main textarea")) {
      if (open(field)) found.set(`${field.name}#${["checkbox", "radio"].includes(field.type) ? field.value : ""}`, field);
    }
    return found;
  }
  const factsOf = (page) => new Map([...page.querySelectorAll("main dl > div")].map((fact) => [flat(fact.querySelector("dt") ?? fact), fact]));

  function marked(now) {
    let count = 0;
    const fresh = fieldsOf(now);
    for (const [id, field] of fieldsOf(document)) {
      const other = fresh.get(id);
      if (!other || stood(other) === stood(field)) continue;
      field.closest(".field, fieldset, td")?.classList.add("meanwhile");
      count += 1;
    }
    const facts = factsOf(now);
    for (const [label, fact] of factsOf(document)) {
      if (!facts.has(label) || flat(facts.get(label)) === flat(fact)) continue;
      fact.classList.add("meanwhile");
      count += 1;
    }
    return count;
  }
  function textOf(page) {
    const copy = page.querySelector("main").cloneNode(true);
    copy.querySelectorAll("input, select, textarea, .notice, .errors, .draft, .told").forEach((part) => part.remove());
    return flat(copy);
  }
  const first = textOf(document);

  async function look() {
    const now = new DOMParser().parseFromString(await (await ask(location.href)).text(), "text/html");
    if (!now.querySelector("main") || (marked(now) === 0 && textOf(now) === first)) return;
    let words = document.querySelector(".told");
    if (!words) {
      words = Object.assign(document.createElement("p"), { className: "told" });
      words.setAttribute("role", "status");
      const again = Object.assign(document.createElement("a"), { href: location.href, textContent: "Show it as it is now" });
      words.append("This page was changed elsewhere; what is different is marked. What you typed stays. ", again);
      document.querySelector("main").prepend(words);
    }
  }

  let newest = "";
  async function listen() {
    if (document.visibilityState !== "visible") return;
    try {
      const told = (await (await ask("/newest")).json()).newest;
      if (newest && told !== newest) await look();
      newest = told;
    } catch { /* the line is down: asked again later */ }
  }
  if (!watched()) return;
  listen();
  setInterval(listen, EVERY_MS);
  document.addEventListener("visibilitychange", listen);
})();
