"""Mendings carried out, written down, and taken back."""

from collections.abc import Iterable, Sequence
from typing import Any

from sqlmodel import Session, SQLModel, col, select

from garage.corrections.store import add_corrections
from garage.corrections.tables import CORRECTED, Mending
from garage.db.in_ids import in_
from garage.drives.tables import Part
from garage.errors import Conflict, NotFound
from garage.logs.tables import LogFile
from garage.mending.about import run_name
from garage.mending.histories import write_histories
from garage.mending.holds import hold_together
from garage.mending.operation import Planned
from garage.mending.same_store import hand, join_or_part
from garage.mending.steps import Handed, Overlaid, Put, Same, Step, backwards, steps_of_text, steps_text
from garage.modifications.tables import Modification
from garage.moments import Moment
from garage.packs.tables import Pack, PackLog, PackReading
from garage.photos.tables import Attachment
from garage.props.tables import Prop, PropEdition
from garage.runs.moves import Move
from garage.runs.moves_store import move_runs, standing
from garage.runs.tables import Run, RunTemperature
from garage.shelf.tables import ShelfEntry
from garage.waters.outing_store import began
from garage.waters.tables import Outing, Water

# The rows of which columns may be put.
_TABLES: dict[str, type[SQLModel]] = {
    "outing": Outing,
    "run": Run,
    "run_temperature": RunTemperature,
    "attachment": Attachment,
    "log_file": LogFile,
    "modification": Modification,
    "pack": Pack,
    "pack_log": PackLog,
    "reading": PackReading,
    "prop": Prop,
    "edition": PropEdition,
    "part": Part,
    "water": Water,
    "shelf_entry": ShelfEntry,
}
# What is no word of a person.
_NOT_SAID = ("offset_min", "set_aside_at", "closed_at", "retired_on", "retired_how", "retired_reason")


def mending(session: Session, mending_id: int) -> Mending:
    """One mending. Raises NotFound."""
    found = session.get(Mending, mending_id)
    if found is None:
        raise NotFound("Nothing of that number was mended in this notebook.")
    return found


def taken_back_by(session: Session, mending_id: int) -> Mending | None:
    """The mending that took this one back."""
    return session.exec(select(Mending).where(col(Mending.takes_back_id) == mending_id)).first()


def carry_out(
    session: Session, kind: str, planned: Planned, why: str, who: str, now: Moment, takes_back_id: int | None = None
) -> Mending:
    """Do all steps and write them down. Raises Conflict where something else stands than a step says."""
    if not any(_does_something(step) for step in planned.steps):
        raise Conflict("That is what stands there already.")
    hold_together(session, planned.steps, now)
    # A state has its number once it is written, and what was mended is never written over: histories come first.
    done, follow = write_histories(session, planned.steps, why, now)
    row = Mending(
        kind=kind, said=planned.said, why=why, steps=steps_text(done), who=who, at=now.utc, takes_back_id=takes_back_id
    )
    session.add(row)
    session.flush()
    if follow:
        move_runs(session, follow, why, now, row.id)
    for steps in _together(done):
        first = steps[0]
        if isinstance(first, Move):
            _move(session, [step for step in steps if isinstance(step, Move)], why, now, row.id)
        elif isinstance(first, Put):
            _put(session, first, why, now, row.id)
        elif isinstance(first, Handed):
            hand(session, first)
        elif isinstance(first, Same):
            join_or_part(session, first, why, now, row.id)
        elif isinstance(first, Overlaid):
            _overlay(session, first, why, now, row.id)
    _nobody_left_behind(session, done)
    return row


def _nobody_left_behind(session: Session, steps: Iterable[Step]) -> None:
    """Raises Conflict where an outing that is set aside still has a run: one written there since, which no list of
    outings would lead to any more."""
    gone = [step.row_id for step in steps if isinstance(step, Put) and step.owner == "outing" and _sets_aside(step)]
    left = select(Run.id).where(in_(Run.outing_id, gone), col(Run.set_aside_at).is_(None)).order_by(col(Run.id))
    if gone and (run_id := session.exec(left.limit(1)).first()):
        name = run_name(session, run_id)
        raise Conflict(
            f"{name} was written there since: it would be left without an outing.",
            (f"/otherwise/run/{run_id}/outing", "It was of another outing"),
        )


