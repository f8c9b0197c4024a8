"""Two things that are one: asked which, which of them stays, and what is true where they differ."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from sqlmodel import Session

from garage.corrections.same_store import joined
from garage.fields.showing import in_words
from garage.inventory.store import row_of
from garage.mending.operation import Ask, Operation, Planned
from garage.mending.same_kinds import KINDS, SameKind, others
from garage.mending.same_refused import refuse_both_at_once
from garage.mending.same_steps import (
    COUNTED,
    OWN_BLADE,
    edition_asks,
    facts_of,
    handed,
    notes_of,
    runs_on,
    stand_in,
)
from garage.mending.steps import Put, Step
from garage.moments import Moment, day_text
from garage.units import DisplayUnits
from garage.web.fields import Reader

MORE, THIS, OTHER = "more", "this", "other"
_STAYS = "Which of the two stays"
_DIFFER = "They differ: choose which is true."


@dataclass(frozen=True)
class Pair:
    """Two things that are one: `gone` is the one that the other stands for."""

    kind: SameKind
    gone: Any
    kept: Any


def _asks(kind: SameKind, session: Session, thing_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    this = row_of(session, kind.collection, thing_id)
    found = others(session, kind, this)
    counts = runs_on(session, kind.name, [this.id, *(one.id for one in found)])
    options = [(str(one.id), f"{kind.text(one)}{_and_used(kind, counts.get(one.id, 0))}") for one in found]
    stays = [
        (MORE, f"the one with more {COUNTED[kind.name]}"),
        (THIS, f"this one, {kind.key(this)}"),
        (OTHER, "the other one"),
    ]  # fmt: skip
    return [
        Ask("other", "It is the same as", "choice", "those first that look like it", options, required=True),
        Ask("keep", _STAYS, "choice", "the name of the other leads to it", stays, MORE, required=True),
    ]


def _and_used(kind: SameKind, count: int) -> str:
    return f", {COUNTED[kind.name]}: {count}" if count else ""


def _asks_more(
    kind: SameKind, session: Session, thing_id: int, units: DisplayUnits, typed: Mapping[str, str]
) -> Sequence[Ask]:
    """What is asked once it is known which two they are: what both tell differently."""
    this = row_of(session, kind.collection, thing_id)
    other = {str(one.id): one for one in others(session, kind, this)}.get(typed.get("other", ""))
    if other is None:
        return []
    pair = _pair(session, kind, this, other, typed.get("keep", MORE))
    asks = [
        Ask(
            f"fact_{field.name}", field.label, "choice", "", _side_by_side(pair, field, units), str(pair.kept.id),
            required=True,
        )
        for field in _differing(pair)
    ]  # fmt: skip
    return [*asks, *(edition_asks(session, pair.gone, pair.kept) if kind.name == "prop" else ())]


def _side_by_side(pair: Pair, field: Any, units: DisplayUnits) -> list[tuple[str, str]]:
    said = ((row, in_words(field, _text(getattr(row, field.column)), units)) for row in (pair.kept, pair.gone))
    return [(str(row.id), f"{words}, as {pair.kind.key(row)} says") for row, words in said]


def _text(value: Any) -> str:
    return "" if value is None else str(value)


def _pair(session: Session, kind: SameKind, this: Any, other: Any, keep: str) -> Pair:
    if keep == MORE:
        counts = runs_on(session, kind.name, [this.id, other.id])
        keep = THIS if counts.get(this.id, 0) > counts.get(other.id, 0) else OTHER
    return Pair(kind, other, this) if keep == THIS else Pair(kind, this, other)


def _is_open(value: Any) -> bool:
    return value in (None, "", False)


def _differing(pair: Pair) -> list[Any]:
    """The facts that both tell, each in its own way."""
    both = ((field, getattr(pair.gone, field.column), getattr(pair.kept, field.column)) for field in _compared(pair))
    return [field for field, gone, kept in both if gone != kept and not _is_open(gone) and not _is_open(kept)]


def _compared(pair: Pair) -> list[Any]:
    return pair.kind.compared(pair.kept)


def _plan(kind: SameKind, session: Session, reader: Reader, thing_id: int, now: Moment) -> Planned:
    this = row_of(session, kind.collection, thing_id)
    found = {str(one.id): one for one in others(session, kind, this)}
    chosen = reader.choice("other", found, required=True)
    keep = reader.choice("keep", (MORE, THIS, OTHER), required=True)
    reader.finish()
    pair = _pair(session, kind, this, found[chosen], keep)
    refuse_both_at_once(session, kind, pair.gone, pair.kept)
    facts, taken = _facts(pair, reader)
    first = _first_edition(session, pair, reader) if kind.name == "prop" else ""
    reader.finish()
    steps: list[Step] = [*handed(session, kind.name, pair.gone, pair.kept, first)]
    steps += [Put(kind.name, pair.kept.id, {column: old}, {column: new}) for column, old, new in facts]
    gone, kept = kind.called(pair.gone), kind.called(pair.kept)
    steps.append(_out_of_lists(pair, f"the same as {kept}", now))
    steps += stand_in(session, kind.name, pair.gone.id, pair.kept.id)
    notes = [
        f"All that was written of {gone} belongs to {kept} then; {gone} leaves the lists, and its name leads there."
    ]
    notes += [f"{label}: taken from {gone}, since {kept} says nothing." for label in taken]
    notes += notes_of(session, kind.name, pair.gone, pair.kept, first)
    if pair.kept.retired_on and not pair.gone.retired_on:
        notes.append(
            f"{kept} is out of use since {day_text(pair.kept.retired_on)}, and stays so until it is brought back."
        )
    url = f"{kind.collection.url}/{pair.kept.id}"
    said = f"{gone} is the same as {kept}"
    return Planned(said[0].upper() + said[1:], steps, notes, url)


def _facts(pair: Pair, reader: Reader) -> tuple[list[tuple[str, Any, Any]], list[str]]:
    """What is written anew of the one that stays, by column, old and new; and the labels of what it did not say."""
    facts, taken = facts_of(pair.gone, pair.kept), []
    for field in _compared(pair):
        gone, kept = getattr(pair.gone, field.column), getattr(pair.kept, field.column)
        if gone == kept or _is_open(gone):
            continue
        if _is_open(kept):
            facts.append((field.column, kept, gone))
            taken.append(field.label)
        elif not reader.holds(f"fact_{field.name}"):
            reader.fail(f"fact_{field.name}", _DIFFER)
        elif reader.choice(f"fact_{field.name}", (str(pair.kept.id), str(pair.gone.id)), True) == str(pair.gone.id):
            facts.append((field.column, kept, gone))
    return facts, taken


def _first_edition(session: Session, pair: Pair, reader: Reader) -> str:
    """Which edition of the prop that stays the first one of the other is, by id, or that it is one of its own."""
    [ask] = edition_asks(session, pair.gone, pair.kept)
    if not reader.holds(ask.name):
        reader.fail(ask.name, "Say which blade it was as it was written first.")
        return OWN_BLADE
    return reader.choice(ask.name, [value for value, _ in ask.options], required=True)


def _out_of_lists(pair: Pair, why: str, now: Moment) -> Put:
    end = ("retired_on", "retired_how", "retired_reason")
    stood = {column: getattr(pair.gone, column) for column in end}
    return Put(pair.kind.name, pair.gone.id, stood, dict(zip(end, (now.date(), "", why), strict=True)))


def _refused(kind: SameKind, session: Session, thing_id: int) -> str:
    this = row_of(session, kind.collection, thing_id)
    for one in joined(session, kind.name, [thing_id]):
        if one.gone_id == thing_id:
            kept = row_of(session, kind.collection, one.kept_id)
            return f"{kind.called(this)} is the same as {kind.called(kept)} already: take that back first."
    return "" if others(session, kind, this) else f"There is no other {kind.name} in this notebook that it could be."


OPERATIONS = tuple(
    Operation(
        kind.name, "same", "It is the same as another", "written down twice: all of it belongs to one of the two",
        partial(_asks, kind), partial(_plan, kind), partial(_refused, kind), partial(_asks_more, kind),
    )
    for kind in KINDS.values()
)  # fmt: skip
