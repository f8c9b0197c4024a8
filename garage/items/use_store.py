"""Where an item was used: its last runs, and its best run of each way of measuring. All work stays with
its own runs."""

from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import ColumnElement, func
from sqlmodel import Session, col, select

from garage.preferences.store import display_units
from garage.props.tables import PropEdition
from garage.records.store import runs_by_id
from garage.records.ways import Way, way_of
from garage.runs.counting import does_not_count
from garage.runs.denied_store import is_denied
from garage.runs.lines.line import RunLine, run_lines
from garage.runs.tables import Run, RunPack, RunProp


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
    return _use(session, RunProp, col(RunProp.edition_id).in_(editions), page, limit)


def use_of_pack(session: Session, pack_id: int, known: Mapping[int, str], *, page: int, limit: int) -> Use:
    """The runs made on a pack; `known` is what speaks for retiring it."""
    return _use(session, RunPack, col(RunPack.pack_id) == pack_id, page, limit, known)


def _use(
    session: Session,
    pins: type[RunProp] | type[RunPack],
    mine: ColumnElement[bool],
    page: int,
    limit: int,
    known: Mapping[int, str] | None = None,
) -> Use:
    """What the runs pinned to an item say; `mine` picks its rows of the table `pins`."""
    count = session.exec(select(func.count()).select_from(pins).where(mine)).one()
    of_item = select(Run).join(pins, col(pins.run_id) == col(Run.id)).where(mine)
    newest_first = of_item.order_by(col(Run.started_at).desc(), col(Run.id).desc())
    runs = list(session.exec(newest_first.limit(limit + 1).offset((page - 1) * limit)))
    best = _best(session, pins, mine)
    lines = run_lines(session, [*runs[:limit], *runs_by_id(session, list(best.values()))], known)
    by_id = {line.id: line for line in lines}
    units = display_units(session)
    ways = [BestLine(way.words(units), by_id[best[way]]) for way in sorted(best, key=lambda way: way.trust)]
    return Use(count, ways, lines[: len(runs[:limit])], page, len(runs) > limit)


def _best(session: Session, pins: type[RunProp] | type[RunPack], mine: ColumnElement[bool]) -> dict[Way, int]:
    """The id of a fastest run of each way. Runs set aside, and runs whose speed an incident spoiled or their
    log denies, do not count.

    Beside max(), SQLite gives the other columns of the row that holds it.
    """
    measured = (Run.speed_how, Run.averaging_s, Run.ways, Run.course_m)
    found = session.exec(
        select(func.max(Run.speed_kmh), Run.id, *measured)  # type: ignore[call-overload]
        .join(pins, col(pins.run_id) == col(Run.id))
        .where(mine, col(Run.set_aside_at).is_(None), col(Run.speed_kmh).is_not(None), ~does_not_count(), ~is_denied())
        .group_by(*measured)
    )
    best: dict[Way, tuple[float, int]] = {}
    for speed, run_id, how, averaging_s, ways, course_m in found:
        way = way_of(how, averaging_s, ways, course_m)
        best[way] = max(best.get(way, (0.0, 0)), (speed, run_id))
    return {way: run_id for way, (_, run_id) in best.items()}
