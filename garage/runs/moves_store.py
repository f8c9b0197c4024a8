"""The ledger of what runs rest on: written first, and what stands in the run's own rows follows it."""

from collections.abc import Iterable, Mapping, Sequence

from sqlmodel import Session, col, select

from garage.db.in_ids import in_, rows_by_ids
from garage.db.many import add_many
from garage.errors import Conflict
from garage.fields.forms import held
from garage.moments import Moment
from garage.packs.store import run_entries, set_aside_run_discharges
from garage.packs.tables import PackLog
from garage.preferences.store import not_measured
from garage.runs.fields import run_fields
from garage.runs.form_data import PackUse, PropUse
from garage.runs.lines.missing import is_waiting
from garage.runs.moves import (
    Move,
    Start,
    packs_of_text,
    packs_text,
    props_of_text,
    props_text,
    start_of_text,
    start_text,
)
from garage.runs.not_known import not_known_of, not_known_text, still_unknown
from garage.runs.store import (
    add_props,
    cells_of,
    packs_of,
    packs_written,
    props_of,
    props_written,
    put_packs,
    temperatures_of,
    temperatures_written,
)
from garage.runs.tables import Run, RunMove, RunPack, RunProp, RunTemperature

# Above any number that a run can have: where runs wait while they change places.
_WAITING_NUMBER = 1_000_000
# What stands in a column of the run's own row as a number.
_COLUMNS = {"state": "state_id", "boat": "hull_id", "outing": "outing_id", "number": "number"}


def moves_of(session: Session, run_ids: Iterable[int]) -> dict[int, list[RunMove]]:
    """What the ledger says of some runs, by run, oldest first; runs that never moved are left out."""
    found: dict[int, list[RunMove]] = {}
    for row in session.exec(select(RunMove).where(in_(RunMove.run_id, run_ids)).order_by(col(RunMove.id))):
        found.setdefault(row.run_id, []).append(row)
    return found


def enter(session: Session, moves: Iterable[Move], why: str, now: Moment, mending_id: int | None = None) -> None:
    """Write moves into the ledger; those that move nothing are left out. What stands in the rows is not touched."""
    rows = [
        RunMove(
            run_id=move.run_id, what=move.what, from_value=move.old, to_value=move.new, why=why, at=now.utc,
            mending_id=mending_id,
        )
        for move in moves if move.old != move.new
    ]  # fmt: skip
    add_many(session, rows)


def standing(session: Session, run_ids: Iterable[int]) -> dict[tuple[int, str], str]:
    """What some runs rest on now, by run and what, as the ledger would keep it."""
    runs = rows_by_ids(session, Run, run_ids)
    packs, props = packs_of(session, runs), props_of(session, runs)
    found: dict[tuple[int, str], str] = {}
    for one in runs.values():
        found |= {(one.id, what): str(getattr(one, column)) for what, column in _COLUMNS.items()}
        found[one.id, "start"] = start_text(Start(Moment(one.started_at, one.offset_min), one.start_time_known))
        found[one.id, "packs"] = packs_text(packs_written(packs[one.id]))
        found[one.id, "props"] = props_text(props_written(props[one.id]))
    return found


def move_runs(
    session: Session,
    moves: Sequence[Move],
    why: str,
    now: Moment,
    mending_id: int | None = None,
    stood: Mapping[tuple[int, str], str] | None = None,
) -> list[Move]:
    """Move what runs rest on, through the ledger; what was moved, without what stood so already.

    Packs and props are written anew with what was read off them, starts move the discharges in the packs' logs too.
    `stood` is what they rest on now, if that was read. Raises Conflict if something else stands there than a move says.
    """
    moved = [move for move in moves if move.old != move.new]
    now_standing = stood or standing(session, {move.run_id for move in moved})
    for move in moved:
        if now_standing.get((move.run_id, move.what)) != move.old:
            raise Conflict("It was changed since: look at it once more.")
    enter(session, moved, why, now, mending_id)
    session.flush()
    runs = rows_by_ids(session, Run, {move.run_id for move in moved})
    _put_numbers_by(session, [runs[move.run_id] for move in moved if move.what in ("number", "outing")])
    for move in moved:
        if column := _COLUMNS.get(move.what):
            setattr(runs[move.run_id], column, int(move.new))
        elif move.what == "start":
            _begin(runs[move.run_id], start_of_text(move.new))
        elif move.what == "props":
            put_props(session, move.run_id, props_of_text(move.old), props_of_text(move.new))
    _keep_numbers(moved, runs, now_standing)
    session.flush()
    packs = {run_id: (packs_of_text(now_standing[run_id, "packs"]),) * 2 for run_id in runs}
    packs |= {move.run_id: (packs_of_text(move.old), packs_of_text(move.new)) for move in moved if move.what == "packs"}
    began = {move.run_id for move in moved if move.what in ("packs", "start")}
    # When and where a run was says nothing of its cells and of what is missing.
    made_with = {move.run_id for move in moved if move.what in ("packs", "props")}
    temperatures = temperatures_of(session, began | made_with) if began | made_with else {}
    _put_packs(session, [one for one in runs.values() if one.id in began], packs, temperatures, now)
    session.flush()
    look_again(session, [runs[run_id] for run_id in made_with], temperatures)
    return moved


