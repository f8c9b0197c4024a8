"""Every line drawing renders, names itself, and keeps our content policy (no inline style, no small text)."""

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import jinja2
import pytest

ROOT = Path(__file__).parents[2]
WIDEST_LETTER = 7.0  # mean advance of our font at 14 px semibold, measured in the browser, rounded up
SVG = "{http://www.w3.org/2000/svg}"
CALLS = (
    ["strut()", "strake_on_bottom()", "deadrise()", "tabs()", "pitch_07r()"]
    + [f"balance('{kind}')" for kind in ("mono", "catamaran", "tunnel", "hydroplane", "outrigger")]
    + [
        f"section('{name}')"
        for name in ("rectangle", "triangle", "round", "half-round", "tube", "sheet", "angle", "custom")
    ]
)


def drawn(call: str) -> ET.Element:
    loader = jinja2.FileSystemLoader(ROOT / "templates")
    environment = jinja2.Environment(loader=loader, undefined=jinja2.StrictUndefined, autoescape=True)
    markup = environment.from_string("{% import 'parts/drawings.html' as d %}{{ d." + call + " }}").render()
    return ET.fromstring(markup.strip().replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))


@pytest.mark.parametrize("call", CALLS)
def test_drawing_has_a_name_a_description_and_no_inline_style(call):
    svg = drawn(call)
    assert svg.get("role") == "img"
    assert svg.findtext(f"{SVG}title") and len(svg.findtext(f"{SVG}desc")) > 20
    assert not [element for element in svg.iter() if element.get("style") or element.get("id")]


@pytest.mark.parametrize("call", CALLS)
def test_words_and_lines_stay_inside_the_picture(call):
    svg = drawn(call)
    width, height = map(float, svg.get("viewBox").split()[2:])
    for element in svg.iter(f"{SVG}text"):
        x, y, length = float(element.get("x")), float(element.get("y")), WIDEST_LETTER * len(element.text)
        start = x - length / 2 if "mid" in element.get("class") else x
        start = x - length if "end" in element.get("class").split() else start
        assert start >= -1 and start + length <= width + 1 and 12 <= y <= height - 1, element.text


@pytest.mark.parametrize("call", CALLS)
def test_every_class_used_is_in_the_stylesheet(call):
    css = (ROOT / "static/garage.css").read_text()
    used = {name for element in drawn(call).iter() for name in (element.get("class") or "").split()}
    assert all(re.search(rf"\.{name}\b", css) for name in used)


def test_a_balance_drawing_names_the_datum_of_its_kind():
    def words(kind):
        return " ".join(element.text for element in drawn(f"balance('{kind}')").iter(f"{SVG}text"))

    for kind in ("hydroplane", "outrigger"):
        assert "from sponson transom" in words(kind)
    for kind in ("mono", "tunnel"):
        assert "from transom" in words(kind) and "sponson" not in words(kind)
    assert "rear end of the sponsons" in words("catamaran") and "transom" not in words("catamaran")
