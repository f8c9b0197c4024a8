"""The runs of a hull as the model sees them, and those that cannot speak, with the reason."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from sqlmodel import Session, col, select

from garage.calc.effect.runs import EffectRun, PackUse
from garage.findings.evidence.factor import factors_of, names_of
from garage.findings.evidence.head_wind import head_wind_ms
from garage.findings.evidence.outcome_values import Measured, measured, readings
from garage.findings.evidence.outcomes import Outcome
from garage.moments import Moment
from garage.packs.store import packs_by_ids, standings_at
from garage.packs.tables import Pack
from garage.props.store import edition_texts
from garage.runs.denied_store import denied_of
from garage.runs.store import incidents_of, packs_of, props_of
from garage.runs.tables import Run, RunPack
from garage.states.mending_store import mended_content
from garage.states.tables import BuildState
from garage.units import DisplayUnits
from garage.waters.fields import SURFACES
from garage.waters.tables import Outing

# The latest runs of a hull that are looked at: a page must not grow with the notebook.
MOST_RUNS = 400
# After so many discharges nothing of a break-in is left.
_SETTLED = 10


@dataclass(frozen=True)
class LeftOut:
    """A run that does not speak, and why; `can_return` where the person may put it in all the same."""

    run_id: int
    why: str
    can_return: bool


@dataclass(frozen=True)
class HullRuns:
    """What the model may be given: runs by id, those left out, and what is open still.

    `factors` holds the keys of everything that differs between the runs; `names` how each is called. `editions` and
    `packs` are the names by id of what was used. `open_ids` are runs of outings not closed yet.
    """

    runs: dict[int, EffectRun]
    rows: dict[int, Run]
    left_out: tuple[LeftOut, ...]
    names: Mapping[str, str]
    props: Mapping[str, str]
    packs: Mapping[int, str]
    open_ids: frozenset[int]
    is_cut: bool


def hull_runs(
    session: Session, hull_id: int, outcome: Outcome, units: DisplayUnits, choices: Mapping[int, bool] | None = None
) -> HullRuns:
    """The hull's latest runs, oldest first, with the outcome in the units preferred."""
    rows = list(
        session.exec(
            select(Run).where(Run.hull_id == hull_id).order_by(col(Run.started_at).desc()).limit(MOST_RUNS + 1)
        )
    )
    is_cut, rows = len(rows) > MOST_RUNS, rows[:MOST_RUNS][::-1]
    ids = [row.id for row in rows]
    outings = _outings(session, {row.outing_id for row in rows})
    facts = _Facts(session, rows, ids, outings)
    spoiled = {run_id for run_id, listed in incidents_of(session, ids).items() if _spoils(listed)}
    denied = denied_of(session, ids)
    spoken, left_out = {}, []
    for row in rows:
        found = facts.outcome(row, outcome, outings[row.outing_id], units)
        why, can_return = _silent(row, found, row.id in spoiled, outcome)
        if not why and row.id in denied and outcome.key == "speed":
            why, can_return = "its log contradicts itself", False
        chosen = (choices or {}).get(row.id)
        if why and not (can_return and chosen):
            left_out.append(LeftOut(row.id, why, can_return))
        elif chosen is False:
            left_out.append(LeftOut(row.id, "put out by you", True))
        else:
            assert found is not None
            spoken[row.id] = facts.run(row, found, outings[row.outing_id], outcome)
    open_ids = frozenset(row.id for row in rows if row.id in spoken and outings[row.outing_id].closed_at is None)
    props = {facts.prop_of(row.id): facts.prop_name(row.id) for row in rows}
    return HullRuns(
        spoken,
        {row.id: row for row in rows if row.id},
        tuple(left_out),
        facts.names,
        props,
        facts.pack_names,
        open_ids,
        is_cut,
    )


def _outings(session: Session, ids: set[int]) -> dict[int, Outing]:
    return {row.id: row for row in session.exec(select(Outing).where(col(Outing.id).in_(ids)))}


def _spoils(incidents: Iterable) -> bool:
    return any(incident.spoiled_speed and incident.set_aside_at is None for incident in incidents)


def _silent(row: Run, found: Measured | None, is_spoiled: bool, outcome: Outcome) -> tuple[str, bool]:
    if row.set_aside_at is not None:
        return f"set aside: {row.set_aside_reason}" if row.set_aside_reason else "set aside", False
    if found is None:
        return f"no {outcome.title.lower()} written", False
    if is_spoiled and outcome.key == "speed":
        return "an incident spoiled the speed", True
    if row.kind == "break-in":
        return "a break-in run, driven gently", True
    return "", True


