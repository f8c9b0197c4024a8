"""A figure that may be right and is most likely not: what was read, what is usual, and a button for each answer.

The one component for it. A store says what is usual, `Reader.ask` puts the question, the macro `questions` of
`parts/fields.html` shows it. Each button sends the form with what it stands for; an answer goes along in the form, so
that the same figure is asked about once.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from urllib.parse import parse_qsl, urlencode

# What a button sends, and before the name of a field: the text for which a person said that it is right.
ANSWER, KEPT = "answer", "kept_"


@dataclass(frozen=True)
class Alternative:
    """An answer: what its button says, and the fields of the form that it sets."""

    text: str
    fields: Mapping[str, str]

    @property
    def sends(self) -> str:
        """The value of its button."""
        return urlencode(self.fields)


@dataclass(frozen=True)
class Question:
    """What is asked about a `field`: what was read of it, and what is usual there."""

    field: str
    reading: str
    usual: str
    alternatives: tuple[Alternative, ...] = ()
    keep: str = "Keep it all the same"

    @property
    def words(self) -> str:
        """The question in one line."""
        return f"{self.reading}; {self.usual}"

    def answers(self, typed: str) -> tuple[Alternative, ...]:
        """All buttons, where `typed` stands in the field."""
        kept = {KEPT + self.field: typed or "yes"}
        others = tuple(Alternative(one.text, {**self._kept(one, kept), **one.fields}) for one in self.alternatives)
        return (*others, Alternative(self.keep, kept))

    def _kept(self, one: Alternative, kept: Mapping[str, str]) -> Mapping[str, str]:
        instead = one.fields.get(self.field)
        return kept if instead is None else {KEPT + self.field: instead}


def read_answer(sent: str) -> dict[str, str]:
    """The fields that a pressed button sets."""
    return dict(parse_qsl(sent, max_num_fields=20)) if sent.count("&") < 20 else {}


def kept_of(names: Mapping[str, str]) -> dict[str, str]:
    """The answers that a form brings along, by the name of their field."""
    return {name: text for name, text in names.items() if name.startswith(KEPT)}


def other_readings(
    field: str,
    typed: str,
    as_typed: float,
    in_units: Mapping[str, float],
    fits: Callable[[float], bool],
    shown: Callable[[float], str],
) -> tuple[Alternative, ...]:
    """What a bare number may have been instead: in another unit, `in_units` has what it would be then, or with its
    point one place further; only what `fits`. All in the storage unit. Nothing for a text that says its unit."""
    try:
        number = float(typed.replace(",", "."))
    except ValueError:
        return ()
    units = tuple(
        Alternative(f"It was {unit} ({shown(value)})", {field: f"{typed} {unit}"})
        for unit, value in in_units.items()
        if fits(value)
    )
    slips = tuple(
        Alternative(f"It was {number * factor:.6g}", {field: f"{number * factor:.6g}"})
        for factor in (0.1, 10.0)
        if fits(as_typed * factor)
    )
    return units + slips
