"""What a field of a thing is. A room's list of these is the one place where its fields are said.

Form, page, CHECK, representation, table file, search and the words of a correction all follow from the list.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from garage.units import KINDS

# Kinds beside the kinds of measure of `garage.units`.
PLAIN_KINDS = ("text", "long text", "choice", "yes/no", "whole", "rating", "number", "date", "moment")
_WITH_NUMBERS = ("whole", "rating", "number")
# The steps of a rating.
STEPS = (1, 2, 3, 4, 5)
# How a stored unit ends the name of its column, where that is not simply its label in small letters.
_ENDINGS = {
    "km/h": "kmh", "m/s": "ms", "°C": "c", "mΩ": "mohm", "°": "deg", "rpm/V": "", "kg/m³": "kg_m3", "mm²": "mm2",
    "µF": "uf", "%": "percent", "N m": "nm", "m/s²": "ms2", "m²/s": "m2_s", "J/kg/K": "j_kgk", "W/K": "w_k",
    "kJ/mol": "kj_mol", "C": "c_rate", "Wh/km": "wh_km", "µm": "um", "m²/l": "m2_l",
}  # fmt: skip

# Where a row keeps what stands in the fields that a person added, and how such a field is called as if it had a
# column: by its number there.
OWN_VALUES = "own_values"
_OWN_COLUMN = re.compile(r"own_([0-9]+)")

# What a form holds once it is read: values in storage units by column, handed on by keyword.
FormData = Mapping[str, Any]
# A choice by itself, or with the words in which it is offered.
Choice = str | tuple[str, str]


@dataclass(frozen=True)
class Field:
    """One field of a thing. `kind` is a kind of measure or one of PLAIN_KINDS.

    - `column` is where it is kept: the name, with the unit of a measure behind it, unless another is given.
    - `low`, `high`: the bounds, both allowed themselves, in the storage unit; `most`: the longest text. With
      `above_low` a form wants more than `low` itself.
    - `choices`: what it may be. A "whole" with choices is picked from a list and kept as a number.
    - `ends`: what the first and the last step of a "rating" mean.
    - `default`: what a new thing has, and what counts where nothing is said. `required`: whether the form insists
      that something is said all the same.
    - `future_ok`: whether a date may still be to come.
    - `asked`: the section of the form where it is asked for; '' for nowhere. Another form that asks for it as well
      may be named behind it: "reading, evening".
    - `searched`: whether its words are found, as "title" (what the thing is called) or as "text".
    - `origin`: where a figure came from, for the page. `listed`: whether it stands among the facts of the thing's
      page; False where that page tells it in another way.
    - `headings`: what a column of a spreadsheet that may be read into it is usually called.
    - `offset`: for a moment, the column beside it with the offset of its place; '' where none is kept, and it is
      read by this machine's own zone.
    - `unit`: the unit of a plain number, in a person's own words.
    - `instrument`: what it is measured with, by its name in `preferences/instruments.py`; who has none is not asked.
    - `short`: whether a narrow field will do. `unique`, `indexed`, `checked`: what the database minds about it.
    """

    name: str
    label: str
    kind: str = "text"
    hint: str = ""
    low: float | None = None
    high: float | None = None
    choices: tuple[Choice, ...] = ()
    required: bool = False
    default: Any = None
    asked: str = "main"
    searched: str = ""
    origin: str = ""
    listed: bool = True
    column: str = ""
    most: int = 0
    above_low: bool = False
    ends: tuple[str, ...] = ()
    headings: tuple[str, ...] = ()
    offset: str = "offset_min"
    unit: str = ""
    instrument: str = ""
    short: bool = False
    unique: bool = False
    indexed: bool = False
    checked: bool = True
    future_ok: bool = False

    def __post_init__(self) -> None:
        if not self.column:
            object.__setattr__(self, "column", _column(self.name, self.kind))
        if self.kind == "rating":
            object.__setattr__(self, "low", STEPS[0])
            object.__setattr__(self, "high", STEPS[-1])

    @property
    def sections(self) -> tuple[str, ...]:
        """The sections of forms where it is asked for."""
        return tuple(self.asked.split(", ")) if self.asked else ()

    @property
    def is_put_away(self) -> bool:
        """Whether it is an own field that no form asks for any more."""
        return bool(own_number(self.column)) and not self.asked

    @property
    def is_measure(self) -> bool:
        """Whether it is a quantity with a unit."""
        return self.kind in KINDS

    @property
    def is_number(self) -> bool:
        """Whether a number is kept, with or without a unit."""
        return self.kind in _WITH_NUMBERS or self.is_measure

    @property
    def is_needed(self) -> bool:
        """Whether a row always has a value here: it is insisted on, or there is a default."""
        return self.required or self.default is not None

    @property
    def in_sentence(self) -> str:
        """Its label within a sentence: a small letter first, but for names such as GPS."""
        return self.label if self.label[1:2].isupper() else self.label[:1].lower() + self.label[1:]

    @property
    def values(self) -> tuple[str, ...]:
        """Its choices without the words in which they are offered."""
        return tuple(choice if isinstance(choice, str) else choice[0] for choice in self.choices)

    def words(self, value: Any) -> str:
        """A chosen value in the words in which it is offered."""
        offered = dict(choice for choice in self.choices if not isinstance(choice, str))
        return offered.get(str(value), str(value))


# The section of a field that is seldom filled in, in a list of rows: it is folded away there.
FURTHER = "further"


def own_column(number: int) -> str:
    """What the own field of that number is called as if it had a column."""
    return f"own_{number}"


def own_number(column: str) -> str:
    """The number of the own field that is called so; '' for a column of the table itself."""
    found = _OWN_COLUMN.fullmatch(column)
    return found[1] if found else ""


def is_open(value: Any) -> bool:
    """Whether nothing is said: no number, no words, no tick. A nought says something."""
    return value is None or value == "" or value is False


def searched(fields: Iterable[Field], place: str) -> tuple[str, ...]:
    """The columns whose words are found as "title", or as "text"."""
    return tuple(field.column for field in fields if field.searched == place)


def empty(field: Field) -> Any:
    """What is kept where nothing is said: the default, or else '' for text, False for yes/no, None for the rest."""
    if field.default is not None or field.is_number or field.kind == "moment":
        return field.default
    return False if field.kind == "yes/no" else ""


def in_row(fields: Iterable[Field], row: str) -> tuple[Field, ...]:
    """The fields by the names they have in one of several rows of a form. Nothing is insisted on: a row may stay
    blank, and what makes it whole is a rule of its form."""
    return tuple(replace(field, name=f"{row}_{field.name}", required=False) for field in fields)


def _column(name: str, kind: str) -> str:
    if kind == "moment":
        return f"{name}_at"
    if kind not in KINDS:
        return name
    ending = ending_of(kind)
    return f"{name}_{ending}" if ending else name


def ending_of(kind: str) -> str:
    """How the storage unit of a kind of measure ends the names of its columns; '' for not at all."""
    unit = KINDS[kind].storage_unit
    return _ENDINGS.get(unit, unit.lower())
