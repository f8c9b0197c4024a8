"""The size of a prop as people write it, read into diameter and pitch; what is unclear is asked about,
never guessed.

Ways of writing, common practice, no source, where none is named: `42 x 58` millimetres by millimetres;
`1.34 x 2.06` inches by inches; `40 x 1.4` or `40/1.4` diameter and ratio; `x455` and `642`, a number of three
figures: the first is the tenths of the ratio above 1, the others the diameter in mm (trade forum, read in
excerpts; the form without letters from memory); `1447`, four figures on a lifting prop: ratio in tenths, then
diameter in mm (from memory); `42 x 55 x 2`, diameter by pitch by the number of blades (common practice, no source).
"""

import re
from dataclasses import dataclass, replace

from garage.units import UnreadableQuantity, parse_number, parse_quantity

MM_PER_INCH = 25.4  # exact, by definition
LEAST_MM = 10.0
MOST_INCHES = 5.0
RATIO_BELOW = 2.5
# Beyond these a figure is more likely in another unit than a prop like that exists; common practice, no
# source.
LOW_RATIO, HIGH_RATIO = 0.8, 2.5
_BY = re.compile(r"\s*(?:[x×*✕]|\bby\b)\s*", re.IGNORECASE)
# Diameter and ratio separated by a stroke; fractions of an inch have no figure behind a point.
_STROKE = re.compile(r"([0-9.,]+(?: ?mm)?) ?/ ?([12][.,][0-9]+)")
_CODE = re.compile(r"([a-z]{0,3})[ -]?([0-9]{3,4})", re.IGNORECASE)
# The number of blades behind diameter and pitch.
_BLADES = re.compile(r"(.+[0-9a-z\"″”'′’])\s*[x×*✕]\s*([2-6])(?:\s*blades?)?", re.IGNORECASE)
_RATIO = re.compile(r"(?:ratio\s*(.+)|(.+?)\s*ratio)", re.IGNORECASE)
_HAS_UNIT = re.compile(r"[a-z\"″”'′’]", re.IGNORECASE)
_ASK = "Write it like 42 x 58 mm, 1.65 x 2.3 in or 40 x 1.4, or fill in diameter and pitch."


class UnclearSize(ValueError):
    """A size that can be read in two ways or in none; its text is a plain question for the page."""


@dataclass(frozen=True)
class SizeReading:
    """Diameter and pitch in mm as understood from a written size; `words` says how it was understood."""

    diameter_mm: float
    pitch_mm: float
    words: str
    lifting: str = ""
    blades: int | None = None

    @property
    def ratio(self) -> float:
        """Pitch over diameter."""
        return self.pitch_mm / self.diameter_mm


def read_size(text: str) -> SizeReading:
    """The reading of one written size. Raises UnclearSize, in words for the page."""
    cleaned = text.strip()
    if len(cleaned) > 60:
        raise UnclearSize(f"{len(cleaned)} characters were written; a size needs at most 60.")
    with_blades = _BLADES.fullmatch(cleaned)
    if with_blades and len(_BY.split(with_blades[1])) == 2:
        pair, blades = read_size(with_blades[1]), int(with_blades[2])
        return replace(pair, words=f"{pair.words}, {blades} blades", blades=blades)
    code = _CODE.fullmatch(cleaned)
    if code:
        return _from_code(code[1], code[2])
    stroke = _STROKE.fullmatch(cleaned)
    parts = list(stroke.groups()) if stroke else _BY.split(cleaned)
    if len(parts) != 2 or not all(parts):
        raise UnclearSize(f"“{_short(cleaned)}” is not a size that can be read. {_ASK}")
    try:
        return _plausible(_from_pair(*parts), cleaned)
    except UnreadableQuantity as unread:
        raise UnclearSize(str(unread)) from unread


