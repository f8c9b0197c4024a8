"""Line pictures of our own for the demo: what a camera would have seen, drawn with a ruler.

The imaging library is only loaded when a picture is drawn.
"""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw

_SIZE = (1200, 800)
# Drawn at twice the size and made smaller, so that lines are smooth.
_FINER = 2
_PAPER, _INK, _PALE, _RED, _WATER = "#f4efe4", "#26323a", "#9aa5a4", "#b5482f", "#cfdcdb"
Points = list[tuple[float, float]]


def draw_picture(name: str) -> bytes:
    """The picture called `name` as PNG, always the same. KeyError if there is none of that name."""
    from PIL import Image, ImageDraw

    sheet = Image.new("RGB", (_SIZE[0] * _FINER, _SIZE[1] * _FINER), _PAPER)
    _PICTURES[name](_Pen(ImageDraw.Draw(sheet)))
    out = io.BytesIO()
    sheet.resize(_SIZE, Image.Resampling.LANCZOS).quantize(64).save(out, "PNG", optimize=True)
    return out.getvalue()


class _Pen:
    """Lines and shapes in the picture's own coordinates."""

    def __init__(self, draw: ImageDraw) -> None:
        self._draw = draw

    def line(self, points: Points, ink: str = _INK, width: int = 4) -> None:
        """An open line."""
        self._draw.line(_finer(points), fill=ink, width=width * _FINER, joint="curve")

    def shape(self, points: Points, fill: str | None = None, ink: str = _INK, width: int = 4) -> None:
        """A closed shape, filled or not."""
        if fill:
            self._draw.polygon(_finer(points), fill=fill)
        self.line([*points, points[0]], ink, width)

    def round(self, x: float, y: float, radius: float, fill: str | None = None, ink: str = _INK) -> None:
        """A circle."""
        box: Any = [*_finer([(x - radius, y - radius), (x + radius, y + radius)])]
        self._draw.ellipse(box, outline=ink, fill=fill, width=4 * _FINER)


def _finer(points: Points) -> list[tuple[float, float]]:
    return [(x * _FINER, y * _FINER) for x, y in points]


def _deep_v(pen: _Pen) -> None:
    """A mono from behind."""
    keel, chine, deck = (600, 590), 330, 300
    pen.line([(120, 640), (1080, 640)], _PALE, 3)
    pen.shape([keel, (1020, 590 - 153), (1000, deck), (200, deck), (180, 590 - 153)], "#e3dccb")
    pen.line([(180, 437), keel, (1020, 437)], _INK, 6)
    pen.line([(600, deck), keel], _PALE, 2)
    pen.round(600, 520, 16, _PAPER)
    pen.shape([(720, chine), (744, chine), (744, 700), (720, 680)], "#c9c2b2")


def _deep_v_with_tabs(pen: _Pen) -> None:
    _deep_v(pen)
    for side in (-1, 1):
        inner, outer = 600 + side * 130, 600 + side * 300
        rise = math.tan(math.radians(20))
        low, high = 590 - 130 * rise, 590 - 300 * rise
        pen.shape([(inner, low), (outer, high), (outer, high + 30), (inner, low + 30)], "#d8a95c")
        for share in (0.2, 0.5, 0.8):
            pen.round(inner + (outer - inner) * share, low + (high - low) * share - 16, 6, _INK)


def _strut_on_a_board(pen: _Pen) -> None:
    pen.shape([(80, 620), (1120, 620), (1120, 660), (80, 660)], "#d9c8a4")
    pen.shape([(80, 560), (640, 560), (640, 330), (80, 300)], "#e3dccb")
    pen.line([(640, 560), (1120, 560)], _PALE, 2)
    pen.shape([(640, 380), (760, 400), (1000, 446), (1000, 480), (760, 440), (640, 430)], "#b9bec0")
    pen.line([(420, 470), (1090, 470)], _RED, 3)
    pen.line([(1000, 463), (1090, 463)], _INK, 10)
    pen.line([(1050, 400), (1050, 530)], _INK, 14)
    pen.line([(880, 470), (880, 560)], _RED, 3)
    for end in (470, 560):
        pen.line([(866, end), (894, end)], _RED, 3)


