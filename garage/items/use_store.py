"""Where an item was used: its last runs, and its best run of each way of measuring. All work stays with its own runs."""

from dataclasses import dataclass

from sqlalchemy import ColumnElement, Select, func
from sqlmodel import Session, col, select

from garage.props.tables import PropEdition
from garage.records.store import runs_by_id
from garage.records.ways import Way, way_of
from garage.runs.lines import RunLine, run_lines
from garage.runs.tables import Incident, Run, RunPack, RunProp


@dataclass(frozen=True)
class BestLine:
    """The fastest run of one way of measuring, which is named in `way`."""

    way: str
    run: RunLine


@dataclass(frozen=True)
class Use:
    """What an item did: its best runs, one for each way, and a page of its runs, newest first."""

    count: int
    best: list[BestLine]
    runs: list[RunLine]
    page: int
    more: bool


def use_of_prop(session: Session, prop_id: int, *, page: int, limit: int) -> Use:
    """The runs made with any edition of a prop."""
    editions = select(PropEdition.id).where(PropEdition.prop_id == prop_id)
    return _use(session, select(RunProp.run_id).where(col(RunProp.edition_id).in_(editions)), page, limit)


def use_of_pack(session: Session, pack_id: int, *, page: int, limit: int) -> Use:
    """The runs made on a pack."""
    return _use(session, select(RunPack.run_id).where(RunPack.pack_id == pack_id), page, limit)


def _use(session: Session, run_ids: Select, page: int, limit: int) -> Use:
    mine = col(Run.id).in_(run_ids)
    count = session.exec(select(func.count()).select_from(Run).where(mine)).one()
    newest_first = select(Run).where(mine).order_by(col(Run.started_at).desc(), col(Run.id).desc())
    runs = list(session.exec(newest_first.limit(limit + 1).offset((page - 1) * limit)))
    best = _best(session, mine)
    shown = run_lines(session, [*runs[:limit], *runs_by_id(session, list(best.values()))])
    by_id = {line.id: line for line in shown}
    ways = [BestLine(way.text, by_id[best[way]]) for way in sorted(best, key=lambda way: way.trust)]
    return Use(count, ways, shown[: len(runs[:limit])], page, len(runs) > limit)


def _best(session: Session, mine: ColumnElement[bool]) -> dict[Way, int]:
    """The id of the fastest run of each way. Runs set aside, and runs whose speed an incident spoiled, do not count."""
    spoiled = select(Incident.id).where(
        Incident.run_id == Run.id, Incident.spoiled_speed, col(Incident.set_aside_at).is_(None)
    )
    fastest = (
        func.row_number()
        .over(
            partition_by=(Run.speed_how, Run.ways, Run.course_m, Run.averaging_s),
            order_by=(col(Run.speed_kmh).desc(), Run.id),
        )
        .label("place")
    )
    ranked = (
        select(Run.id, Run.speed_kmh, Run.speed_how, Run.averaging_s, Run.ways, Run.course_m, fastest)
        .where(mine, col(Run.set_aside_at).is_(None), col(Run.speed_kmh).is_not(None), ~spoiled.exists())
        .subquery()
    )
    of_a_way = ranked.c
    found = session.exec(
        select(
            of_a_way.id,
            of_a_way.speed_kmh,
            of_a_way.speed_how,
            of_a_way.averaging_s,
            of_a_way.ways,
            of_a_way.course_m,
        ).where(of_a_way.place == 1)  # type: ignore[call-overload]
    )
    best: dict[Way, tuple[float, int]] = {}
    for run_id, speed, *measured in found:
        way = way_of(*measured)
        best[way] = max(best.get(way, (0.0, 0)), (speed, run_id))
    return {way: run_id for way, (_, run_id) in best.items()}