class _Facts:
    """Everything about some runs that the model asks for, read once."""

    def __init__(self, session: Session, rows: list[Run], ids: list[int], outings: Mapping[int, Outing]) -> None:
        self._days = _day_names(outings.values())
        self._props = props_of(session, ids)
        self._uses = packs_of(session, ids)
        self._read = readings(session, ids)
        self._texts = edition_texts(session, {use.edition_id for uses in self._props.values() for use in uses})
        self._packs = packs_by_ids(session, {use.pack_id for uses in self._uses.values() for use in uses})
        self.pack_names = {pack_id: pack.code for pack_id, pack in self._packs.items()}
        starts = {row.id: row.started_at for row in rows}
        asked = [(use.pack_id, starts[run_id]) for run_id, uses in self._uses.items() for use in uses]
        self._standings = standings_at(session, asked)
        states = session.exec(select(BuildState).where(col(BuildState.id).in_({row.state_id for row in rows})))
        contents = {state.id: mended_content(session, state) for state in states}
        self._factors = {state_id: factors_of(content) for state_id, content in contents.items()}
        self.names: dict[str, str] = {}
        for content in contents.values():
            self.names |= names_of(content)
        self.names = _told_apart(self.names)

    def outcome(self, row: Run, outcome: Outcome, day: Outing, units: DisplayUnits) -> Measured | None:
        return measured(row, outcome, day, self._read, self._uses.get(row.id, []), self._packs, units)

    def run(self, row: Run, found: Measured, day: Outing, outcome: Outcome) -> EffectRun:
        uses = self._uses.get(row.id, [])
        is_speed = outcome.key == "speed"
        return EffectRun(
            key=str(row.id),
            outcome=found.value,
            outing=self._days[day.id],
            packs=tuple(PackUse(self.pack_names[use.pack_id], self._discharge(use, row)) for use in uses),
            prop=self.prop_name(row.id),
            factors={self.names[key]: number for key, number in self._factors[row.state_id].items()},
            how=found.how,
            # Only a speed is the best of several passes, and only a speed has a direction to the wind.
            passes=row.passes if is_speed else 1,
            air_c=day.air_c,
            wind_ms=day.wind_ms,
            headwind_ms=self._head_wind(row, day) if is_speed else None,
            pack_start_c=_mean([use.start_temperature_c for use in uses]),
            rested_v_per_cell=_mean([self._per_cell(use) for use in uses]),
            cells=row.cells_s,
            surface_step=float(SURFACES.index(day.surface)) if day.surface else None,
            water_c=day.water_c,
        )

    def _head_wind(self, row: Run, day: Outing) -> float | None:
        logged = self._read.logged.get(row.id)
        return head_wind_ms(row, day, logged.heading_deg if logged else None)

    def prop_of(self, run_id: int) -> str:
        return "+".join(str(use.edition_id) for use in sorted(self._props.get(run_id, []), key=lambda use: use.place))

    def prop_name(self, run_id: int) -> str:
        uses = sorted(self._props.get(run_id, []), key=lambda use: use.place)
        return " + ".join(edition_name(self._texts[use.edition_id]) for use in uses)

    def _discharge(self, use: RunPack, row: Run) -> int | None:
        pack = self._packs[use.pack_id]
        return discharge_number(pack, self._standings[use.pack_id, row.started_at].discharges)

    def _per_cell(self, use: RunPack) -> float | None:
        return None if use.rested_v is None else use.rested_v / self._packs[use.pack_id].cells_s


def edition_name(text) -> str:
    """A prop edition in a few characters: `P1 ed. 2`."""
    return f"{text.code} ed. {text.number}"


def discharge_number(pack: Pack, before: int) -> int | None:
    """Which discharge of a pack comes after `before` others; None once it is settled, or if it needs no break-in."""
    return None if pack.break_in_charges == 0 or before >= _SETTLED else before + 1


def _told_apart(names: Mapping[str, str]) -> dict[str, str]:
    """Names with a number behind where two things are called the same."""
    listed = list(names.values())
    return {
        key: name if listed.count(name) == 1 else f"{name} ({key.split(':')[1].split('@')[0]})"
        for key, name in names.items()
    }


def _day_names(outings: Iterable[Outing]) -> dict[int, str]:
    """The day of each outing in words; the second of a day has its number behind."""
    names: dict[int, str] = {}
    for day in sorted(outings, key=lambda each: each.started_at):
        name = Moment(day.started_at, day.offset_min).day()
        names[day.id] = f"{name} (outing {day.id})" if name in names.values() else name
    return names


def _mean(values: list[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return sum(known) / len(known) if known else None


def only_closed(found: HullRuns) -> HullRuns:
    """Without the runs of outings that are open still: those wait for their judgement."""
    kept = {run_id: run for run_id, run in found.runs.items() if run_id not in found.open_ids}
    return replace(found, runs=kept)
