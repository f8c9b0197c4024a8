"""Writing down the demo's two seasons: each run simulated from what the notebook itself says the boat was."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from sqlmodel import Session, col, select

from garage.demo.clock import after, moment
from garage.demo.names import Names
from garage.demo.results import PackAtHand, Result, pack_temperature_c, simulate_run
from garage.demo.season import PlannedOuting, PlannedRun, Season
from garage.demo.simulate import Circumstances, stream
from garage.demo.truth import Truth
from garage.demo.weather import Weather, weather
from garage.moments import Moment
from garage.packs.store import discharges_before, packs_by_ids
from garage.props.tables import Prop, PropEdition
from garage.runs.form_data import IncidentFormData, PackUse, PropUse, RunFormData, run_facts
from garage.runs.store import add_run
from garage.states.fold import Content
from garage.states.store import state_at, state_content
from garage.waters.form_data import outing_form
from garage.waters.outing_store import add_outing, close_outing
from garage.waters.store import water

_FIRST_RUN_MIN, _BETWEEN_RUNS_MIN = 20, 13
# What is written at the water; the rest comes in the evening.
_AT_THE_WATER = ("kind", "speed_kmh", "speed_how", "averaging_s", "ways", "passes", "course_m", "note")
Editions = Mapping[str, Sequence[PropEdition]]


def write_season(session: Session, season: Season, names: Names, truth: Truth) -> None:
    """All outings with their runs, in order of time. The last outing stays open."""
    editions = _editions(session)
    for planned in season.outings:
        day, sky = _write_outing(session, season, planned, names, truth)
        evening = moment(f"{planned.day} 19:30")
        for run in planned.runs:
            at = after(moment(planned.at), _FIRST_RUN_MIN + _BETWEEN_RUNS_MIN * (run.number - 1))
            form = _run_form(session, season, planned, run, at, sky, names, truth, editions)
            made = add_run(session, replace(form, outing_id=day), evening, written_later=True)
            names.runs[f"{planned.day} {run.number}"] = _id(made)
        if planned is not season.outings[-1]:
            close_outing(session, day, evening.utc)


def _write_outing(
    session: Session, season: Season, planned: PlannedOuting, names: Names, truth: Truth
) -> tuple[int, Weather]:
    sky, draws = weather(truth, planned.day), stream(truth, "outing", planned.day)
    started = moment(planned.at)
    form = outing_form(
        water_id=names.waters[planned.water],
        started=started,
        air_c=sky.air_c,
        water_c=sky.water_c,
        wind_ms=sky.wind_ms,
        gust_ms=sky.gust_ms,
        wind_from_deg=sky.wind_from_deg,
        wind_to_course=sky.wind_to_course,
        surface=sky.surface,
        sun=sky.sun,
        weed=draws.choice(season.words["weed"]),
        notes=draws.choice(season.words["outings"]),
    )
    names.outings[planned.day] = _id(add_outing(session, form, started))
    return names.outings[planned.day], sky


def _run_form(
    session: Session,
    season: Season,
    outing: PlannedOuting,
    planned: PlannedRun,
    at: Moment,
    sky: Weather,
    names: Names,
    truth: Truth,
    editions: Editions,
) -> RunFormData:
    draws = stream(truth, "run", outing.day, planned.number)
    event = season.events.get((outing.day, planned.number), {})
    pack_c = event.get("pack_c", pack_temperature_c(sky.air_c, draws))
    used = [_edition_at(editions[code], at) for code in planned.props]
    props = "+".join(f"{code}/{made.number}" for code, made in zip(planned.props, used, strict=True))
    run = circumstances(session, planned, at, props, sky, pack_c, names, truth)
    course_m = water(session, names.waters[outing.water]).course_m
    packs = _packs_at_hand(session, planned, names)
    result = simulate_run(truth, planned, run, packs, sky, outing.day, course_m, draws)
    note = draws.choice(season.words["notes"]) if draws.random() < 0.4 else ""
    result = _with_event(result, event, note)
    if (outing.day, planned.number) in season.waiting:
        result = _as_at_the_water(result)
    elif outing.day <= season.plain_until:
        plain = tuple(PackUse(use.pack_id, use.wiring, charge_mah=use.charge_mah) for use in result.packs)
        result = replace(result, packs=plain)
    sides = ("single",) if len(used) == 1 else ("left", "right")
    return RunFormData(
        hull_id=names.hulls[planned.hull],
        outing_id=0,
        facts=result.facts,
        started=at,
        props=tuple(PropUse(_id(made), side) for made, side in zip(used, sides, strict=True)),
        packs=result.packs,
        temperatures=result.temperatures,
        incidents=tuple(IncidentFormData(**incident) for incident in event.get("incidents", [])),
    )


def circumstances(
    session: Session,
    planned: PlannedRun,
    at: Moment,
    props: str,
    sky: Weather,
    pack_c: float,
    names: Names,
    truth: Truth,
) -> Circumstances:
    """What a run at `at` is made with, from what the notebook itself says of the boat and the packs then."""
    state = state_at(session, names.hulls[planned.hull], at.utc)
    assert state is not None
    content = state_content(state)
    ids = [names.packs[code] for code in planned.packs]
    before = discharges_before(session, ids, at.utc)
    return Circumstances(
        hull=planned.hull,
        props=props,
        packs=tuple((code, before[names.packs[code]] + 1) for code in planned.packs),
        modifications=frozenset(str(entry["title"]) for entry in content.fitted.values()),
        settings={key: _setting(content, key) for key in truth.hulls[planned.hull].settings},
        air_c=sky.air_c,
        wind_ms=sky.wind_ms,
        pack_c=pack_c,
    )


def _setting(content: Content, key: str) -> float:
    """A setting's value as the boat had it; left and right by their mean, a balance point in percent."""
    found = [content.settings.get(f"{key}@{place}") for place in ("single", "left", "right")]
    values = [entry["percent"] if isinstance(entry, Mapping) else entry for entry in found if entry is not None]
    return sum(values) / len(values)


