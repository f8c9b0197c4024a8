"""All that the lines of some runs need, in a fixed number of queries however many runs there are."""

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

from sqlalchemy import ScalarSelect, func
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.hulls.tables import Hull
from garage.packs.break_in import Standing, standing
from garage.packs.store import discharges_until
from garage.packs.tables import Pack
from garage.packs.verdict_store import retire_words
from garage.preferences.store import display_units
from garage.props.store import EditionText, edition_text
from garage.props.tables import Prop, PropEdition
from garage.runs.counting import Happened, SpeedStanding, standing_of
from garage.runs.denied_store import witnesses
from garage.runs.lines.flags import DeniedLook
from garage.runs.tables import Incident, Run, RunPack, RunProp, RunTemperature
from garage.states.tables import BuildState
from garage.units import DisplayUnits
from garage.waters.tables import Outing, Water


@dataclass(frozen=True)
class RunPlace:
    """Where a run was made, and on what: the water with its rule (None without one), the hull and its state,
    the number of the known state of the hull's run before (None for its first), whether its speed counts, what both
    witnesses said where its log denies it, and the highest temperature of each spot."""

    water: str
    speed_limit_kmh: float | None
    hull: str
    state_number: int
    mark: str
    fingerprint: str
    state_before: int | None
    counting: SpeedStanding
    denied: DeniedLook | None
    hottest: dict[str, float]


@dataclass(frozen=True)
class PropOn:
    """The edition that was on a place of the boat."""

    use: RunProp
    prop: Prop
    made: PropEdition
    edition: EditionText

    @property
    def place(self) -> str:
        return self.use.place


@dataclass(frozen=True)
class PackOn:
    """A pack that was on board, what was read off it, and how it stood then."""

    use: RunPack
    pack: Pack
    standing: Standing


@dataclass(frozen=True)
class LineFacts:
    """What is known beside the runs themselves, by run, and by pack what speaks for retiring it."""

    places: dict[int, RunPlace]
    props: dict[int, list[PropOn]]
    packs: dict[int, list[PackOn]]
    retire: dict[int, str]
    units: DisplayUnits


def line_facts(session: Session, runs: Sequence[Run], known: Mapping[int, str] | None = None) -> LineFacts:
    """Everything the lines of `runs` need. `known` is what speaks for retiring packs, where that was read: '' for
    nothing."""
    facts, words = run_facts(session, runs), dict(known or {})
    ids = {on.pack.id for used in facts.packs.values() for on in used}
    words |= retire_words(session, ids - set(words))
    return replace(facts, retire={pack_id: words[pack_id] for pack_id in ids if words.get(pack_id)})


def run_facts(session: Session, runs: Sequence[Run]) -> LineFacts:
    """The same for what says no lines: without a verdict on the packs."""
    ids = {run.id for run in runs}
    units = display_units(session)
    return LineFacts(_places(session, ids), props_on(session, ids), packs_on(session, ids), {}, units)


def _places(session: Session, ids: set[int]) -> dict[int, RunPlace]:
    rows = session.exec(
        select(
            Run.id,
            Water.name,
            Water.speed_limit_kmh,
            Hull.name,
            BuildState.number,
            BuildState.mark,
            BuildState.fingerprint,
            _state_before(),
            Run.speed_counts,
            col(Run.speed_kmh).is_not(None),
            _happened(),
            witnesses(),
            _hottest(),
        )  # type: ignore[call-overload]
        .join(Outing, col(Outing.id) == Run.outing_id)
        .join(Water, col(Water.id) == Outing.water_id)
        .join(Hull, col(Hull.id) == Run.hull_id)
        .join(BuildState, col(BuildState.id) == Run.state_id)
        .where(in_(Run.id, ids))
    )
    return {
        run_id: RunPlace(
            water, limit, hull, number, mark, fingerprint, before, _counting(*counting),
            DeniedLook(*json.loads(said)) if said else None, json.loads(hottest),
        )
        for run_id, water, limit, hull, number, mark, fingerprint, before, *counting, said, hottest in rows
    }  # fmt: skip