def _from_code(letters: str, figures: str) -> SizeReading:
    diameter = float(figures[-2:])
    if len(figures) == 3:
        ratio = 1 + int(figures[0]) / 10
        if figures[0] == "0" or diameter < LEAST_MM:
            raise UnclearSize(f"“{letters}{figures}” is not a number code that is known here. {_ASK}")
        return SizeReading(diameter, ratio * diameter, f"a number code: ratio {ratio:.1f}, diameter {diameter:g} mm")
    first = int(figures[:2])
    as_ratio = 10 <= first <= 10 * HIGH_RATIO and diameter >= LEAST_MM
    as_pitch_mm = diameter >= LEAST_MM and first / diameter >= LOW_RATIO
    if letters or not as_ratio or as_pitch_mm:
        raise UnclearSize(f"“{letters}{figures}” can be read in more than one way. {_ASK}")
    ratio = first / 10
    words = f"a lifting prop’s number: ratio {ratio:.1f}, diameter {diameter:g} mm"
    return SizeReading(diameter, ratio * diameter, words, lifting="lifting")


def _from_pair(first: str, second: str) -> SizeReading:
    ratio_text = _RATIO.fullmatch(second)
    if ratio_text:
        diameter = _diameter_alone(first)
        ratio = parse_number(ratio_text[1] or ratio_text[2])
        return _by_ratio(diameter, ratio)
    if _HAS_UNIT.search(second):
        pitch = parse_quantity(second, "length")
        if _HAS_UNIT.search(first):
            diameter = parse_quantity(first, "length")
        else:
            diameter = parse_number(first) * pitch / _bare(second)
        return SizeReading(diameter, pitch, "diameter by pitch, with their unit")
    figure = parse_number(second)
    if _HAS_UNIT.search(first):
        return _unit_on_first_only(first, figure)
    return _bare_pair(parse_number(first), figure, f"{first} x {second}")


def _bare_pair(first: float, second: float, written: str) -> SizeReading:
    if first > LEAST_MM and 0 < second < RATIO_BELOW:
        return _by_ratio(first, second)
    if first > LEAST_MM and second > LEAST_MM:
        return SizeReading(first, second, "millimetres by millimetres")
    if 0 < first <= MOST_INCHES and 0 < second <= LEAST_MM:
        return SizeReading(first * MM_PER_INCH, second * MM_PER_INCH, "inches by inches")
    raise UnclearSize(f"“{_short(written)}”: millimetres, inches or a ratio? {_ASK}")


def _unit_on_first_only(first: str, figure: float) -> SizeReading:
    diameter = parse_quantity(first, "length")
    in_mm = abs(_bare(first) - diameter) < 1e-9
    if in_mm and 0 < figure < RATIO_BELOW:
        return _by_ratio(diameter, figure)
    if in_mm and figure > LEAST_MM:
        return SizeReading(diameter, figure, "millimetres by millimetres")
    raise UnclearSize(f"{figure:g} after “{_short(first)}”: a pitch or a ratio? Write its unit, or “ratio {figure:g}”.")


def _diameter_alone(text: str) -> float:
    if _HAS_UNIT.search(text):
        return parse_quantity(text, "length")
    diameter = parse_number(text)
    if diameter <= LEAST_MM:
        raise UnclearSize(f"{_short(text)}: millimetres or inches? Write the unit.")
    return diameter


def _by_ratio(diameter_mm: float, ratio: float) -> SizeReading:
    return SizeReading(diameter_mm, diameter_mm * ratio, f"diameter {diameter_mm:g} mm and ratio {ratio:g}")


def _bare(text: str) -> float:
    """The figure of a quantity without its unit."""
    return parse_number(re.sub(r"[^0-9., /+-]+.*$", "", text))


def _plausible(reading: SizeReading, written: str) -> SizeReading:
    if reading.diameter_mm <= 0 or not 5 <= reading.diameter_mm <= 300:
        raise UnclearSize(f"A diameter of {reading.diameter_mm:.4g} mm? {_ASK}")
    if not LOW_RATIO <= reading.ratio <= HIGH_RATIO:
        raise UnclearSize(
            f"“{_short(written)}” would be a pitch ratio of {reading.ratio:.3g}, and props lie between "
            f"{LOW_RATIO:g} and {HIGH_RATIO:g}: which figure is the diameter, and in which unit? {_ASK}"
        )
    return reading


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"
