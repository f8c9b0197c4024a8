"""Queries and writes of runs: what a run is made of, and writing one down."""

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TypeVar

from sqlalchemy import func, text
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.db.many import add_many
from garage.errors import Conflict, NotFound
from garage.hulls.store import hull as hull_by_id
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.packs.store import AfterRun, enter_run_discharges, packs_by_ids
from garage.packs.tables import PackLog
from garage.preferences.store import not_measured
from garage.runs.entry.start_time import guessed_start, later
from garage.runs.entry.validate_store import Looked, look_at
from garage.runs.form_data import IncidentFormData, PackUse, PropUse, RunFormData, TemperatureFormData
from garage.runs.lines.missing import lacking_of
from garage.runs.not_known import not_known_text
from garage.runs.tables import Incident, Run, RunPack, RunProp, RunTemperature
from garage.runs.wiring import cells_in_series
from garage.states.store import ensure_first_state
from garage.waters.outing_store import outing
from garage.waters.tables import Outing

# The plus sign: see `runs.counting`.
_LAST_RUNS = select(Run).from_statement(
    text("""
    SELECT run.* FROM json_each(:hulls) AS asked JOIN run ON run.id = (
        SELECT id FROM run WHERE hull_id = asked.value AND started_at < :before AND +set_aside_at IS NULL
        ORDER BY started_at DESC, id DESC LIMIT 1)
""")
)
_Part = TypeVar("_Part", RunProp, RunPack, RunTemperature, Incident)


def run(session: Session, run_id: int) -> Run:
    """One run. Raises NotFound."""
    found = session.get(Run, run_id)
    if found is None:
        raise NotFound("There is no such run in this notebook.")
    return found


def run_with_place(session: Session, run_id: int) -> tuple[Run, Hull, Outing]:
    """One run with its hull and its outing. Raises NotFound."""
    both = select(Run, Hull, Outing).join(Hull, col(Hull.id) == Run.hull_id)
    found = session.exec(both.join(Outing, col(Outing.id) == Run.outing_id).where(Run.id == run_id)).first()
    if found is None:
        raise NotFound("There is no such run in this notebook.")
    return found


def runs_by_ids(session: Session, ids: Iterable[int]) -> dict[int, Run]:
    """Some runs, by id."""
    return {row.id: row for row in session.exec(select(Run).where(in_(Run.id, ids)))}


def last_run_of_hull(session: Session, hull_id: int, before_utc: str = "9999") -> Run | None:
    """The latest run of a hull that began before `before_utc` and counts."""
    return last_runs_of_hulls(session, [hull_id], before_utc).get(hull_id)


def last_runs_of_hulls(session: Session, hull_ids: Iterable[int], before_utc: str = "9999") -> dict[int, Run]:
    """The latest run of each hull that began before `before_utc` and counts, by hull."""
    rows = session.execute(_LAST_RUNS, {"hulls": json.dumps(sorted(set(hull_ids))), "before": before_utc})
    return {found.hull_id: found for found in rows.scalars()}


def runs_on_state(session: Session, state_id: int, *, limit: int = 50, offset: int = 0) -> list[Run]:
    """Runs made with a build state, newest first; those set aside among them."""
    newest = select(Run).where(Run.state_id == state_id).order_by(col(Run.id).desc())
    return list(session.exec(newest.limit(limit).offset(offset)))


def runs_of_outing(session: Session, outing_id: int, *, limit: int = 200, offset: int = 0) -> list[Run]:
    """The runs of one outing in their order; those set aside among them."""
    in_order = select(Run).where(Run.outing_id == outing_id).order_by(col(Run.number))
    return list(session.exec(in_order.limit(limit).offset(offset)))


def runs_listed(session: Session, *, hull_id: int | None = None, limit: int = 50, offset: int = 0) -> list[Run]:
    """Runs of all hulls or of one, newest first; those set aside among them."""
    newest = select(Run)
    if hull_id is None:
        newest = newest.order_by(col(Run.id).desc())
    else:
        newest = newest.where(Run.hull_id == hull_id).order_by(col(Run.started_at).desc(), col(Run.id).desc())
    return list(session.exec(newest.limit(limit).offset(offset)))


