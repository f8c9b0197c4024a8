// The charts of a log, linked: a finger on the speed shows the place on the plan, and the other way round;
// a span drawn across the speed is looked at closer. Without this script the links above the charts do the same.
(() => {
  "use strict";
  const view = () => document.getElementById("trace");
  const SVG = "http://www.w3.org/2000/svg";
  // How far over a drawing a finger is, from 0 at its left to 1 at its right, and so downward.
  const at = (svg, event) => {
    const box = svg.getBoundingClientRect();
    return [(event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height];
  };
  const inPercent = (part) => `${100 * part}%`;
  const within = (part) => Math.min(1, Math.max(0, part));
  const pointsOf = (plan) => {
    plan.points ??= plan.dataset.plan.split(" ").map((text) => text.split(",").map(Number));
    return plan.points;
  };
  const sizeOf = (plan) => plan.querySelector("svg").viewBox.baseVal;
  const mark = (svg, name, attributes) => {
    const kind = name === "dot" ? "circle" : name === "span" ? "rect" : "line";
    const found = svg.querySelector(`[data-mark=${name}]`) ?? svg.appendChild(document.createElementNS(SVG, kind));
    found.setAttribute("data-mark", name);
    found.setAttribute("class", name === "dot" ? "dot" : name === "span" ? "band" : "axis");
    Object.entries(attributes).forEach(([key, value]) => found.setAttribute(key, value));
  };
  const spanOf = (trace) => ["from", "to"].map((name) => Number(trace.dataset[name]));
  const timeAt = (trace, part) => {
    const [from, to] = spanOf(trace);
    return from + within(part) * (to - from);
  };
  function show(time) {
    const trace = view().querySelector("[data-trace]");
    const plan = view().querySelector("[data-plan]");
    const [from, to] = spanOf(trace);
    const x = inPercent((time - from) / (to - from));
    mark(trace, "cursor", { x1: x, x2: x, y1: 0, y2: "100%" });
    if (!plan) return;
    const near = pointsOf(plan).reduce((best, one) => (Math.abs(one[0] - time) < Math.abs(best[0] - time) ? one : best));
    const { width, height } = sizeOf(plan);
    mark(plan, "dot", { cx: inPercent(near[1] / width), cy: inPercent(near[2] / height), r: 6 });
    view().querySelector(".readout").textContent = `At ${near[0].toFixed(1)} s: ${near[3].toFixed(1)} ${plan.dataset.unit}.`;
  }
  let begun = null;
  document.addEventListener("pointerdown", (event) => {
    const trace = event.target.closest?.("[data-trace]");
    begun = trace && event.pointerType !== "touch" ? at(trace, event)[0] : null;
  });
  document.addEventListener("pointermove", (event) => {
    const trace = event.target.closest?.("[data-trace]");
    const plan = event.target.closest?.("[data-plan]");
    if (trace) {
      const x = at(trace, event)[0];
      show(timeAt(trace, x));
      if (begun !== null) {
        const [left, right] = [begun, x].map(within).sort((one, other) => one - other);
        mark(trace, "span", { x: inPercent(left), y: 0, width: inPercent(right - left), height: "100%" });
      }
    } else if (plan) {
      const { width, height } = sizeOf(plan);
      const [x, y] = at(plan, event).map((part, down) => part * (down ? height : width));
      const near = pointsOf(plan).reduce((best, one) => (Math.hypot(one[1] - x, one[2] - y) < Math.hypot(best[1] - x, best[2] - y) ? one : best));
      show(near[0]);
    }
  });
  document.addEventListener("pointerup", (event) => {
    const trace = event.target.closest?.("[data-trace]");
    const start = begun;
    begun = null;
    if (!trace || start === null) return;
    const end = at(trace, event)[0];
    if (Math.abs(end - start) < 0.0125) return trace.querySelector("[data-mark=span]")?.remove();
    const [from, to] = [timeAt(trace, Math.min(start, end)), timeAt(trace, Math.max(start, end))];
    const query = `from=${from.toFixed(2)}&to=${to.toFixed(2)}`;
    if (window.htmx) window.htmx.ajax("GET", `${view().dataset.at}/trace?${query}`, { target: "#trace", swap: "outerHTML" });
    else location.assign(`${view().dataset.at}?${query}#trace`);
  });
})();
