"""Text to a stored number, without ever guessing.

A strict pattern of our own splits number and unit; the unit is looked up in the short list of that kind.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from garage.units.exchange import unit_scale
from garage.units.kinds import KINDS, Kind

_LONGEST_TEXT = 60
_LARGEST = 1e15

# Upper or lower case is ignored unless it changes the size, as milli against mega.
_CASE_MATTERS = {
    "mm", "m", "g", "K", "mV", "mA", "mΩ", "mohm", "mOhm", "mF", "mm²", "mm2", "mm^2", "mm³", "mm3", "mm^3",
    "mN m", "mNm", "mm²/s", "mm2/s", "mm^2/s", "m²/s", "m2/s", "m^2/s",
}  # fmt: skip
# Other ways people write a label.
_SPELLINGS = {
    "in": ('"', "″", "”", "inch", "inches"), "ft": ("'", "′", "’", "feet", "foot"), "km/h": ("kmh", "kph"),
    "kn": ("kt", "kts", "knots"), "mΩ": ("mohm", "mOhm"), "Ω": ("ohm", "ohms"), "mi": ("mile", "miles"),
    "°": ("deg", "degrees"), "s": ("sec",), "min": ("mins",), "h": ("hr", "hrs"), "d": ("days",),
    "rpm/V": ("kv",), "rpm": ("1/min",), "mm³": ("mm3", "mm^3"), "cm³": ("cm3", "cm^3", "cc"),
    "mm²": ("mm2", "mm^2"), "cm²": ("cm2", "cm^2"), "in²": ("in2", "in^2", "sq in"),
    "kg/m³": ("kg/m3", "kg/m^3"), "g/cm³": ("g/cm3", "g/cm^3"), "µF": ("uf",),
    "µm": ("um", "micron", "microns"), "m²/s": ("m2/s", "m^2/s"),
    "mm²/s": ("mm2/s", "mm^2/s", "cSt"), "J/kg/K": ("J/(kg K)", "J/kg K"), "m/s²": ("m/s2", "m/s^2"), "N m": ("Nm",),
    "mN m": ("mNm",), "m²/l": ("m2/l", "m^2/l"), "l": ("litre", "litres"),
    "oz": ("ounces",), "lb": ("lbs", "pounds"), "g": ("grams",), "°C": ("C", "degC", "deg C", "° C"),
    "°F": ("F", "degF", "deg F", "° F"), "K": ("°C", "C", "degC"), "%": ("percent", "pct"),
}  # fmt: skip
_SAME_SIGNS = str.maketrans(
    {"\u2126": "Ω", "\u03bc": "µ", "º": "°", "℃": "°C", "℉": "°F"}
    | {"\u2212": "-", "\u2013": "-", "\u2044": "/"}
    | dict.fromkeys("\u00a0\u202f\u2007\u2008\u2009", " ")
    | {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
)
_NUMBER = re.compile(
    r"(?P<sign>[+-]?) ?(?:"
    r"(?:(?P<whole>[0-9]{1,4})[ -])?(?P<top>[0-9]{1,4})/(?P<bottom>[0-9]{1,4})(?![0-9.,/])"
    r"|(?P<grouped>[0-9]{1,3}(?: [0-9]{3})+)(?P<rest>[.,][0-9]+)?(?![0-9.,])"
    r"|(?P<plain>[0-9]*[.,]?[0-9]+)(?P<power>[eE][+-]?[0-9]{1,4})?(?![0-9.,])"
    r")"
)
_NOT_A_UNIT = tuple("0123456789+-*/^:.,²³")
_ASKED_ABOUT = re.compile(r"(?P<before>[1-9][0-9]*),(?P<after>[0-9]{3})(?![0-9.,])")
_CLOCK = re.compile(r"(?:(?P<hours>[0-9]{1,3}):)?(?P<minutes>[0-9]{1,3}):(?P<seconds>[0-5][0-9](?:[.,][0-9]+)?)")


class UnreadableQuantity(ValueError):
    """Text that is not a quantity of the asked kind; its own text is a plain message for the page."""


def parse_quantity(text: str, kind: str, bare_unit: str | None = None) -> float:
    """The value of `text` in the storage unit of `kind`.

    A number without a unit is in `bare_unit`, by default the storage unit. Raises UnreadableQuantity, in
    words for the page, when number or unit cannot be understood without guessing.
    """
    value, label, cleaned = _read(text, kind, bare_unit)
    size, zero = unit_scale(kind, label)
    return _finite(value * size + zero, cleaned)


def parse_in_unit(text: str, kind: str, unit: str) -> float:
    """The value of `text` in `unit`, which a number without a unit is in as well; raises UnreadableQuantity."""
    value, label, cleaned = _read(text, kind, unit)
    if label == unit:
        return _finite(value, cleaned)
    size, zero = unit_scale(kind, label)
    wanted_size, wanted_zero = unit_scale(kind, unit)
    return _finite((value * size + zero - wanted_zero) / wanted_size, cleaned)


def _read(text: str, kind: str, bare_unit: str | None) -> tuple[Fraction, str, str]:
    """Number, label of its unit, and the text they stood in."""
    known = KINDS[kind]
    cleaned = _cleaned(text)
    clock = _CLOCK.fullmatch(cleaned) if known.clock else None
    if clock:
        return _clock_seconds(clock), "s", cleaned
    value, unit_text = _split(cleaned, f"12.5 {bare_unit or known.storage_unit}")
    return value, _label(unit_text, known) if unit_text else bare_unit or known.storage_unit, cleaned


@dataclass(frozen=True)
class Typed:
    """A quantity as it was typed: its digits with the `unit` that they count in behind."""

    text: str
    unit: str


def typed_in(text: str, kind: str, bare_unit: str) -> Typed:
    """`34,2` where bare numbers are in mph is `34,2 mph`, `34.2 knots` is `34.2 kn`; raises UnreadableQuantity."""
    _, label, cleaned = _read(text, kind, bare_unit)
    if KINDS[kind].clock and _CLOCK.fullmatch(cleaned):
        return Typed(cleaned, label)
    found = _NUMBER.match(cleaned)
    return Typed(f"{found[0].strip() if found else cleaned} {label}", label)


def parse_number(text: str) -> float:
    """The value of a number without a unit, read by the same rules; raises UnreadableQuantity."""
    cleaned = _cleaned(text)
    value, unit_text = _split(cleaned, "12.5")
    if unit_text:
        raise UnreadableQuantity(f"“{_short(cleaned)}”: only a number goes here, no unit.")
    return _finite(value, cleaned)


def _cleaned(text: str) -> str:
    cleaned = text.strip()
    if len(cleaned) > _LONGEST_TEXT:
        raise UnreadableQuantity(f"{len(cleaned)} characters were written; a quantity needs at most {_LONGEST_TEXT}.")
    return re.sub(" {2,}", " ", cleaned.translate(_SAME_SIGNS)).strip()


def _split(text: str, example: str) -> tuple[Fraction, str]:
    """Number and what stands after it."""
    asked = _ASKED_ABOUT.match(text.lstrip("+- "))
    if asked:
        raise UnreadableQuantity(_which_comma(asked))
    found = _NUMBER.match(text)
    # "50 00", "9**9" and "10-12" are no number and unit, but a number gone wrong.
    if not found or text[found.end() :].lstrip()[:1] in _NOT_A_UNIT:
        raise UnreadableQuantity(f"“{_short(text)}” is not a number that can be read. Write it like {example}.")
    return _value(found, text), text[found.end() :].strip()


def _which_comma(asked: re.Match[str]) -> str:
    before, after = asked["before"], asked["after"]
    small = f"{before}.{after.rstrip('0') or '0'}"
    words = "five or five thousand" if asked[0] == "5,000" else f"{small} or {before}{after}"
    return f"{asked[0]}: {words}? Write {small} or {before}{after}."


def _value(found: re.Match[str], text: str) -> Fraction:
    if found["bottom"]:
        top, bottom = int(found["top"]), int(found["bottom"])
        if bottom == 0 or (found["whole"] and not 0 < top < bottom):
            raise UnreadableQuantity(f"“{_short(text)}” is not a fraction that can be read. Write it like 1 1/2.")
        size = int(found["whole"] or 0) + Fraction(top, bottom)
    elif found["grouped"]:
        size = Fraction((found["grouped"].replace(" ", "") + (found["rest"] or "")).replace(",", "."))
    else:
        power = int((found["power"] or "e0")[1:])
        if abs(power) > 330:
            raise UnreadableQuantity(f"“{_short(text)}” is beyond any measure on a boat.")
        size = Fraction(found["plain"].replace(",", ".")) * Fraction(10) ** power
    return -size if found["sign"] == "-" else size


def _clock_seconds(clock: re.Match[str]) -> Fraction:
    seconds = Fraction(clock["seconds"].replace(",", "."))
    return int(clock["hours"] or 0) * 3600 + int(clock["minutes"]) * 60 + seconds


def _finite(value: Fraction, text: str) -> float:
    if abs(value) > _LARGEST or (value and not float(value)):
        raise UnreadableQuantity(f"“{_short(text)}” is beyond any measure on a boat.")
    return float(value)


def _label(unit_text: str, kind: Kind) -> str:
    exact, any_case = _labels(kind.name)
    label = exact.get(unit_text) or any_case.get(unit_text.casefold())
    if label is None:
        raise UnreadableQuantity(
            f"The unit “{_short(unit_text)}” is not understood here. Understood: {', '.join(kind.units)}."
        )
    return label


@cache
def _labels(kind: str) -> tuple[dict[str, str], dict[str, str]]:
    """Labels by the spellings whose case matters, and by the folded ones whose case does not."""
    exact, any_case = {}, {}
    for label in KINDS[kind].units:
        for spelling in (*_SPELLINGS.get(label, ()), label):
            if spelling in _CASE_MATTERS:
                exact[spelling] = label
            else:
                any_case[spelling.casefold()] = label
    return exact, any_case


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"
