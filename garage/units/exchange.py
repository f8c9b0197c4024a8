"""How many of one unit make another: the only place that asks pint, and never with text a person wrote.

pint answers in exact fractions here, so that what was typed and shown again reads back as the same float.
"""

from fractions import Fraction
from functools import cache
from typing import Any

from garage.units.kinds import KINDS

# Exact definitions: NIST SP 811 (2008), appendix B (inch 25.4 mm, mile 1609.344 m, nautical mile 1852 m,
# avoirdupois pound 453.59237 g), read from memory and set against the published checks in the tests.
_DEFINITIONS = """
millimetre = [length]
metre = 1000 * millimetre
inch = 25.4 * millimetre
mile = 1609.344 * metre
gram = [mass]
pound = 453.59237 * gram
second = [time]
minute = 60 * second
hour = 3600 * second
kelvin = [temperature]
degree_Celsius = kelvin; offset: 273.15
degree_Fahrenheit = 5 / 9 * kelvin; offset: 459.67 * 5 / 9
ampere = [current]
volt = [voltage]
ohm = volt / ampere
watt = volt * ampere
farad = ampere * second / volt
pascal = gram / metre / second ** 2 * 1000
newton = gram * metre / second ** 2 * 1000
"""

# What each label means to pint, written with the names above. Kinds of one single unit need no entry.
_MEANINGS = {
    "mm": "millimetre", "cm": "10 millimetre", "m": "metre", "km": "1000 metre", "in": "inch",
    "ft": "12 inch", "mi": "mile", "g": "gram", "kg": "1000 gram", "lb": "pound", "oz": "pound / 16",
    "s": "second", "min": "minute", "h": "hour", "d": "24 hour", "km/h": "1000 metre / hour",
    "mph": "mile / hour", "kn": "1852 metre / hour", "m/s": "metre / second", "K": "kelvin",
    "mAh": "ampere * hour / 1000",
    "Ah": "ampere * hour", "V": "volt", "mV": "volt / 1000", "A": "ampere", "mA": "ampere / 1000",
    "mΩ": "ohm / 1000", "Ω": "ohm", "ml": "1000 millimetre**3", "l": "1000000 millimetre**3",
    "mm³": "millimetre**3", "cm³": "1000 millimetre**3", "mm²": "millimetre**2", "cm²": "100 millimetre**2",
    "in²": "inch**2", "kg/m³": "1000 gram / metre**3", "g/cm³": "1000000 gram / metre**3",
    "µF": "farad / 1000000", "mF": "farad / 1000", "W": "watt", "kW": "1000 watt",
    "hPa": "100 pascal", "mbar": "100 pascal", "kPa": "1000 pascal", "N m": "newton * metre",
    "mN m": "newton * metre / 1000", "m²/s": "metre**2 / second", "mm²/s": "millimetre**2 / second",
    "µm": "millimetre / 1000",
}  # fmt: skip


def convert(value: float, kind: str, from_unit: str, to_unit: str) -> float:
    """`value` of `from_unit` expressed in `to_unit`, both labels of `kind`."""
    from_size, from_zero = unit_scale(kind, from_unit)
    size, zero = unit_scale(kind, to_unit)
    return float((Fraction(value) * from_size + from_zero - zero) / size)


def in_unit(value: float, kind: str, label: str) -> Fraction:
    """A stored `value` expressed in `label`, exactly."""
    size, zero = unit_scale(kind, label)
    return (Fraction(value) - zero) / size


@cache
def unit_scale(kind: str, label: str) -> tuple[Fraction, Fraction]:
    """How many storage units one `label` is, and where its zero lies in storage units; both exact.

    Raises ValueError for a unit that the kind does not have.
    """
    known = KINDS[kind]
    if label not in known.units:
        raise ValueError(f"{label} is not a unit of {kind}")
    if label == known.storage_unit:
        return Fraction(1), Fraction(0)
    registry = _registry()
    if label == "°F":
        zero = registry.convert(Fraction(0), "degree_Fahrenheit", "degree_Celsius")
        one = registry.convert(Fraction(1), "degree_Fahrenheit", "degree_Celsius")
        return one - zero, zero if kind == "temperature" else Fraction(0)
    size, stored = (registry.parse_expression(_MEANINGS[each]) for each in (label, known.storage_unit))
    return Fraction((size / stored).m_as("")), Fraction(0)


@cache
def _registry() -> Any:
    # A quarter of a second to import, so only when a page first needs another unit than the stored one.
    import pint

    registry: Any = pint.UnitRegistry(None, non_int_type=Fraction, cache_folder=None)
    registry.load_definitions(_DEFINITIONS.strip().splitlines())
    return registry
