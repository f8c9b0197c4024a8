"""One outing that was two, and two that were one."""

from collections.abc import Collection, Sequence

from sqlmodel import Session, col, select

from garage.errors import Conflict
from garage.fields.definition import is_open
from garage.fields.forms import held
from garage.fields.showing import by_column, in_words
from garage.findings.tables import FindingResult
from garage.logs.store import pieces_of_logs
from garage.logs.tables import LogFile
from garage.mending.asked import once, runs_of_day, the_outing
from garage.mending.operation import Ask, Operation, Planned
from garage.mending.order import numbers_after, put_among
from garage.mending.outings import days_between, on_day
from garage.mending.run_steps import (
    StatesThen,
    by_hand_notes,
    listed,
    moving,
    number_steps,
    placed,
    run_start_steps,
    started,
)
from garage.mending.steps import Put, Step
from garage.moments import Moment
from garage.photos.tables import Attachment
from garage.runs.lines.line import run_lines
from garage.runs.moves import Move
from garage.runs.tables import Run
from garage.units import DisplayUnits
from garage.waters.fields import outing_fields
from garage.waters.outing_store import began, outings_by_id, outings_of_day
from garage.waters.store import water, waters, waters_by_id
from garage.waters.tables import Outing
from garage.web.fields import Reader


def run_choices(session: Session, runs: Sequence[Run], *, day: bool = False) -> list[tuple[str, str]]:
    """Runs to tick: number, clock, boat, speed; the day too where they are of several."""
    return [
        (
            str(line.id),
            ", ".join(
                [f"run {line.number}", *([line.started.day()] if day else []), line.started.clock(), line.hull]
                + ([line.packs_short] if line.packs_short else [])
            ),
        )
        for line in run_lines(session, runs)
    ]


