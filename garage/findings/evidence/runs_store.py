"""The runs of a hull as the model sees them, and those that cannot speak, with the reason."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from sqlalchemy.orm import aliased
from sqlmodel import Session, SQLModel, col, select
from sqlmodel.sql.expression import SelectOfScalar

from garage.calc.effect.runs import EffectRun, PackUse
from garage.findings.evidence.causes import names_of_causes, values_of_causes
from garage.findings.evidence.factor import factors_of, names_of
from garage.findings.evidence.head_wind import head_wind_ms
from garage.findings.evidence.outcome_values import Measured, Readings, measured, readings
from garage.findings.evidence.outcomes import Outcome
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.own_fields.at_hand import Own
from garage.packs.tables import Pack
from garage.runs.lines.store import LineFacts, PackOn, line_facts
from garage.runs.not_known import not_known_of
from garage.runs.tables import Run
from garage.states.fold import Content
from garage.states.mending_store import mended_contents
from garage.states.query_store import states_by_ids
from garage.units import DisplayUnits
from garage.waters.fields import SURFACES
from garage.waters.tables import Outing

# The latest runs of a hull that are looked at: a page must not grow with the notebook.
MOST_RUNS = 400
# After so many discharges nothing of a break-in is left.
_SETTLED = 10
# What a person said of a speed that keeps it out of every verdict, as long as nobody puts it in.
_WITHOUT_VERDICT = {"does not count": "the speed does not count", "not known": "not known whether the speed counts"}
# How what is known of some runs is read: with what their lines say of it, or without.
FactsOf = Callable[[Session, Sequence[Run]], LineFacts]


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
    `packs` are the names by id of what was used. `open_ids` are runs of outings not closed yet. `facts` is what their
    lines are made of, `pack_rows` the packs used, `contents` the build states run on, as they should have read.
    """

    runs: dict[int, EffectRun]
    rows: dict[int, Run]
    left_out: tuple[LeftOut, ...]
    names: Mapping[str, str]
    props: Mapping[str, str]
    packs: Mapping[int, str]
    open_ids: frozenset[int]
    is_cut: bool
    facts: LineFacts
    pack_rows: Mapping[int, Pack]
    contents: Mapping[int, Content]


def hull_runs(
    session: Session,
    hull_id: int,
    outcome: Outcome,
    units: DisplayUnits,
    choices: Mapping[int, bool] | None = None,
    causes: Sequence[Own] = (),
) -> HullRuns:
    """The hull's latest runs, oldest first, with the outcome in the units preferred, and what they say of `causes`."""
    return read_runs(session, hull_id, outcome, line_facts).chosen(units, choices or {}, causes)


def read_runs(session: Session, hull_id: int, outcome: Outcome, facts_of: FactsOf) -> "ReadRuns":
    """The hull's latest runs with everything they may say of an outcome, read once for any number of questions; with
    lines, or without, as `facts_of` reads what is known of them."""
    return read_runs_of(session, select(Hull.id).where(Hull.id == hull_id), outcome, facts_of)[hull_id]


def read_runs_of(
    session: Session,
    hull_ids: SelectOfScalar[int],
    outcome: Outcome,
    facts_of: FactsOf,
) -> dict[int, "ReadRuns"]:
    """The same for several hulls, by hull, in as many queries as for one; `hull_ids` is the question for their ids."""
    hulls, own = hull_ids.distinct().subquery(), aliased(Run)
    latest = select(own.id).where(own.hull_id == hulls.c[0])
    latest = latest.order_by(col(own.started_at).desc(), col(own.id).desc()).limit(MOST_RUNS + 1)
    query = (
        select(hulls.c[0], Run, Outing)
        .select_from(hulls)
        .outerjoin(Run, col(Run.id).in_(latest.correlate(hulls)))
        .outerjoin(Outing, col(Outing.id) == Run.outing_id)
        .order_by(hulls.c[0], col(Run.started_at).desc(), col(Run.id).desc())
    )
    found: dict[int, list[tuple[Run, Outing]]] = {}
    for hull_id, row, day in session.exec(query):
        found.setdefault(hull_id, []).extend([(row, day)] if row else [])
    rows = [row for of_hull in found.values() for row, _ in of_hull[:MOST_RUNS]]
    states = states_by_ids(session, {row.state_id for row in rows})
    facts, read = facts_of(session, rows), readings(session, outcome, [row.id for row in rows])
    contents = mended_contents(session, list(states.values()))
    return {
        hull_id: _read_runs(outcome, of_hull[:MOST_RUNS][::-1], facts, read, contents, len(of_hull) > MOST_RUNS)
        for hull_id, of_hull in found.items()
    }


def _read_runs(
    outcome: Outcome,
    found: Sequence[tuple[Run, Outing]],
    facts: LineFacts,
    read: Readings,
    contents: Mapping[int, Content],
    is_cut: bool,
) -> "ReadRuns":
    rows = [row for row, _ in found]
    return ReadRuns(
        outcome,
        rows,
        dict(sorted({day.id: day for _, day in found}.items())),
        replace(facts, packs={row.id: facts.packs[row.id] for row in rows if row.id in facts.packs}),
        read,
        {state_id: contents[state_id] for state_id in sorted({row.state_id for row in rows})},
        is_cut,
    )


