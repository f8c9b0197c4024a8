"""A stored number as a page writes it, and as it stands in an input field."""

import math
from dataclasses import dataclass
from fractions import Fraction

from garage.units.exchange import in_unit, unit_scale
from garage.units.kinds import KINDS

_THIN_SPACE = "\u202f"  # narrow and unbreakable: a number must not fall apart at the end of a line
_MINUS = "\u2212"


@dataclass(frozen=True)
class Shown:
    """A quantity as it is written on a page: digits, and the unit to stand small beside them."""

    text: str
    unit: str

    def __str__(self) -> str:
        return f"{self.text}{'' if self.unit == '°' else ' '}{self.unit}"


def show(value: float, kind: str, unit: str | None = None, decimals: int | None = None) -> Shown:
    """A stored `value` as it stands on a page, in `unit` (default: the storage unit).

    Rounded to `decimals`, or to the kind's own habit; groups of three from four digits on, a true minus sign.
    """
    known = KINDS[kind]
    label = unit or known.storage_unit
    number = value if label == known.storage_unit else float(in_unit(value, kind, label))
    digits = known.decimals[label] if decimals is None else decimals
    text = f"{abs(number):,.{digits}f}".replace(",", _THIN_SPACE)
    if known.trim and decimals is None and "." in text:
        text = text.rstrip("0").rstrip(".")
    is_zero = not text.strip("0.")
    return Shown(text if is_zero or number >= 0 else _MINUS + text, label)


def entry_text(value: float | None, kind: str, unit: str | None = None) -> str:
    """What stands in an input field for a stored `value`: a short plain number, in `unit` (default: the
    storage unit), that reads back as exactly the same stored value; empty for None."""
    if value is None:
        return ""
    label = unit or KINDS[kind].storage_unit
    wanted = in_unit(value, kind, label)
    size, zero = unit_scale(kind, label)
    # 15 digits carry any decimal number a person typed; more are needed after some conversions only.
    for digits in range(15, 30):
        text = _rounded(wanted, digits)
        if float(Fraction(text) * size + zero) == value:
            return text
    return _rounded(wanted, 17)


def shortest_entry(value: float | None, kind: str, unit: str) -> str:
    """The same for a value of which it is not kept in which unit it was typed: in `unit`, or with its label in the
    storage unit where that takes fewer digits."""
    stored = KINDS[kind].storage_unit
    text, kept = entry_text(value, kind, unit), entry_text(value, kind)
    return text if len(text) <= len(kept) else f"{kept} {stored}"


def _rounded(value: Fraction, digits: int) -> str:
    """`value` to so many significant digits, written without exponent unless it is minute."""
    if not value:
        return "0"
    magnitude = math.floor(math.log10(abs(value.numerator)) - math.log10(value.denominator))
    shift = digits - 1 - magnitude
    scaled = round(value * Fraction(10) ** shift)
    if magnitude < -20:
        return f"{scaled}e{-shift}"
    if shift <= 0:
        return str(scaled * 10**-shift)
    padded = str(abs(scaled)).rjust(shift + 1, "0")
    text = f"{padded[:-shift]}.{padded[-shift:]}".rstrip("0").rstrip(".")
    return f"-{text}" if scaled < 0 else text
