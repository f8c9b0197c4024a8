"""Every pair of text and ground that the stylesheet uses can be read, in the light and in the dark.

Formula and limits: WCAG 2.1, https://www.w3.org/TR/WCAG21/#dfn-contrast-ratio, #dfn-relative-luminance on the
same page; success criteria 1.4.3 (text, 4.5) and 1.4.11 (parts, 3).
"""

import re
from pathlib import Path

import pytest

CSS = (Path(__file__).parents[2] / "static/garage.css").read_text()
THEMES = dict(zip(("light", "dark"), re.findall(r":root \{(.*?)\}", CSS, re.S)[:2], strict=True))
TEXT_PAIRS = [(text, ground) for ground in ("paper", "sheet", "wash") for text in ("ink", "soft", "blue", "red")] + [
    ("on-press", "press"),
    *((text, ground) for ground in ("tint", "paper", "sheet") for text in ("ink", "soft", "doubt")),
    ("paper", "blue"),
]
PARTS = ("line", "blue", "red", "doubt")
PART_PAIRS = [(part, ground) for ground in ("paper", "sheet") for part in PARTS]


def relative_luminance(colour: str) -> float:
    """Relative luminance (0 to 1) of '#rrggbb', WCAG 2.1."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio (1 to 21) of two colours, WCAG 2.1."""
    lighter, darker = sorted((relative_luminance(one), relative_luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def colour(theme: str, name: str) -> str:
    return re.search(rf"--{name}: (#[0-9a-f]{{6}});", THEMES[theme]).group(1)


def test_formula_gives_the_extremes_the_standard_names():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)  # WCAG 2.1: ratios range from 1 to 21
    assert contrast("#777777", "#777777") == 1


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("text,ground", TEXT_PAIRS)
def test_text_stands_out_at_least_4_5_to_1(theme, text, ground):
    assert contrast(colour(theme, text), colour(theme, ground)) >= 4.5


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("part,ground", PART_PAIRS)
def test_lines_to_write_on_and_marks_stand_out_at_least_3_to_1(theme, part, ground):
    assert contrast(colour(theme, part), colour(theme, ground)) >= 3


def test_print_is_black_on_white():
    printed = CSS[CSS.index("@media print") :]
    assert "--paper: #fff;" in printed and "--ink: #000;" in printed


def test_rules_outside_the_tokens_name_no_colour_of_their_own():
    body = CSS[CSS.index("/* 2 ground") : CSS.index("@media print")]
    assert re.findall(r"#[0-9a-fA-F]{3,6}\b", body) == []
