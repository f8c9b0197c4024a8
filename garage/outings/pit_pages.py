"""The pit sheet: what a pencil needs at the water, on one page a boat."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlmodel import Session

from garage.errors import NotFound
from garage.hulls.offer import offered
from garage.hulls.store import checklists_of, hull
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.reference import cautions
from garage.runs.entry.pick_store import Option, pack_options_of, prop_options_of
from garage.runs.lines.line import packs_text, prop_text
from garage.runs.lines.store import packs_on, props_on
from garage.runs.service_due import due_of
from garage.runs.store import last_runs_of_hulls
from garage.runs.tables import Run
from garage.states.query_store import current_states
from garage.states.store import moment_of, short
from garage.waters.outing_store import todays_open_outing
from garage.waters.rules import rules_of
from garage.waters.store import water
from garage.web.desk import Desk
from garage.web.pages import Pages

pages = Pages()


MOST_SHEETS = 4
MOST_PROPS = 10
MOST_PACKS = 16
BLANK_LINES = 14
MOST_OFFERED = 12


@dataclass(frozen=True)
class PitBoat:
    """One boat's sheet."""

    hull_id: int
    name: str
    state_number: int
    state_since: Moment | None
    mark: str
    fingerprint: str
    last: str
    props: list[str]
    packs: list[str]
    services: list[str]
    launch: list[str]


@dataclass(frozen=True)
class PitSheet:
    """Sheets for one boat, or for the first few in use."""

    boats: list[PitBoat]
    hulls: list[Option]
    hull_id: int | None
    day: Moment
    water: str
    water_rules: list[str]
    cautions: list[str]
    lines: int


@pages.sheet("/pit", "outings/pit.html", asks={"hull": "the number of a hull"})
def show_pit(desk: Desk) -> PitSheet:
    chosen = _chosen(desk.session, desk.query.get("hull", ""))
    named = offered(desk.session, limit=MOST_OFFERED)
    in_use = [one for one, _ in named]
    outing = todays_open_outing(desk.session, desk.moment)
    place = water(desk.session, outing.water_id) if outing else None
    said = [f"{one.hazard}: {one.text}" for one in cautions().values() if one.where == "water"]
    return PitSheet(
        _boats(desk.session, chosen or in_use[:MOST_SHEETS], desk.moment),
        [Option(str(one.id), name) for one, name in named],
        chosen[0].id if chosen else None,
        desk.moment,
        place.name if place else "",
        rules_of(place, desk.units) if place else [],
        said,
        BLANK_LINES,
    )


def _chosen(session: Session, asked: str) -> list[Hull]:
    if not (asked.isascii() and asked.isdigit() and len(asked) < 10):
        return []
    try:
        return [hull(session, int(asked))]
    except NotFound:
        return []


def _boats(session: Session, boats: Sequence[Hull], now: Moment) -> list[PitBoat]:
    if not boats:
        return []
    ids = [boat.id for boat in boats]
    states, last = current_states(session, ids), last_runs_of_hulls(session, ids)
    ran_with = _ran_with(session, last)
    cells = {boat.id: last[boat.id].cells_s if boat.id in last else None for boat in boats}
    props, packs = prop_options_of(session, ids), pack_options_of(session, cells, now, fitting_only=True)
    services, launch = due_of(session, boats, now.utc), checklists_of(session, ids, "launch")
    return [
        PitBoat(
            boat.id,
            boat.name,
            states[boat.id].number if boat.id in states else 1,
            moment_of(states[boat.id]) if boat.id in states else None,
            states[boat.id].mark if boat.id in states else "",
            short(states[boat.id].fingerprint) if boat.id in states else "",
            ran_with.get(boat.id, ""),
            [one.text for one in props[boat.id][:MOST_PROPS]],
            [one.text for one in packs[boat.id][:MOST_PACKS]],
            [one.text + (" (due)" if one.due else "") for one in services[boat.id]],
            [line.text for line in launch[boat.id]],
        )
        for boat in boats
    ]


def _ran_with(session: Session, last: Mapping[int, Run]) -> dict[int, str]:
    """When each hull ran last, and with what."""
    ids = {run.id for run in last.values()}
    props, packs = (props_on(session, ids), packs_on(session, ids)) if ids else ({}, {})
    return {
        hull_id: f"{Moment(run.started_at, run.offset_min).day()}: "
        f"{prop_text(props[run.id]) or 'prop not known'}, {packs_text(packs[run.id])}"
        for hull_id, run in last.items()
    }