def props_of(session: Session, run_ids: Iterable[int]) -> dict[int, list[RunProp]]:
    """The props of some runs, by run."""
    return _by_run(session.exec(select(RunProp).where(in_(RunProp.run_id, run_ids))))


def packs_of(session: Session, run_ids: Iterable[int]) -> dict[int, list[RunPack]]:
    """The packs of some runs, by run."""
    packs = select(RunPack).where(in_(RunPack.run_id, run_ids)).order_by(col(RunPack.pack_id))
    return _by_run(session.exec(packs))


def temperatures_of(session: Session, run_ids: Iterable[int]) -> dict[int, list[RunTemperature]]:
    """The temperatures after some runs, by run, in the order they were read."""
    wanted = select(RunTemperature).where(in_(RunTemperature.run_id, run_ids))
    return _by_run(session.exec(wanted.order_by(col(RunTemperature.position), col(RunTemperature.id))))


def incidents_of(session: Session, run_ids: Iterable[int]) -> dict[int, list[Incident]]:
    """What happened in some runs, by run; those set aside among them."""
    wanted = select(Incident).where(in_(Incident.run_id, run_ids)).order_by(col(Incident.id))
    return _by_run(session.exec(wanted))


def packs_written(rows: Iterable[RunPack]) -> tuple[PackUse, ...]:
    """Packs of a run as they are written now, each with what was read off it."""
    return tuple(_pack_use(row) for row in rows)


def _pack_use(row: RunPack) -> PackUse:
    volts = tuple(json.loads(row.volts_after)) if row.volts_after else ()
    return PackUse(row.pack_id, row.wiring, row.start_temperature_c, row.rested_v, row.charge_mah, row.end_v, volts)


def props_written(rows: Iterable[RunProp]) -> tuple[PropUse, ...]:
    """Props of a run as they are written now."""
    return tuple(PropUse(row.edition_id, row.place) for row in rows)


def temperatures_written(rows: Iterable[RunTemperature]) -> tuple[TemperatureFormData, ...]:
    """Readings after a run as they are written now."""
    return tuple(_temperature(row) for row in rows)


def _temperature(row: RunTemperature) -> TemperatureFormData:
    told = (row.spot, row.temperature_c, row.seconds_after, row.place, row.pack_id, row.note)
    return TemperatureFormData(*told, row_id=row.id)


def _by_run(rows: Iterable[_Part]) -> dict[int, list[_Part]]:
    sorted_rows: dict[int, list[_Part]] = defaultdict(list)
    for row in rows:
        sorted_rows[row.run_id].append(row)
    return sorted_rows


@dataclass(frozen=True)
class SoFar:
    """An outing as far as it is written: its latest run, and the number of the next; one just begun has none."""

    last: Run | None = None
    next_number: int = 1


def so_far(session: Session, outing_id: int) -> SoFar:
    """How far an outing is written; a run set aside keeps its number."""
    highest = select(func.max(Run.number)).where(Run.outing_id == outing_id).scalar_subquery()
    latest = select(Run, highest).where(Run.outing_id == outing_id)
    found = session.exec(latest.order_by(col(Run.started_at).desc(), col(Run.id).desc()).limit(1)).first()
    return SoFar(found[0], found[1] + 1) if found else SoFar()


def start_of(
    session: Session, form: RunFormData, at: Moment, before: SoFar | None = None, *, written_later: bool = False
) -> Moment:
    """When the run of `form` began: as typed, else a guess that keeps the order of the day. `before` is how far its
    outing is written, if that was read."""
    if form.started:
        return form.started
    day = outing(session, form.outing_id)
    last = (before or so_far(session, form.outing_id)).last
    last_end = later(Moment(last.started_at, last.offset_min), last.duration_s or 60) if last else None
    began = Moment(day.started_at, day.offset_min)
    return guessed_start(began, last_end, at, written_later=written_later)


