"""The own fields of the notebook at work, read anew when something was written since.

They stand beside the lists of the rooms wherever these do, deep within forms, lists and words; so they come with the
session at work rather than through every function.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session, col, select

from garage.db.engine import AT_WORK
from garage.db.unchanged import while_unchanged
from garage.fields.definition import Field, is_open, own_column
from garage.fields.showing import in_words
from garage.own_fields.fields import CHOICE, TEXT, YES_NO
from garage.own_fields.tables import OwnField
from garage.units import DisplayUnits

_OF_SESSION = "own fields"
_YES_NO = ("no", "yes")


@dataclass(frozen=True)
class Own:
    """One own field: where it belongs, what it is as a field like all others, and what findings take for granted."""

    number: int
    thing: str
    field: Field
    step: float | None
    prior_percent: float
    is_aside: bool


def own(thing: str) -> tuple[Field, ...]:
    """The own fields of a kind of thing, those put away among them: they are not asked for, and their values stay."""
    return tuple(one.field for one in known(thing))


def with_own(thing: str, fields: Sequence[Field]) -> tuple[Field, ...]:
    """The fields of a thing with the own ones behind them."""
    return (*fields, *own(thing))


def own_words(thing: str, row: Any, units: DisplayUnits) -> list[tuple[str, str]]:
    """What stands in the own fields of a row, each with its label, in words."""
    said = [(field, getattr(row, field.column)) for field in own(thing)]
    return [(field.label, in_words(field, str(value), units)) for field, value in said if not is_open(value)]


def known(thing: str) -> tuple[Own, ...]:
    """The own fields of a kind of thing in the notebook at work; none where none is."""
    session = AT_WORK.get()
    return tuple(one for one in _all(session) if one.thing == thing) if session is not None else ()


def forget(session: Session) -> None:
    """Have them read anew: one was written."""
    session.info.pop(_OF_SESSION, None)


def _all(session: Session) -> tuple[Own, ...]:
    if _OF_SESSION not in session.info:
        session.info[_OF_SESSION] = while_unchanged(session, _OF_SESSION, lambda: _read(session))
    return session.info[_OF_SESSION]


def _read(session: Session) -> tuple[Own, ...]:
    return tuple(known_as(row) for row in session.exec(select(OwnField).order_by(col(OwnField.id))))


def known_as(row: OwnField) -> Own:
    """What was written of an own field, as a field."""
    return Own(
        row.id, row.thing, _field(row), row.step, row.prior_percent, row.set_aside_at is not None
    )  # fmt: skip


def _field(row: OwnField) -> Field:
    return Field(
        row.name,
        row.label,
        CHOICE if row.kind == YES_NO else row.kind,
        row.hint,
        row.low,
        row.high,
        choices=_YES_NO if row.kind == YES_NO else tuple(row.choices.splitlines()),
        asked="" if row.set_aside_at else ", ".join(_sections(row)),
        searched="text" if row.kind in (TEXT, CHOICE) else "",
        column=own_column(row.id),
        headings=(row.label.lower(),),
        unit=row.unit,
    )


def _sections(row: OwnField) -> list[str]:
    """Where its forms ask for it; words need the width at the end of the evening's line."""
    evening = "evening words" if row.kind == TEXT else "evening"
    return ["own", evening] if row.evening and row.thing == "run" else ["own"]
