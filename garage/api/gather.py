"""The rows of the library put together from the stores of the rooms."""

import json
from collections.abc import Callable, Sequence
from dataclasses import fields
from typing import Any, TypeVar

from sqlmodel import Session

from garage.api.rows import HullRow, OutingRow, PackRow, PropRow, RecordRow, RunRow, StateRow
from garage.boats.state_store import run_counts
from garage.fields.definition import is_open
from garage.hulls import store as hull_store
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.outings.store import OutingCount
from garage.outings.store import run_counts as outing_counts
from garage.own_fields.at_hand import own
from garage.packs import store as pack_store
from garage.packs.verdict_store import retire_words
from garage.props import store as prop_store
from garage.props.fields import EDITION_FIELDS
from garage.records.sections import Section
from garage.runs.lines.line import RunLine, line_of
from garage.runs.lines.store import LineFacts, line_facts
from garage.runs.tables import Run
from garage.states import store as state_store
from garage.states.gather import lines_of
from garage.states.own_store import own_settings
from garage.units import DisplayUnits
from garage.waters.outing_store import outings, outings_by_id
from garage.waters.store import waters_by_id
from garage.waters.tables import Outing

ALL = 10_000_000
_Row = TypeVar("_Row")
_Thing = TypeVar("_Thing")


def in_use_first(session: Session, listed: Callable[..., list[_Thing]]) -> list[_Thing]:
    """Everything that `listed`, a list of a room's store, has: what is in use, and then what is retired."""
    return [one for retired in (False, True) for one in listed(session, retired=retired, limit=ALL)]


def hull_rows(session: Session) -> list[HullRow]:
    """Every hull, those in use first."""
    found = in_use_first(session, hull_store.hulls)
    settings = own_settings(session, [hull.id for hull in found])
    return [_row(HullRow, hull, own=_own("hull", settings[hull.id])) for hull in found]


def state_rows(session: Session, hull: Hull, units: DisplayUnits) -> list[StateRow]:
    """Every build state of a hull, the first one first."""
    found = sorted(state_store.states(session, hull.id, limit=ALL), key=lambda one: one.number)
    lines = lines_of(session, found, units)
    counts = run_counts(session, [one.id for one in found])
    fitted = {one.id: "; ".join(_fitted(one)) for one in found}
    return [
        _row(
            StateRow, line, hull_id=hull.id, hull=hull.name, made=_iso(line.made), changes="; ".join(line.changes),
            fitted=fitted[line.id], replaced_by=line.gave_way, runs=counts.get(line.id, 0),
        )
        for line in lines
    ]  # fmt: skip


def _fitted(found: Any) -> list[str]:
    return [str(detail.get("title") or "Modification") for detail in state_store.state_content(found).fitted.values()]


def pack_rows(session: Session) -> list[PackRow]:
    """Every pack, those in use first, as it stands at its latest entry."""
    found = in_use_first(session, pack_store.packs)
    standings = pack_store.pack_standings(session, [pack.id for pack in found])
    verdicts = retire_words(session, standings)
    return [
        _row(
            PackRow, pack, standing=standings[pack.id].flag, discharges=standings[pack.id].discharges,
            verdict=verdicts.get(pack.id, ""), own=_own("pack", pack),
        )
        for pack in found
    ]  # fmt: skip


def prop_rows(session: Session) -> list[PropRow]:
    """Every prop with its latest edition, those in use first."""
    found = in_use_first(session, prop_store.props)
    names = ("reworks", "diameter_from", "pitch_from", *(field.column for field in EDITION_FIELDS))
    return [
        _row(
            PropRow,
            prop,
            edition=latest.number,
            own=_own("prop", prop),
            **{name: getattr(latest, name) for name in names},
        )
        for prop, latest in found
    ]


def outing_rows(session: Session) -> list[OutingRow]:
    """Every outing that was not set aside, the first one first."""
    found = outings(session, limit=ALL)[::-1]
    counts = outing_counts(session, {one.id for one in found})
    places = waters_by_id(session, {one.water_id for one in found})
    return [_outing_row(one, places[one.water_id].name, counts.get(one.id, OutingCount(0, 0))) for one in found]


def _outing_row(one: Outing, water: str, count: OutingCount) -> OutingRow:
    began = Moment(one.started_at, one.offset_min)
    return _row(
        OutingRow, one, started=_iso(began), day=began.date(), water=water, runs=count.runs, waiting=count.waiting,
        is_open=one.closed_at is None, own=_own("outing", one),
    )  # fmt: skip


def run_rows(session: Session, runs: Sequence[Run]) -> list[RunRow]:
    """Some runs, in their order."""
    if not runs:
        return []
    facts, days = line_facts(session, runs), outings_by_id(session, {run.outing_id for run in runs})
    return [_run_row(run, line_of(run, facts), facts, days[run.outing_id]) for run in runs]


def _run_row(run: Run, line: RunLine, facts: LineFacts, day: Outing) -> RunRow:
    uses, props = facts.packs.get(run.id, []), facts.props.get(run.id, [])
    only = props[0].edition if len(props) == 1 else None
    warmths = [on.use.start_temperature_c for on in uses if on.use.start_temperature_c is not None]
    cycle = uses[0].standing.discharges + 1 if len(uses) == 1 else None
    return _row(
        RunRow, run, started=_iso(line.started), day=line.started.date(), water=line.water, hull=line.hull,
        state_number=line.state_number, mark=line.mark, fingerprint=line.fingerprint, prop=line.prop, packs=line.packs,
        prop_diameter_mm=only.diameter_mm if only else None, prop_pitch_mm=only.pitch_mm if only else None,
        pack_cycle=cycle, pack_start_c=min(warmths, default=None), known=line.known, flags=", ".join(line.flags),
        air_c=day.air_c, water_c=day.water_c, wind_ms=day.wind_ms, set_aside=line.set_aside, own=_own("run", run),
        start_known=line.start_known,
    )  # fmt: skip


def record_rows(found: Sequence[Section], units: DisplayUnits) -> list[RecordRow]:
    """The runs of some sections of records with their ranks."""
    return [
        _row(
            RecordRow, line, way=section.way.words(units), rank=rank, run_id=line.id, started=_iso(line.started),
            speed_kmh=line.speed.value, flags=", ".join(line.flags),
        )
        for section in found
        for rank, line in enumerate(section.lines, 1)
    ]  # fmt: skip


def _own(thing: str, found: Any) -> str:
    said = {field.name: getattr(found, field.column) for field in own(thing)}
    return json.dumps({name: value for name, value in said.items() if not is_open(value)}, ensure_ascii=False)


def _row(kind: type[_Row], found: Any, **more: Any) -> _Row:
    """A row of that kind: what `more` does not say is called the same where it was found."""
    names = [field.name for field in fields(kind)]  # type: ignore[arg-type]
    return kind(**{name: more[name] if name in more else getattr(found, name) for name in names})


def _iso(moment: Moment) -> str:
    return moment.local().isoformat()