def add_run(
    session: Session,
    form: RunFormData,
    at: Moment,
    *,
    written_later: bool = False,
    looked: Looked | None = None,
    before: SoFar | None = None,
) -> Run:
    """Write a run down with its props, packs, readings and incidents, and its discharge into each pack's log.

    It is pinned to the build state of its hull at its start; a hull without any gets its first.
    `looked` is what was found when it was looked at, if it was, and `before` how far its outing is written, if that was
    read. Raises NotFound, and Conflict in words when something
    goes against what is written already.
    """
    form = form.answered
    hull = hull_by_id(session, form.hull_id)
    day = outing(session, form.outing_id)
    before = before or so_far(session, day.id)
    looked = looked or look_at(session, form, start_of(session, form, at, before, written_later=written_later), at)
    if looked.problems:
        raise Conflict(" ".join(looked.problems.values()))
    start, state = looked.start, looked.state or ensure_first_state(session, hull, looked.start)
    new = Run(
        outing_id=day.id,
        number=before.next_number,
        hull_id=form.hull_id,
        state_id=state.id,
        started_at=start.utc,
        offset_min=start.offset_min,
        start_time_known=form.started is not None,
        cells_s=cells_of(session, form.packs),
        waiting=bool(lacking_of(form, not_measured(session))),
        not_known=not_known_text(form.not_known),
        speed_typed=form.speed_typed,
        created_at=at.utc,
        **form.facts,
    )
    session.add(new)
    session.flush()
    _begin_day_earlier(session, day, start)
    add_props(session, new.id, form.props)
    put_packs(session, new.id, start, form.packs, form.temperatures, entries=())
    add_temperatures(session, new.id, form.temperatures)
    add_incidents(session, new.id, form.incidents)
    session.flush()
    return new


def cells_of(session: Session, packs: Sequence[PackUse]) -> int | None:
    """Cells in series of these packs together."""
    # Rows that the session holds are not asked for once more.
    known = packs_by_ids(session, [use.pack_id for use in packs])
    return cells_in_series([(use.wiring, known[use.pack_id].cells_s) for use in packs if use.pack_id in known])


def add_props(session: Session, run_id: int, props: Iterable[PropUse]) -> None:
    """Pin prop editions to a run."""
    session.add_all(RunProp(run_id=run_id, place=use.place, edition_id=use.edition_id) for use in props)


def put_packs(
    session: Session,
    run_id: int,
    start: Moment,
    packs: Sequence[PackUse],
    readings: Sequence[TemperatureFormData] = (),
    known: Mapping[int, RunPack] = MappingProxyType({}),
    now_utc: str = "",
    entries: Iterable[PackLog] | None = None,
) -> None:
    """Pin packs to a run, and enter its discharge into each pack's own log with what was read after it. `known` are
    those that a run written before has already, by pack, `entries` its discharges in the logs, if they were read. What
    it has no more is let go."""
    for use in packs:
        facts = vars(use) | {"volts_after": json.dumps(use.volts_after) if use.volts_after else ""}
        row = known.get(use.pack_id)
        session.add(row.sqlmodel_update(facts) if row else RunPack(run_id=run_id, **facts))
    after = {use.pack_id: AfterRun(use.charge_mah, _came_back_at(use, readings), use.volts_after) for use in packs}
    gone = known.keys() - after.keys()
    for pack_id in gone:
        session.delete(known[pack_id])
    enter_run_discharges(session, run_id, start, after, gone=gone, gone_at=now_utc, entries=entries)


def _came_back_at(use: PackUse, readings: Sequence[TemperatureFormData]) -> float | None:
    """The warmest reading of a pack after the run; one that names no pack may be of any of them."""
    warm = [
        reading.temperature_c
        for reading in readings
        if reading.spot == "pack" and reading.pack_id in (None, use.pack_id)
    ]
    return max(warm, default=None)


def add_temperatures(
    session: Session, run_id: int, readings: Iterable[TemperatureFormData], first_position: int = 0
) -> None:
    """Write down readings after a run, in their order."""
    rows = enumerate(readings, first_position)
    add_many(session, [RunTemperature(run_id=run_id, position=place, **reading.columns) for place, reading in rows])


def add_incidents(session: Session, run_id: int, incidents: Iterable[IncidentFormData]) -> None:
    """Write down what happened in a run."""
    add_many(session, [Incident(run_id=run_id, **vars(incident)) for incident in incidents])


def _begin_day_earlier(session: Session, day: Outing, start: Moment) -> None:
    """An outing begins no later than its first run."""
    if start.utc < day.started_at:
        day.started_at, day.offset_min = start.utc, start.offset_min
        session.add(day)
