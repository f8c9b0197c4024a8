"""What of a chart is shown on a page of some width, and how far its words reach there."""

from collections.abc import Iterator
from xml.etree import ElementTree

from garage.web.plot import LETTER_PX, WIDTHS_PX


def shown_at_each_width(
    texts: list[ElementTree.Element],
) -> Iterator[tuple[int, list[ElementTree.Element]]]:
    """Each width that the data may have, and those of `texts` along the axis that are shown there."""
    along = [text for text in texts if "mid" in text.get("class", "").split()]
    hidden = {css for _, css in WIDTHS_PX if css}
    for width_px, css in WIDTHS_PX:
        hidden -= {css}
        yield width_px, [text for text in along if not hidden & set(text.get("class", "").split())]


def spans_px(texts: list[ElementTree.Element], width_px: float) -> list[tuple[float, float]]:
    """From where to where each label in the middle of its place reaches."""
    halves = [(place(text) / 100 * width_px, LETTER_PX * len(text.text or "") / 2) for text in texts]
    return [(x - half, x + half) for x, half in halves]


def place(element: ElementTree.Element, name: str = "x") -> float:
    """Where something lies across the data, in percent."""
    return float(element.get(name, "").removesuffix("%"))