def _catamaran(pen: _Pen) -> None:
    for side in (-1, 1):
        y = 400 + side * 130
        pen.shape([(140, y - 60), (820, y - 60), (1080, y), (820, y + 60), (140, y + 60)], "#e3dccb")
        pen.shape([(420, y - 26), (560, y - 26), (560, y + 26), (420, y + 26)], "#b9bec0")
        pen.line([(60, y), (420, y)], _INK, 6)
        pen.line([(66, y - 40), (66, y + 40)], _INK, 12)
    pen.shape([(300, 330), (760, 330), (820, 400), (760, 470), (300, 470)], "#d6d0c0")
    pen.line([(100, 400), (1100, 400)], _PALE, 2)


def _outrigger(pen: _Pen) -> None:
    pen.shape([(120, 360), (760, 350), (1060, 400), (760, 450), (120, 440)], "#e3dccb")
    for x in (560, 800):
        pen.line([(x, 140), (x, 660)], _INK, 8)
    for y in (150, 650):
        pen.shape([(480, y - 46), (840, y - 46), (980, y), (840, y + 46), (480, y + 46)], "#d6d0c0")
    pen.shape([(250, 380), (440, 380), (440, 420), (250, 420)], "#b9bec0")
    pen.line([(40, 400), (250, 400)], _INK, 6)
    pen.line([(46, 360), (46, 440)], _INK, 12)


def _three_blades(pen: _Pen) -> None:
    for blade in range(3):
        turned = math.radians(120 * blade - 90)
        outline = []
        for share in range(41):
            along = share / 40
            radius = 60 + 250 * math.sin(math.pi * along) ** 0.6
            angle = turned + (along - 0.42) * 1.35
            outline.append((600 + radius * math.cos(angle), 400 + radius * math.sin(angle)))
        pen.shape(outline, "#d9b777" if blade else "#e6cfa3")
    pen.round(600, 400, 62, "#c99f55")
    pen.round(600, 400, 22, _PAPER)
    pen.line([(570, 92), (640, 82)], _RED, 5)


def _the_mere(pen: _Pen) -> None:
    pen.shape([(0, 330), (1200, 330), (1200, 800), (0, 800)], _WATER, _WATER)
    far = [(x, 330 - 34 - 22 * math.sin(x / 90) - 12 * math.sin(x / 31)) for x in range(0, 1201, 20)]
    pen.shape([(0, 330), *far, (1200, 330)], "#aebba4", "#7d8c78", 3)
    for number in range(26):
        x = 20 + number * 17
        pen.line([(x, 340), (x + (number % 3 - 1) * 6, 250 + (number * 37) % 50)], "#6f7f5f", 3)
    for x, y in ((240, 470), (980, 430)):
        pen.shape([(x - 16, y), (x + 16, y), (x, y - 46)], _RED)
    for wake in ((120, 640), (170, 720)):
        pen.line([(730, 560), wake], "#ffffff", 8)
    pen.shape([(720, 566), (900, 540), (980, 520), (890, 516), (740, 530)], "#f4efe4")
    for y in (620, 680, 740):
        pen.line([(480 + y % 70, y), (760 + y % 90, y - 3)], "#b5c7c6", 4)


def _receipt(pen: _Pen) -> None:
    """A slip of paper with lines that nobody can read."""
    pen.shape([(380, 60), (820, 60), (820, 740), (764, 716), (708, 740), (652, 716), (596, 740), (540, 716), (484, 740),
               (428, 716), (380, 740)], "#ffffff", _PALE)  # fmt: skip
    pen.line([(500, 130), (700, 130)], _INK, 10)
    for row, length in enumerate((180, 220, 140, 200, 160)):
        y = 230 + 70 * row
        pen.line([(430, y), (430 + length, y)], _PALE, 8)
        pen.line([(710, y), (770, y)], _PALE, 8)
    pen.line([(430, 600), (770, 600)], _INK, 3)
    pen.line([(660, 640), (770, 640)], _INK, 10)


_PICTURES: dict[str, Callable[[_Pen], None]] = {
    "deep-V from behind": _deep_v,
    "deep-V with tabs": _deep_v_with_tabs,
    "strut on a board": _strut_on_a_board,
    "catamaran from above": _catamaran,
    "outrigger from above": _outrigger,
    "three blades": _three_blades,
    "the mere": _the_mere,
    "receipt": _receipt,
}
