// Notes what gets the focus on this page, one after the other, and whether that can be seen. `expected` is all that a
// keyboard must reach, in the order of the page: of radios of one name only one is a stop.
() => {
  const RATIO = 3, LEAST_PX = 2;
  const parse = (text) => {
    const [r, g, b, a = 1] = (text.match(/[\d.]+/g) ?? []).map(Number);
    return text.startsWith("color(") ? [r * 255, g * 255, b * 255, a] : [r, g, b, a];
  };
  const light = (colour) => {
    const [r, g, b] = colour.map((v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ratio = (one, other) => {
    const [dark, bright] = [light(one), light(other)].sort((a, b) => a - b);
    return (bright + 0.05) / (dark + 0.05);
  };
  const ground = (element) => {
    for (let one = element; one; one = one.parentElement) {
      const colour = parse(getComputedStyle(one).backgroundColor);
      if (colour[3] === 1) return colour;
    }
    return [255, 255, 255, 1];
  };
  const seen = (element) => {
    const shown = element.matches(".choose input") ? element.nextElementSibling : element;
    const style = getComputedStyle(shown);
    return style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= LEAST_PX &&
      ratio(parse(style.outlineColor), ground(shown.parentElement)) >= RATIO;
  };
  const name = (element) => `${element.tagName.toLowerCase()} ${element.name ?? ""} “${(element.textContent || element.value || "").trim().slice(0, 30)}”`;
  const stops = [...document.querySelectorAll("a[href], button, summary, input:not([type=hidden]), select, textarea")]
    .filter((one) => one.checkVisibility({ visibilityProperty: true }) && !one.disabled && one.tabIndex >= 0)
    .filter((one) => one.type !== "radio" || one === stopOf(one));
  function stopOf(radio) {
    const group = [...(radio.form ?? document).querySelectorAll(`input[type=radio][name="${CSS.escape(radio.name)}"]`)];
    return group.find((one) => one.checked) ?? group[0];
  }
  window.focused = [];
  document.addEventListener("focusin", ({ target }) => {
    if (target.tagName !== "MAIN") window.focused.push([stops.indexOf(target), name(target), seen(target)]);
  });
  document.querySelector(".skip").focus();
  // Within a field for a day or a time there are stops for its parts.
  return { names: stops.map(name), parts: document.querySelectorAll("input[type=date], input[type=datetime-local], audio, video").length };
}