def standing_of_run(session: Session, run: Run) -> SpeedStanding:
    """Whether the speed of one run counts, where nothing else of its line is wanted."""
    happened = session.exec(select(_happened()).select_from(Run).where(Run.id == run.id)).one()
    return _counting(run.speed_counts, run.speed_kmh is not None, happened)


def _counting(answer: str, has_speed: bool, happened: str) -> SpeedStanding:
    told = [Happened(kind, cause, bool(spoiled)) for kind, cause, spoiled in json.loads(happened)]
    return standing_of(answer, told, has_speed)


@cache
def _state_before() -> ScalarSelect:
    """The number of the state that the run before, of the same hull, was made on."""
    earlier, state = aliased(Run), aliased(BuildState)
    before = (
        select(earlier.state_id)
        .where(
            earlier.hull_id == Run.hull_id,
            earlier.started_at <= Run.started_at,
            (col(earlier.started_at) < col(Run.started_at)) | (col(earlier.id) < col(Run.id)),
            col(earlier.set_aside_at).is_(None),
            func.instr(earlier.not_known, "state") == 0,
        )
        .order_by(col(earlier.started_at).desc(), col(earlier.id).desc())
        .limit(1)
        .correlate(Run)
        .scalar_subquery()
    )
    return select(state.number).where(state.id == before).correlate(Run).scalar_subquery()


@cache
def _happened() -> ScalarSelect:
    """What happened in a run and was not set aside, in its order."""
    told = (
        select(Incident.kind, Incident.cause, Incident.spoiled_speed)
        .where(Incident.run_id == Run.id, col(Incident.set_aside_at).is_(None))
        .order_by(col(Incident.id))
        .correlate(Run)
        .subquery()
    )
    each = func.json_array(told.c.kind, told.c.cause, told.c.spoiled_speed)
    return select(func.json_group_array(each)).select_from(told).correlate(Run).scalar_subquery()


@cache
def _hottest() -> ScalarSelect:
    """The highest temperature of each spot of a run."""
    highest = (
        select(RunTemperature.spot, func.max(RunTemperature.temperature_c).label("most_c"))
        .where(RunTemperature.run_id == Run.id)
        .group_by(col(RunTemperature.spot))
        .correlate(Run)
        .subquery()
    )
    return select(func.json_group_object(highest.c.spot, highest.c.most_c)).correlate(Run).scalar_subquery()


def props_on(session: Session, ids: Iterable[int]) -> dict[int, list[PropOn]]:
    """The props of some runs with how they are named, by run."""
    unit = display_units(session).unit("length")
    rows = session.exec(
        select(RunProp, Prop, PropEdition)
        .join(PropEdition, col(PropEdition.id) == RunProp.edition_id)
        .join(Prop, col(Prop.id) == PropEdition.prop_id)
        .where(in_(RunProp.run_id, ids))
        .order_by(col(RunProp.run_id), col(RunProp.place))
    )
    found: dict[int, list[PropOn]] = defaultdict(list)
    for use, prop, made in rows:
        found[use.run_id].append(PropOn(use, prop, made, edition_text(prop, made, unit)))
    return found


def packs_on(session: Session, ids: Iterable[int]) -> dict[int, list[PackOn]]:
    """The packs of some runs, by run."""
    rows = session.exec(
        select(RunPack, Pack, Run.started_at, discharges_until("run.started_at"))
        .join(Pack, col(Pack.id) == RunPack.pack_id)
        .join(Run, col(Run.id) == RunPack.run_id)
        .where(in_(RunPack.run_id, ids))
        .order_by(col(RunPack.pack_id))
    )
    found: dict[int, list[PackOn]] = defaultdict(list)
    for use, pack, utc, discharges in rows:
        stood = standing(discharges, pack.break_in_charges, pack.retired_on, utc[:10])
        found[use.run_id].append(PackOn(use, pack, stood))
    return found
