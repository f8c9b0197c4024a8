"""What the columns of a spreadsheet may be, and what their headings suggest; pure."""

import re
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import replace

from garage.fields.definition import Field
from garage.own_fields.at_hand import own
from garage.runs.fields import FIELDS as RUN_FIELDS
from garage.runs.fields import PACK_FIELDS, READING, READING_SECTIONS
from garage.units import KINDS
from garage.waters.fields import OUTING_FIELDS

# What is called otherwise in a spreadsheet than in the notebook's own forms.
_CALLED = {
    "speed": "Speed", "speed_how": "How the speed was read", "ways": "One way or both ways", "duration": "Run time",
    "water_temperature": "Water temperature",
}  # fmt: skip


def _of(fields: Iterable[Field]) -> tuple[Field, ...]:
    """Those that a spreadsheet usually has a heading for."""
    return tuple(replace(field, label=_CALLED.get(field.name, field.label)) for field in fields if field.headings)


def _after_the_run(name: str, label: str, *headings: str) -> Field:
    return replace(READING, name=name, label=label, headings=headings)


_WORDS = [field for field in RUN_FIELDS if field.kind in ("text", "long text")]
_OF_SPEED = [field for field in RUN_FIELDS if (READING_SECTIONS | {"speed"}) & {*field.sections}]
FIELDS = (
    Field("date", "Date", headings=("date", "day", "datum", "when", "date and time", "timestamp")),
    Field("time", "Time of day", headings=("time", "start", "started", "clock", "uhrzeit")),
    Field("hull", "Hull", headings=("hull", "boat", "model")),
    Field("water", "Water", headings=("water", "place", "lake", "pond", "location", "venue")),
    *_of(_OF_SPEED),
    Field("prop", "Prop (its code)", headings=("prop", "propeller", "prop code")),
    Field("pack", "Pack (its code)", headings=("pack", "battery", "lipo", "pack code")),
    *_of(field for field in RUN_FIELDS if field not in _OF_SPEED and field not in _WORDS),
    *_of(PACK_FIELDS),
    _after_the_run("pack_temperature", "Pack after the run", "pack temp", "pack temperature"),
    _after_the_run("motor_temperature", "Motor after the run", "motor temp", "motor temperature"),
    _after_the_run("controller_temperature", "Controller after the run", "esc temp", "controller temp"),
    *_of(OUTING_FIELDS),
    *_of(_WORDS),
)


def past_fields(chosen: Container[str] = ()) -> tuple[Field, ...]:
    """The same, with the fields of a run that a person added; of those put away only the `chosen`, by name."""
    return (*FIELDS, *(field for field in own("run") if field.asked or field.name in chosen))


_IN_BRACKETS = re.compile(r"^(.*?)\s*[\[(]([^\])]*)[\])]\s*$")
_TRAILING = re.compile(r"^(.*?)[\s,]+(\S+)$")
_SPOKEN = {
    "kmh": "km/h", "kph": "km/h", "kmph": "km/h", "c": "°C", "f": "°F", "degc": "°C", "degf": "°F", "deg c": "°C",
    "deg f": "°F", "sec": "s", "secs": "s", "seconds": "s", "mins": "min", "minutes": "min", "kt": "kn", "kts": "kn",
    "knots": "kn", "ms": "m/s", "mps": "m/s",
}  # fmt: skip


def heading_parts(heading: str) -> tuple[str, str]:
    """The words of a heading and the unit in it: `Top speed (mph)` is `top speed` and `mph`; '' for no unit."""
    text = re.sub(r"[_\s]+", " ", heading).strip().lower()
    for pattern in (_IN_BRACKETS, _TRAILING):
        found = pattern.match(text)
        if found and (unit := _unit(found[2])):
            return found[1].strip(), unit
    return text, ""


def _unit(text: str) -> str:
    tidy = text.strip().lower()
    named = _SPOKEN.get(tidy, tidy)
    for kind in {field.kind for field in past_fields() if field.is_measure}:
        for unit in KINDS[kind].units:
            if unit.lower() == named.lower():
                return unit
    return ""


def unit_for(heading: str, field: Field) -> str:
    """The unit that a heading names for what its column holds; '' if it names none of that kind."""
    unit = heading_parts(heading)[1]
    return unit if field.is_measure and unit in KINDS[field.kind].units else ""


def suggested(headings: Sequence[str]) -> dict[str, int]:
    """Which column each field most likely is, by number from 0; every column at most once."""
    found: dict[str, int] = {}
    words = [heading_parts(heading)[0] for heading in headings]
    for exact in (True, False):
        for field in past_fields():
            for number, word in enumerate(words):
                if field.name in found or number in found.values():
                    continue
                if word in field.headings or (not exact and _resembles(word, field.headings)):
                    found[field.name] = number
    return found


def _resembles(word: str, headings: tuple[str, ...]) -> bool:
    return any(len(heading) > 3 and re.search(rf"\b{re.escape(heading)}\b", word) for heading in headings)


def columns_of(choices: Mapping[str, object], width: int) -> dict[str, int]:
    """The chosen columns that are there, by field."""
    columns = choices.get("columns", {})
    assert isinstance(columns, dict)
    names = {field.name for field in past_fields(columns)}
    return {name: number for name, number in columns.items() if name in names and 0 <= number < width}