def _silent(row: Run, found: Measured | None, facts: LineFacts, outcome: Outcome) -> tuple[str, bool]:
    is_speed = outcome.key == "speed"
    if row.set_aside_at is not None:
        return f"set aside: {row.set_aside_reason}" if row.set_aside_reason else "set aside", False
    if found is None:
        missing = f"temperature of the {outcome.spot}" if outcome.spot else outcome.title.lower()
        return f"no {missing} written", False
    said = not_known_of(row.not_known)
    if "state" in said:
        return "its build state is not known", True
    if not facts.packs.get(row.id):
        return f"its pack is {'not known' if 'pack' in said else 'not written'}", True
    if is_speed and (why := _WITHOUT_VERDICT.get(facts.places[row.id].counting.word)):
        return why, True
    if row.kind == "break-in":
        return "a break-in run, driven gently", True
    if facts.places[row.id].denied and is_speed:
        return "its log contradicts itself", False
    return "", True


class ReadRuns:
    """Everything about some runs that the model asks for."""

    def __init__(
        self,
        outcome: Outcome,
        rows: list[Run],
        outings: Mapping[int, Outing],
        facts: LineFacts,
        read: Readings,
        contents: Mapping[int, Content],
        is_cut: bool,
    ) -> None:
        self._outcome, self._rows, self._outings = outcome, rows, outings
        self._facts, self._read, self._is_cut = facts, read, is_cut
        self._days = _day_names(outings.values())
        self._contents = contents
        self._factors = {state_id: factors_of(content) for state_id, content in contents.items()}
        packs = {on.pack.id: on.pack for used in facts.packs.values() for on in used}
        self._packs = dict(sorted(packs.items()))
        names: dict[str, str] = {}
        for content in contents.values():
            names |= names_of(content)
        self._called = names

    def chosen(self, units: DisplayUnits, choices: Mapping[int, bool], causes: Sequence[Own] = ()) -> HullRuns:
        """The runs that speak, as the person put some in or out, with what they say of a person's own `causes`."""
        names = _told_apart(self._called | names_of_causes(causes))
        spoken: dict[int, EffectRun] = {}
        left_out = []
        for row in self._rows:
            found = self._measured(row, units)
            why, can_return = _silent(row, found, self._facts, self._outcome)
            chosen = choices.get(row.id)
            if why and not (can_return and chosen):
                left_out.append(LeftOut(row.id, why, can_return))
            elif chosen is False:
                left_out.append(LeftOut(row.id, "put out by you", True))
            else:
                assert found is not None
                spoken[row.id] = self._run(row, found, names, causes)
        return HullRuns(
            spoken,
            {row.id: row for row in self._rows},
            tuple(left_out),
            names,
            {self._prop_key(row.id): self._prop_name(row.id) for row in self._rows},
            {pack_id: pack.code for pack_id, pack in self._packs.items()},
            self._open_ids() & set(spoken),
            self._is_cut,
            self._facts,
            self._packs,
            self._contents,
        )

    def _open_ids(self) -> frozenset[int]:
        return frozenset(row.id for row in self._rows if self._outings[row.outing_id].closed_at is None)

    def _measured(self, row: Run, units: DisplayUnits) -> Measured | None:
        uses, hottest = [on.use for on in self._facts.packs.get(row.id, [])], self._facts.places[row.id].hottest
        return measured(row, self._outcome, self._outings[row.outing_id], self._read, hottest, uses, self._packs, units)

    def _run(self, row: Run, found: Measured, names: Mapping[str, str], causes: Sequence[Own]) -> EffectRun:
        used, day = self._facts.packs.get(row.id, []), self._outings[row.outing_id]
        is_speed = self._outcome.key == "speed"
        props = [on.prop for on in self._facts.props.get(row.id, [])]
        things: dict[str, Sequence[SQLModel]] = {
            "run": [row],
            "outing": [day],
            "pack": [on.pack for on in used],
            "prop": props,
        }
        said = values_of_causes(causes, things)
        return EffectRun(
            key=str(row.id),
            outcome=found.value,
            outing=self._days[day.id],
            packs=tuple(PackUse(on.pack.code, discharge_number(on.pack, on.standing.discharges)) for on in used),
            prop=self._prop_name(row.id),
            factors={names[key]: number for key, number in (self._factors[row.state_id] | said).items()},
            how=found.how,
            # Only a speed is the best of several passes, and only a speed has a direction to the wind.
            passes=row.passes if is_speed else 1,
            air_c=day.air_c,
            wind_ms=day.wind_ms,
            headwind_ms=self._head_wind(row, day) if is_speed else None,
            pack_start_c=_mean([on.use.start_temperature_c for on in used]),
            rested_v_per_cell=_mean([_per_cell(on) for on in used]),
            cells=row.cells_s,
            surface_step=float(SURFACES.index(day.surface)) if day.surface else None,
            water_c=day.water_c,
        )

    def _head_wind(self, row: Run, day: Outing) -> float | None:
        logged = self._read.logged.get(row.id)
        return head_wind_ms(row, day, logged.heading_deg if logged else None)

    def _prop_key(self, run_id: int) -> str:
        return "+".join(str(on.edition.id) for on in self._facts.props.get(run_id, []))

    def _prop_name(self, run_id: int) -> str:
        return " + ".join(edition_name(on.edition) for on in self._facts.props.get(run_id, []))


def _per_cell(on: PackOn) -> float | None:
    return None if on.use.rested_v is None else on.use.rested_v / on.pack.cells_s


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
