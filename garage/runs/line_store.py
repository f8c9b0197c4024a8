"""All that the lines of some runs need, in a fixed number of queries however many runs there are."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import func
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.hulls.store import hull_names
from garage.packs.break_in import Standing
from garage.packs.store import PackText, pack_texts, standings_at
from garage.packs.verdict_store import retire_words
from garage.preferences.store import display_units
from garage.props.store import EditionText, edition_texts
from garage.runs.denied_store import denied_of
from garage.runs.store import packs_of, props_of
from garage.runs.tables import DeniedSpeed, Incident, Run, RunPack, RunProp, RunTemperature
from garage.states.tables import BuildState
from garage.units import DisplayUnits
from garage.waters.tables import Outing, Water


@dataclass(frozen=True)
class WaterName:
    """What a water is called, and how fast a boat may go there; None without such a rule."""

    name: str
    speed_limit_kmh: float | None


@dataclass(frozen=True)
class StateName:
    """A build state by its number and fingerprint."""

    number: int
    fingerprint: str


@dataclass(frozen=True)
class LineFacts:
    """What is known beside the runs themselves, by run, hull, outing or state."""

    waters: dict[int, WaterName]
    hulls: dict[int, str]
    states: dict[int, StateName]
    state_before: dict[int, int | None]
    props: dict[int, list[RunProp]]
    editions: dict[int, EditionText]
    packs: dict[int, list[RunPack]]
    pack_texts: dict[int, PackText]
    retire: dict[int, str]
    standings: dict[tuple[int, str], Standing]
    hottest: dict[int, dict[str, float]]
    spoiled_by: dict[int, list[str]]
    denied: dict[int, DeniedSpeed]
    units: DisplayUnits


def line_facts(session: Session, runs: Sequence[Run]) -> LineFacts:
    """Everything the lines of `runs` need."""
    ids = {run.id for run in runs}
    before = _states_before(session, ids)
    states = {run.state_id for run in runs} | {state for state in before.values() if state}
    props, packs = props_of(session, ids), packs_of(session, ids)
    names = _states(session, states)
    began = {run.id: run.started_at for run in runs}
    pack_ids = {use.pack_id for uses in packs.values() for use in uses}
    pairs = {(use.pack_id, began[run_id]) for run_id, uses in packs.items() for use in uses}
    return LineFacts(
        waters=_waters(session, {run.outing_id for run in runs}),
        hulls=hull_names(session, {run.hull_id for run in runs}),
        states=names,
        state_before={run: names[state].number if state else None for run, state in before.items()},
        props=props,
        editions=edition_texts(session, {use.edition_id for uses in props.values() for use in uses}),
        packs=packs,
        pack_texts=pack_texts(session, pack_ids),
        retire=retire_words(session, pack_ids),
        standings=standings_at(session, pairs),
        hottest=_hottest(session, ids),
        spoiled_by=_spoiled(session, ids),
        denied=denied_of(session, ids),
        units=display_units(session),
    )


def _waters(session: Session, outing_ids: set[int]) -> dict[int, WaterName]:
    rows = session.exec(
        select(Outing.id, Water.name, Water.speed_limit_kmh)
        .join(Water, col(Water.id) == Outing.water_id)
        .where(in_(Outing.id, outing_ids))
    )
    return {outing_id: WaterName(name, limit) for outing_id, name, limit in rows if outing_id is not None}


def _states(session: Session, ids: set[int]) -> dict[int, StateName]:
    rows = session.exec(
        select(BuildState.id, BuildState.number, BuildState.fingerprint).where(in_(BuildState.id, ids))
    )
    return {state_id: StateName(number, print_) for state_id, number, print_ in rows if state_id is not None}


def _states_before(session: Session, ids: set[int]) -> dict[int, int | None]:
    """The state of the run before each, of the same hull; None for its first."""
    earlier = aliased(Run)
    before = (
        select(earlier.state_id)
        .where(
            earlier.hull_id == Run.hull_id,
            earlier.started_at <= Run.started_at,
            (col(earlier.started_at) < col(Run.started_at)) | (col(earlier.id) < col(Run.id)),
            col(earlier.set_aside_at).is_(None),
        )
        .order_by(col(earlier.started_at).desc(), col(earlier.id).desc())
        .limit(1)
        .correlate(Run)
        .scalar_subquery()
    )
    rows = session.exec(select(Run.id, before).where(in_(Run.id, ids)))
    return {run_id: state for run_id, state in rows if run_id is not None}


def _hottest(session: Session, ids: set[int]) -> dict[int, dict[str, float]]:
    rows = session.exec(
        select(RunTemperature.run_id, RunTemperature.spot, func.max(RunTemperature.temperature_c))
        .where(in_(RunTemperature.run_id, ids))
        .group_by(col(RunTemperature.run_id), col(RunTemperature.spot))
    )
    found: dict[int, dict[str, float]] = defaultdict(dict)
    for run_id, spot, highest in rows:
        found[run_id][spot] = highest
    return found


def _spoiled(session: Session, ids: set[int]) -> dict[int, list[str]]:
    rows = session.exec(
        select(Incident.run_id, Incident.kind)
        .where(in_(Incident.run_id, ids), Incident.spoiled_speed, col(Incident.set_aside_at).is_(None))
        .order_by(col(Incident.id))
    )
    found: dict[int, list[str]] = defaultdict(list)
    for run_id, kind in rows:
        found[run_id].append(kind)
    return found
