"""Figures inside a sentence, told in the units a person prefers: limits are kept in the words of their source."""

import re

from garage.units import DisplayUnits, show

_FIGURES = re.compile(r"(\d+(?:\.\d+)?)(?:( to | and )(\d+(?:\.\d+)?))? (°C|km/h)")
_KINDS = {"°C": "temperature", "km/h": "speed"}


def in_units(text: str, units: DisplayUnits) -> str:
    """`text` with its temperatures and speeds (in °C and km/h as written) in the units of `units`."""
    return _FIGURES.sub(lambda found: _told(found, units), text)


def _told(found: re.Match[str], units: DisplayUnits) -> str:
    first, joined, second, written_in = found.groups()
    kind = _KINDS[written_in]
    wanted = units.unit(kind)
    if wanted == written_in:
        return found[0]
    figures = [show(float(figure), kind, wanted).text for figure in (first, second) if figure]
    return f"{(joined or '').join(figures)} {wanted}"
