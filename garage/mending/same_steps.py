"""What is handed on when two things are one: everything that named the one that goes names the other."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from heapq import merge
from typing import Any

from sqlmodel import Session, col, func, select

from garage.corrections.same_store import joined
from garage.findings.tables import Finding
from garage.mending.operation import Ask
from garage.mending.same_refused import run_ids_on
from garage.mending.steps import Handed, Put, Same, Step
from garage.packs.tables import PackLog, PackReading, PackSetMember
from garage.photos.tables import Attachment
from garage.props.store import editions
from garage.props.tables import PropEdition
from garage.runs.moves import Move, packs_of_text, packs_text, props_of_text, props_text
from garage.runs.moves_store import standing
from garage.runs.tables import RunPack, RunProp
from garage.shelf.store import entry
from garage.shelf.tables import Loan, ShelfEntry
from garage.states.tables import Change
from garage.waters.tables import Outing

FIRST = "first_edition"
OWN_BLADE = "own"
# What is counted of each kind to tell which of two is the one that is used.
COUNTED = {"pack": "runs", "prop": "runs", "water": "outings", "part": "changes of boats"}
# Numbers that no edition has: where editions wait while they change places.
_WAITING = 10_000
_KEPT_ON_SHELF = ("price", "currency", "place", "reorder_level", "note")


def runs_on(session: Session, kind: str, ids: Iterable[int]) -> dict[int, int]:
    """How much was written with each of some things: runs, of a water outings, of a part changes of a boat."""
    wanted = list(ids)
    if kind == "prop":
        query = select(PropEdition.prop_id, func.count(func.distinct(RunProp.run_id)))
        query = query.join(RunProp, col(RunProp.edition_id) == PropEdition.id).group_by(col(PropEdition.prop_id))
        return {thing_id: count for thing_id, count in session.exec(query) if thing_id in wanted}
    column: Any = {"pack": RunPack.pack_id, "water": Outing.water_id, "part": Change.part_id}[kind]
    counted = session.exec(select(column, func.count()).where(column.in_(wanted)).group_by(column))
    return dict(counted.all())


def edition_asks(session: Session, gone: Any, kept: Any) -> list[Ask]:
    """Which edition of the prop that stays the other was when it was written down."""
    of_kept = editions(session, kept.id)
    blades = [(str(one.id), f"edition {one.number} of {kept.code}, {one.reworks}") for one in reversed(of_kept)]
    hint = f"the runs made with edition 1 of {gone.code} go there; its later editions become editions of {kept.code}"
    label = f"Edition 1 of {gone.code} is the same blade as"
    own = (OWN_BLADE, f"none of them: an edition of {kept.code} of its own")
    return [Ask(FIRST, label, "choice", hint, [*blades, own], blades[0][0], required=True)]


def facts_of(gone: Any, kept: Any) -> list[tuple[str, Any, Any]]:
    """What both say side by side: notes, and what is wrong with a pack; by column, old and new."""
    told = []
    for column, between in (("notes", "\n"), ("damage", "; ")):
        old, more = getattr(kept, column, ""), getattr(gone, column, "")
        if more and more != old:
            told.append((column, old, between.join(filter(None, (old, more)))))
    return told


def handed(session: Session, kind: str, gone: Any, kept: Any, first: str) -> list[Step]:
    """The steps that hand on what belongs to `gone`; `first` is the edition that its first one is, by id."""
    if kind == "water":
        outings = session.exec(select(Outing.id).where(Outing.water_id == gone.id)).all()
        return _rows("outing", outings, "water_id", gone.id, kept.id)
    steps = _owned(session, kind, gone.id, kept.id)
    if kind == "pack":
        steps += _of_a_pack(session, gone.id, kept.id)
    elif kind == "prop":
        steps += _of_a_prop(session, gone.id, kept.id, first)
    return steps


def _rows(table: str, rows: Iterable[int | None], column: str, old: int | str, new: int | str) -> list[Step]:
    found = sorted(one for one in rows if one is not None)
    return [Handed(table, found, column, old, new)] if found else []


def _owned(session: Session, kind: str, gone: int, kept: int) -> list[Step]:
    """Pictures and notes, loans, and what is kept of it on the shelf."""
    steps: list[Step] = []
    for table, name in ((Attachment, "attachment"), (Loan, "loan")):
        rows: Any = session.exec(select(table.id).where(table.owner == kind, table.owner_id == gone)).all()
        steps += _rows(name, rows, "owner_id", gone, kept)
    of_gone, of_kept = entry(session, kind, gone), entry(session, kind, kept)
    if of_gone and not of_kept:
        return [*steps, Handed("shelf_entry", [of_gone.id], "owner_id", gone, kept)]
    return [*steps, *(_taken_from_shelf(of_gone, of_kept) if of_gone and of_kept else [])]


def _taken_from_shelf(of_gone: ShelfEntry, of_kept: ShelfEntry) -> list[Step]:
    """What the entry that stays leaves open; the other entry stays with the thing that goes."""
    new = {
        name: getattr(of_gone, name) for name in _KEPT_ON_SHELF
        if getattr(of_kept, name) in (None, "") and getattr(of_gone, name) not in (None, "")
    }  # fmt: skip
    return [Put("shelf_entry", of_kept.id, {name: getattr(of_kept, name) for name in new}, new)] if new else []


def _of_a_pack(session: Session, gone: int, kept: int) -> list[Step]:
    own_lines = select(PackLog.id).where(PackLog.pack_id == gone, col(PackLog.run_id).is_(None))
    readings = select(PackReading.id).where(PackReading.pack_id == gone)
    sets = select(PackSetMember.set_id).where(PackSetMember.pack_id == gone)
    stood = standing(session, run_ids_on(session, "pack", gone))
    return [
        *_rows("pack_log", session.exec(own_lines).all(), "pack_id", gone, kept),
        *_rows("pack_reading", session.exec(readings).all(), "pack_id", gone, kept),
        *_rows("pack_set_member", session.exec(sets).all(), "pack_id", gone, kept),
        *_questions(session, "pack", gone, kept),
        *(
            Move(run_id, what, old, _other_pack(old, gone, kept))
            for (run_id, what), old in stood.items() if what == "packs"
        ),
    ]  # fmt: skip


def _other_pack(packs: str, gone: int, kept: int) -> str:
    uses = packs_of_text(packs)
    return packs_text(replace(use, pack_id=kept) if use.pack_id == gone else use for use in uses)


def _of_a_prop(session: Session, gone: int, kept: int, first: str) -> list[Step]:
    of_gone, of_kept = editions(session, gone)[::-1], editions(session, kept)[::-1]
    if first == OWN_BLADE:
        return _editions(of_gone, of_kept, gone, kept)
    blade, same = of_gone[0], int(first)
    stood = standing(session, run_ids_on(session, "prop", gone))
    moved = [
        Move(run_id, what, old, _other_edition(old, blade.id, same))
        for (run_id, what), old in stood.items() if what == "props"
    ]  # fmt: skip
    return [
        *_editions(of_gone[1:], of_kept, gone, kept),
        *_questions(session, "prop", blade.id, same),
        *(step for step in moved if step.old != step.new),
        *stand_in(session, "edition", blade.id, same),
    ]


def _other_edition(props: str, gone: int, kept: int) -> str:
    uses = props_of_text(props)
    return props_text(replace(use, edition_id=kept) if use.edition_id == gone else use for use in uses)


def in_time(of_gone: Sequence[PropEdition], of_kept: Sequence[PropEdition]) -> list[PropEdition]:
    """The editions of both in the order in which they were made, those of each in their own order."""
    return list(merge(of_kept, of_gone, key=lambda one: one.made_at))


def _editions(of_gone: Sequence[PropEdition], of_kept: Sequence[PropEdition], gone: int, kept: int) -> list[Step]:
    """Editions of one prop that become editions of the other, all numbered in the order of time."""
    numbers = {one.id: number for number, one in enumerate(in_time(of_gone, of_kept), start=1)}
    come = {one.id for one in of_gone}
    move = [one for one in (*of_kept, *of_gone) if one.id in come or numbers[one.id] != one.number]
    wait = {one.id: _WAITING + place for place, one in enumerate(move)}
    return [
        *(Handed("prop_edition", [one.id], "number", one.number, wait[one.id]) for one in move),
        *_rows("prop_edition", come, "prop_id", gone, kept),
        *(Handed("prop_edition", [one.id], "number", wait[one.id], numbers[one.id]) for one in move),
    ]


def _questions(session: Session, about: str, gone: int, kept: int) -> list[Step]:
    """Questions about the one that goes; where the same is asked of the other on that boat, both stay as they are."""
    asked = session.exec(
        select(Finding).where(Finding.about == about, col(Finding.subject).in_([str(gone), str(kept)]))
    )
    rows = list(asked)
    there = {one.hull_id for one in rows if one.subject == str(kept)}
    of_gone = [one.id for one in rows if one.subject == str(gone) and one.hull_id not in there]
    return _rows("finding", of_gone, "subject", str(gone), str(kept))


def stand_in(session: Session, kind: str, gone: int, kept: int) -> list[Step]:
    """One stands for the other, and for whatever the other stood for until now."""
    before = [one.gone_id for one in joined(session, kind, [gone]) if one.kept_id == gone]
    steps: list[Step] = []
    for other in before:
        steps += [Same(kind, other, gone, True, False), Same(kind, other, kept, False, True)]
    return [*steps, Same(kind, gone, kept, False, True)]


def notes_of(session: Session, kind: str, gone: Any, kept: Any, first: str) -> list[str]:
    """What a person should know before, of the rest."""
    notes = []
    if kind == "prop":
        of_gone, of_kept = editions(session, gone.id)[::-1], editions(session, kept.id)[::-1]
        come = of_gone if first == OWN_BLADE else of_gone[1:]
        for number, one in enumerate(in_time(come, of_kept), start=1):
            if one in come or one.number != number:
                code = gone.code if one in come else kept.code
                notes.append(f"Edition {one.number} of {code} is edition {number} of {kept.code} then.")
    if kind == "part":
        notes.append("Build states keep what was written with them; where it is and was is told of both together.")
    if kind == "water" and gone.course_m and kept.course_m and gone.course_m != kept.course_m:
        notes.append("The courses differ: what was run keeps the course that was written with it.")
    if kind != "water" and entry(session, kind, gone.id) and entry(session, kind, kept.id):
        notes.append(
            "Both are on the shelf: what the entry of the one that stays says stays; what it leaves open is taken over."
        )
    return notes