def _sets_aside(step: Put) -> bool:
    return bool(step.new.get("set_aside_at"))


def take_back(session: Session, mending_id: int, why: str, who: str, now: Moment) -> Mending:
    """Undo a mending by one more. Raises NotFound, and Conflict if it was taken back or something was written over it
    since."""
    found = mending(session, mending_id)
    if taken_back_by(session, mending_id) is not None:
        raise Conflict("That was taken back already.")
    return carry_out(session, found.kind, plan_back(found), why or "taken back", who, now, mending_id)


def plan_back(found: Mending) -> Planned:
    """What takes a mending back."""
    said = found.said.removeprefix(_BACK)
    return Planned(said if found.takes_back_id else _BACK + said, backwards(steps_of_text(found.steps)))


_BACK = "Taken back: "


def _does_something(step: Step) -> bool:
    return step.old != step.new


def _together(steps: Iterable[Step]) -> list[list[Step]]:
    """Steps in their order; those of runs that follow each other are done at once, since runs change places. Whose
    reading it is and what nobody knows come first: a pack's log is written by the one, and packs that come back answer
    the other."""
    groups: list[list[Step]] = []
    for step in sorted(steps, key=lambda one: not (isinstance(one, Put) and one.owner in _BEFORE_RUNS_MOVE)):
        if groups and isinstance(step, Move) and isinstance(groups[-1][0], Move):
            groups[-1].append(step)
        else:
            groups.append([step])
    return groups


def _move(session: Session, steps: Sequence[Move], why: str, now: Moment, mending_id: int) -> None:
    stood = standing(session, {step.run_id for step in steps})
    if changed := [step for step in steps if stood.get((step.run_id, step.what)) != step.old]:
        words = f"{run_name(session, changed[0].run_id)}: {_WHAT.get(changed[0].what, changed[0].what)}"
        raise Conflict(_CHANGED.format(words), (f"/runs/{changed[0].run_id}", "What is written of it now"))
    move_runs(session, steps, why, now, mending_id, stood)


_BEFORE_RUNS_MOVE = ("run_temperature", "run")
_CHANGED = "Something was written over it since: {}. Look at it once more."
_WHAT = {"state": "the build state", "number": "the place in the order"} | {
    what: f"the {what}" for what in ("boat", "outing", "start", "packs", "props")
}


def _put(session: Session, step: Put, why: str, now: Moment, mending_id: int) -> None:
    row = session.get(_TABLES[step.owner], step.row_id)
    if row is None or any(getattr(row, column) != value for column, value in step.old.items()):
        raise Conflict(_CHANGED.format(_row_words(session, step, row)))
    for column, value in step.new.items():
        setattr(row, column, value)
    session.add(row)
    session.flush()
    if step.owner not in CORRECTED:
        return
    said = [
        (column, _text(old), _text(step.new[column]))
        for column, old in step.old.items()
        if column not in _NOT_SAID and old != step.new[column]
    ]
    add_corrections(session, step.owner, step.row_id, said, why, now, mending_id)


def _row_words(session: Session, step: Put, row: SQLModel | None) -> str:
    """Which row, and what of it."""
    if isinstance(row, Outing):
        changed = [column for column, value in step.old.items() if getattr(row, column) != value]
        return f"The outing of {began(row).day()}: {_COLUMN_WORDS.get(changed[0], changed[0].replace('_', ' '))}"
    if isinstance(row, RunTemperature):
        return f"{run_name(session, row.run_id)}: the packs"
    if isinstance(row, Run):
        return run_name(session, row.id)
    return step.owner.replace("_", " ").capitalize()


_COLUMN_WORDS = {
    "started_at": "when it began",
    "offset_min": "when it began",
    "water_id": "the water",
    "set_aside_at": "whether it is set aside",
}


def _overlay(session: Session, step: Overlaid, why: str, now: Moment, mending_id: int) -> None:
    add_corrections(session, step.owner, step.row_id, [(step.field, step.old, step.new)], why, now, mending_id)


def _text(value: Any) -> str:
    return "" if value is None else str(value)
