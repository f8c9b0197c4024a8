"""The pit sheet: what a pencil needs at the water, on one page a boat."""

from dataclasses import dataclass

from sqlmodel import Session

from garage.errors import NotFound
from garage.hulls.store import checklist, hull, hulls
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.reference import cautions
from garage.runs.entry.pick_store import Option, pack_options, prop_options
from garage.runs.lines import run_lines
from garage.runs.service_due import due
from garage.runs.store import last_run_of_hull
from garage.states.store import current_state, moment_of, short
from garage.waters.outing_store import todays_open_outing
from garage.waters.sheets import rules_of
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
    asked = desk.query.get("hull", "")
    chosen = _chosen(desk.session, asked)
    boats = chosen or hulls(desk.session, limit=MOST_SHEETS)
    outing = todays_open_outing(desk.session, desk.moment)
    place = water(desk.session, outing.water_id) if outing else None
    offered = [Option(str(one.id), one.name) for one in hulls(desk.session, limit=MOST_OFFERED)]
    said = [f"{one.hazard}: {one.text}" for one in cautions().values() if one.where == "water"]
    return PitSheet(
        [_boat(desk.session, one, desk.moment) for one in boats],
        offered,
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


def _boat(session: Session, found: Hull, now: Moment) -> PitBoat:
    state = current_state(session, found.id)
    last = last_run_of_hull(session, found.id)
    line = run_lines(session, [last])[0] if last else None
    return PitBoat(
        found.id,
        found.name,
        state.number if state else 1,
        moment_of(state) if state else None,
        short(state.fingerprint) if state else "",
        f"{line.started.day()}: {line.prop or 'prop not known'}, {line.packs}" if line else "",
        [one.text for one in prop_options(session, found.id)[:MOST_PROPS]],
        [
            one.text
            for one in pack_options(
                session, found.id, last.cells_s if last else None, now, fitting_only=True
            )[:MOST_PACKS]
        ],
        [one.text + (" (due)" if one.due else "") for one in due(session, found.id, now.utc)],
        [line.text for line in checklist(session, found.id, "launch")],
    )
