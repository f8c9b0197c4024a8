// What is hard to read on this page, or to hit: each fault in a few words. Text and lines are held against the first
// ground behind them that is not clear.
() => {
  const LEAST_TEXT_PX = 16, LEAST_HIGH_PX = 44, TEXT_RATIO = 4.5, LINE_RATIO = 3, ROUNDED_PX = 0.5;
  const parse = (text) => {
    const [r, g, b, a = 1] = (text.match(/[\d.]+/g) ?? []).map(Number);
    return text.startsWith("color(") ? [r * 255, g * 255, b * 255, a] : [r, g, b, a];
  };
  const over = ([r, g, b, a], [R, G, B]) => [r * a + R * (1 - a), g * a + G * (1 - a), b * a + B * (1 - a), 1];
  const light = (colour) => {
    const [r, g, b] = colour.map((v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ratio = (one, other) => {
    const [dark, bright] = [light(one), light(other)].sort((a, b) => a - b);
    return (bright + 0.05) / (dark + 0.05);
  };
  const known = new Map();
  const ground = (element) => {
    if (!element) return [255, 255, 255, 1];
    if (known.has(element)) return known.get(element);
    const own = element instanceof SVGElement ? [0, 0, 0, 0] : parse(getComputedStyle(element).backgroundColor);
    const found = own[3] === 1 ? own : own[3] === 0 ? ground(element.parentElement) : over(own, ground(element.parentElement));
    known.set(element, found);
    return found;
  };
  const faults = new Set();
  const fault = (element, said) => {
    const css = element.getAttribute("class");
    faults.add(`${said}: ${element.tagName.toLowerCase()}${css ? "." + css : ""} “${element.textContent.trim().slice(0, 30)}”`);
  };
  const inSight = (element) => element.checkVisibility({ opacityProperty: true, visibilityProperty: true });
  const tooFaint = (element, found, least, what) => found < least && fault(element, `${what} at ${found.toFixed(2)} to 1`);

  const text = (element, px, colour, behind) => {
    if (px < LEAST_TEXT_PX - 0.05) fault(element, `${px.toFixed(1)} px`);
    tooFaint(element, ratio(over(colour, behind), behind), TEXT_RATIO, "text");
  };
  const drawn = (element, style) => {
    const behind = ground(element.parentElement);
    if (element.tagName === "text") {
      const at = element.getScreenCTM();
      return text(element, parseFloat(style.fontSize) * Math.hypot(at.a, at.b), parse(style.fill), behind);
    }
    if (!(element instanceof SVGGeometryElement) || element.matches(".mask, .code *")) return;
    const paints = [[style.stroke, style.strokeOpacity], [style.fill, style.fillOpacity]].filter(([paint]) => /^(rgb|color)/.test(paint));
    const ratios = paints.map(([paint, opacity]) => {
      const [r, g, b, a] = parse(paint);
      return ratio(over([r, g, b, a * opacity * style.opacity], behind), behind);
    });
    if (ratios.length) tooFaint(element, Math.max(...ratios), LINE_RATIO, "line");
  };
  const outlined = (element, style) => {
    const outside = ground(element.parentElement);
    for (const side of ["Top", "Right", "Bottom", "Left"]) {
      const [r, g, b, a] = parse(style[`border${side}Color`]);
      if (style[`border${side}Style`] === "none" || !parseFloat(style[`border${side}Width`]) || a === 0) continue;
      const line = over([r, g, b, a * style.opacity], outside);
      // A line of the ground's own colour keeps room for one that is drawn elsewhere.
      if (ratio(line, outside) > 1) tooFaint(element, Math.max(ratio(line, outside), ratio(ground(element), outside)), LINE_RATIO, "outline");
    }
  };
  // A link within a running line is as high as the line.
  const inALine = (element) =>
    element.matches("a, button.link, summary") && element.parentElement.textContent.trim().length > element.textContent.trim().length + 1;
  const pressed = (element) => {
    const high = (one) => one?.getBoundingClientRect().height ?? 0;
    const px = Math.max(high(element), high(element.closest("label")));
    // One pixel is for a keyboard and a reader alone.
    if (high(element) > 1 && px < LEAST_HIGH_PX - ROUNDED_PX && !inALine(element)) fault(element, `${px.toFixed(0)} px high`);
  };

  for (const element of document.body.querySelectorAll("*:not(script, style, option, title, desc)")) {
    if (element.closest(".sr-only, .skip") || !inSight(element)) continue;
    const style = getComputedStyle(element);
    if (element instanceof SVGElement) drawn(element, style);
    else {
      outlined(element, style);
      const says = [...element.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim());
      if (says && !element.matches(":disabled")) text(element, parseFloat(style.fontSize), parse(style.color), ground(element));
      if (element.matches("a[href], button, summary, input:not([type=hidden]), select, textarea")) pressed(element);
    }
  }
  const levels = [...document.querySelectorAll("h1, h2, h3, h4, h5, h6")].filter(inSight).map((head) => Number(head.tagName[1]));
  if (levels[0] !== 1 || levels.filter((level) => level === 1).length !== 1) faults.add(`headings ${levels.slice(0, 5)}`);
  if (levels.some((level, index) => index && level > levels[index - 1] + 1)) faults.add(`a heading leaves a level out: ${levels}`);
  for (const table of document.querySelectorAll("table"))
    if (!table.caption && !table.closest("[aria-label]")) fault(table, "no caption");
  return [...faults];
}