def _put_numbers_by(session: Session, runs: Sequence[Run]) -> None:
    """Two runs cannot bear one number even for a moment."""
    for place, one in enumerate({one.id: one for one in runs}.values()):
        one.number = _WAITING_NUMBER + place
    session.flush()


def _keep_numbers(moved: Sequence[Move], runs: dict[int, Run], stood: Mapping[tuple[int, str], str]) -> None:
    """A run that goes to another outing and is told no number keeps its own."""
    told = {move.run_id for move in moved if move.what == "number"}
    for move in moved:
        if move.what == "outing" and move.run_id not in told:
            runs[move.run_id].number = int(stood[move.run_id, "number"])


def _begin(one: Run, start: Start) -> None:
    one.started_at, one.offset_min, one.start_time_known = start.moment.utc, start.moment.offset_min, start.known


def put_props(session: Session, run_id: int, old: Iterable[PropUse], new: Iterable[PropUse]) -> None:
    """Write the props of a run anew; the ledger has been told."""
    rows = {use.place: session.get_one(RunProp, {"run_id": run_id, "place": use.place}) for use in old}
    for use in new:
        if use.place in rows:
            rows.pop(use.place).edition_id = use.edition_id
        else:
            add_props(session, run_id, [use])
    for row in rows.values():
        session.delete(row)


def _put_packs(
    session: Session,
    runs: Sequence[Run],
    packs: Mapping[int, tuple[tuple[PackUse, ...], tuple[PackUse, ...]]],
    temperatures: Mapping[int, Sequence[RunTemperature]],
    now: Moment,
) -> None:
    """Write the packs of runs anew (before and after, by run), or only when they ran, into the runs and into each
    pack's log."""
    ids = [one.id for one in runs]
    entries = run_entries(session, ids)
    for one in runs:
        before, new = packs[one.id]
        _read_off_other(
            temperatures[one.id], entries[one.id], *({use.pack_id for use in uses} for uses in packs[one.id])
        )
        readings = temperatures_written(temperatures[one.id])
        # The session holds on to them: nothing is asked.
        known = {use.pack_id: session.get_one(RunPack, {"run_id": one.id, "pack_id": use.pack_id}) for use in before}
        start = Moment(one.started_at, one.offset_min)
        put_packs(session, one.id, start, new, readings, known, now.utc, entries[one.id])
        if one.set_aside_at:
            set_aside_run_discharges(session, one.id, one.set_aside_at)


def _read_off_other(
    temperatures: Iterable[RunTemperature], entries: Sequence[PackLog], old: set[int], new: set[int]
) -> None:
    """Where one pack takes the place of one other, what was read off that one after the run, and the run's line in its
    log, are of this one; unless that has a line of this run already."""
    if len(old - new) != 1 or len(new - old) != 1:
        return
    (gone,), (come,) = old - new, new - old
    for row in temperatures:
        row.pack_id = come if row.pack_id == gone else row.pack_id
    of_pack = {entry.pack_id: entry for entry in entries}
    if gone in of_pack and come not in of_pack:
        of_pack[gone].pack_id = come


def look_again(
    session: Session, runs: Sequence[Run], read: Mapping[int, Sequence[RunTemperature]] | None = None
) -> None:
    """What is kept of a run because its packs and props are as they are, and whether it waits; `read` are the
    temperatures after these runs, if they were asked for."""
    if not runs:
        return
    ids = [one.id for one in runs]
    packs, props = packs_of(session, ids), props_of(session, ids)
    temperatures = temperatures_of(session, ids) if read is None else read
    for one in runs:
        uses = packs_written(packs[one.id])
        left = still_unknown(
            not_known_of(one.not_known),
            packs=uses,
            prop_places=[use.place for use in props[one.id]],
            speed_kmh=one.speed_kmh,
            start_known=one.start_time_known,
        )
        one.not_known = not_known_text(left)
        one.cells_s = cells_of(session, uses)
        told = (held(run_fields(), one), uses, len(temperatures[one.id]), len(props[one.id]))
        one.waiting = is_waiting(one, *told, not_measured(session))
    session.flush()