def _packs_at_hand(session: Session, planned: PlannedRun, names: Names) -> list[PackAtHand]:
    rows = packs_by_ids(session, [names.packs[code] for code in planned.packs])
    at_hand = []
    for code, wiring in zip(planned.packs, planned.wiring, strict=True):
        row = rows[names.packs[code]]
        holds = row.capacity_measured_mah or row.capacity_mah
        at_hand.append(PackAtHand(_id(row), wiring, row.cells_s, holds))
    return at_hand


def _with_event(result: Result, event: Mapping[str, Any], note: str) -> Result:
    """The result with what the story says of this run: its kind and note, and what else was different."""
    said = {name: event[name] for name in ("kind", "try_next") if name in event}
    correction = event.get("correction", {})
    speed = (result.facts["speed_kmh"] or 0) + correction.get("typed_more_kmh", 0.0)
    told = {"note": event.get("note", note), "speed_kmh": round(speed, 1)} | said | event.get("facts", {})
    low_v = event.get("first_cell_low_v", 0.0)
    packs = tuple(_with_low_cell(use, low_v) for use in result.packs) if low_v else result.packs
    return replace(result, facts={**result.facts, **told}, packs=packs)


def _with_low_cell(use: PackUse, low_v: float) -> PackUse:
    """A pack whose first cell rests that much lower than it did."""
    first, *others = use.volts_after
    volts = (round(first - low_v, 2), *others)
    return replace(use, volts_after=volts, end_v=round(sum(volts), 2))


def _as_at_the_water(result: Result) -> Result:
    kept = {name: result.facts[name] for name in _AT_THE_WATER}
    packs = tuple(PackUse(use.pack_id, use.wiring) for use in result.packs)
    return Result(run_facts(**kept), packs, ())


def _editions(session: Session) -> Editions:
    found: dict[str, list[PropEdition]] = {}
    rows = select(Prop.code, PropEdition).where(Prop.id == PropEdition.prop_id)
    for code, edition in session.exec(rows.order_by(col(PropEdition.prop_id), col(PropEdition.number))):
        found.setdefault(code, []).append(edition)
    return found


def _edition_at(editions: Sequence[PropEdition], at: Moment) -> PropEdition:
    """The edition that a prop was at a moment."""
    return next(made for made in reversed(editions) if made.made_at <= at.utc)


def _id(row: Any) -> int:
    return row.id