def _asks_part(session: Session, outing_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    kept = the_outing(session, outing_id)
    runs = runs_of_day(session, outing_id)
    places = [(str(one.id), one.name) for one in waters(session)]
    return [
        Ask("runs", "Runs of the other outing", "many", options=run_choices(session, runs)),
        Ask("began", "When that outing began", "moment", "its runs go to that day", value=began(kept).local_text()),
        Ask("water", "At which water", "choice", options=places, value=str(kept.water_id), required=True),
        Ask("conditions", "What is written of air, water and wind holds for both", "flag"),
    ]


def _part_refused(session: Session, outing_id: int) -> str:
    few = len(runs_of_day(session, outing_id)) < 2
    return "It has no two runs that could be parted." if few else ""


def _plan_part(session: Session, reader: Reader, outing_id: int, now: Moment) -> Planned:
    kept = the_outing(session, outing_id)
    runs = runs_of_day(session, outing_id)
    ticked = set(map(int, reader.several("runs", [str(run.id) for run in runs])))
    begins = reader.moment("began", required=True, was=began(kept))
    place = reader.choice("water", [str(one.id) for one in waters(session)], required=True)
    if not ticked and "runs" not in reader.errors:
        reader.fail("runs", "Tick the runs that were of another outing.")
    if len(ticked) == len(runs):
        reader.fail("runs", "All of them? Then this outing itself was otherwise: leave one here, or go back.")
    gone = [run for run in runs if run.id in ticked]
    starts: list[tuple[Run, Moment]] = []
    if begins and gone:
        shift = days_between(began(kept), begins.date())
        starts = [(run, on_day(started(run), shift) if shift else started(run)) for run in gone]
        first = min(start for _, start in starts)
        if begins.utc > first.utc:
            reader.fail("began", f"Its first run was at {first.clock()}: it began no later than that.")
    holds = reader.flag("conditions")
    reader.finish()
    assert begins is not None
    new = _new_outing(session, kept, begins, int(place), holds, now)
    states = StatesThen(session)
    steps: list[Step] = [Put("outing", new.id, {"set_aside_at": new.set_aside_at}, {"set_aside_at": None})]
    left = numbers_after({run.id: run.number for run in runs}, ticked)
    moves = [Move(run.id, "outing", str(outing_id), str(new.id)) for run in gone]
    moves += number_steps(runs, left | {run.id: number for number, run in enumerate(gone, 1)})
    steps += moving(moves) + run_start_steps(session, starts, states)
    logs, notes = logs_along(session, outing_id, new.id, ticked)
    notes += by_hand_notes(gone, states) if began(kept).date() != begins.date() else []
    if not holds:
        notes.append("Nothing is said yet of air, water and wind of the new outing.")
    if _attached(session, outing_id):
        notes.append("Pictures and notes of the outing stay with this one; those of a run go with the run.")
    count = f"{len(gone)} runs were" if len(gone) > 1 else "1 run was"
    said = f"{count} an outing of {'their' if len(gone) > 1 else 'its'} own, {begins.day()}"
    return Planned(said, [*steps, *logs], notes, f"/outings/{new.id}")


def _new_outing(session: Session, kept: Outing, begins: Moment, water_id: int, holds: bool, now: Moment) -> Outing:
    """A row that is set aside until the mending brings it to life."""
    facts = held(outing_fields(), kept) if holds else {}
    closed = kept.closed_at or (now.utc if begins.date() != began(kept).date() else None)
    new = Outing(
        water_id=water_id, started_at=begins.utc, offset_min=begins.offset_min, closed_at=closed,
        set_aside_at=now.utc, created_at=now.utc, **facts,
    )  # fmt: skip
    session.add(new)
    session.flush()
    return new


def logs_along(session: Session, outing_id: int, to_id: int, run_ids: Collection[int]) -> tuple[list[Put], list[str]]:
    """Logs go with their runs, if they are of no other."""
    logs = session.exec(select(LogFile).where(LogFile.outing_id == outing_id)).all()
    pieces = pieces_of_logs(session, [log.id for log in logs]) if logs else {}
    steps, notes = [], []
    for log in logs:
        its = {piece.run_id for piece in pieces[log.id] if piece.run_id} | {log.asked_run_id} - {None}
        if its and its <= set(run_ids):
            steps.append(Put("log_file", log.id, {"outing_id": outing_id}, {"outing_id": to_id}))
        elif its & set(run_ids):
            notes.append(
                f"The log {log.name} is of runs of both and stays with this outing; its pieces keep their runs."
            )
    return steps, notes


def _attached(session: Session, outing_id: int) -> list[Attachment]:
    its = (Attachment.owner == "outing", Attachment.owner_id == outing_id)
    return list(session.exec(select(Attachment).where(*its).order_by(col(Attachment.id))))


def _same_day(session: Session, kept: Outing) -> list[Outing]:
    """Other outings of the day."""
    return once(session, ("same day", kept.id), lambda: _read_same_day(session, kept))


def _read_same_day(session: Session, kept: Outing) -> list[Outing]:
    found = outings_by_id(session, set(outings_of_day(session, began(kept))) - {kept.id})
    return [one for one in found.values() if one.set_aside_at is None]


def _join_refused(session: Session, outing_id: int) -> str:
    kept = the_outing(session, outing_id)
    if _same_day(session, kept):
        return ""
    return (
        f"There is no other outing on {began(kept).day()}. If one of the two has the wrong day, put that right first."
    )


def _asks_join(session: Session, outing_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    others = _same_day(session, the_outing(session, outing_id))
    names = waters_by_id(session, {one.water_id for one in others})
    options = [(str(one.id), f"{began(one).clock()}, {names[one.water_id].name}") for one in others]
    hint = "its runs come here; what differs between the two is told before"
    only = options[0][0] if len(options) == 1 else ""
    return [Ask("other", "The other outing of that day", "choice", hint, options, only, required=True)]


def _plan_join(session: Session, reader: Reader, outing_id: int, now: Moment) -> Planned:
    kept = the_outing(session, outing_id)
    others = {str(one.id): one for one in _same_day(session, kept)}
    chosen = reader.choice("other", others, required=True)
    reader.finish()
    other = others[chosen]
    if kept.set_aside_at:
        raise Conflict(
            "This outing is set aside: join it from the other one.", (f"/otherwise/outing/{other.id}", "There")
        )
    here = runs_of_day(session, outing_id)
    come = runs_of_day(session, other.id)
    order = put_among([placed(run) for run in here], [placed(run) for run in come])
    numbers = {run_id: number for number, run_id in enumerate(order, 1)}
    moves = [Move(run.id, "outing", str(other.id), str(outing_id)) for run in come]
    filled, notes = _as_one(session, kept, other, reader.units)
    steps: list[Step] = [*filled, *moving([*moves, *number_steps([*here, *come], numbers)])]
    logs = session.exec(select(LogFile.id).where(LogFile.outing_id == other.id)).all()
    attached = _attached(session, other.id)
    steps += [Put("log_file", log_id, {"outing_id": other.id}, {"outing_id": outing_id}) for log_id in logs if log_id]
    steps += [Put("attachment", one.id, {"owner_id": other.id}, {"owner_id": outing_id}) for one in attached]
    steps.append(Put("outing", other.id, {"set_aside_at": None}, {"set_aside_at": now.utc}))
    along = [f"{len(logs)} logs"] * bool(logs) + [f"{len(attached)} pictures and notes"] * bool(attached)
    notes += [f"Its {listed(along)} come along."] if along else []
    notes.append("The other outing is empty then, and set aside with all that was written of it.")
    if session.exec(select(FindingResult.id).where(FindingResult.outing_id == other.id).limit(1)).first():
        notes.append("Answers that were noted when it was closed stay noted under it.")
    return Planned(f"It was one outing with that of {began(other).clock()}", steps, notes)


def _as_one(session: Session, kept: Outing, other: Outing, units: DisplayUnits) -> tuple[list[Put], list[str]]:
    """What was written of the other alone is said of both; what was written of both stays as it is written here."""
    old, new, notes = {}, {}, []
    named, theirs = by_column(outing_fields()), held(outing_fields(), other)
    for column, here in held(outing_fields(), kept).items():
        there = theirs[column]
        if is_open(there) or there == here:
            continue
        if is_open(here):
            old[column], new[column] = here, there
            continue
        words = [in_words(named[column], str(one), units) for one in (here, there)]
        notes.append(
            f"{named[column].label}: {words[0]} is written here, {words[1]} there. What is written here stays."
        )
    if other.started_at < kept.started_at:
        old |= {"started_at": kept.started_at, "offset_min": kept.offset_min}
        new |= {"started_at": other.started_at, "offset_min": other.offset_min}
    if kept.water_id != other.water_id:
        names = [water(session, one.water_id).name for one in (kept, other)]
        notes.append(f"This one was at {names[0]}, the other at {names[1]}: all its runs are at {names[0]} then.")
    return [Put("outing", kept.id, old, new)] if new else [], notes


OPERATIONS = (
    Operation(
        "outing", "part", "It was two outings", "choose which runs were of the other, and when and where that was",
        _asks_part, _plan_part, _part_refused,
    ),
    Operation(
        "outing", "join", "It was one outing with another of that day", "the runs of the other come here",
        _asks_join, _plan_join, _join_refused,
    ),
)  # fmt: skip
