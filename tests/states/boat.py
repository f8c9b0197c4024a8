"""A boat with a history, written through the stores, for tests of states and of what rests on them."""

from dataclasses import dataclass

from sqlmodel import Session

from garage.drives.tables import Part
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.runs import rests_store
from garage.runs.form_data import RunFormData, run_facts
from garage.runs.store import add_run
from garage.runs.tables import Run
from garage.states.store import ChangeFormData, make_changes
from garage.states.tables import BuildState
from garage.waters.form_data import outing_form
from garage.waters.outing_store import add_outing
from garage.waters.store import add_water


def at(day: int, hour: int = 10, minute: int = 0) -> Moment:
    """A moment of April 2026."""
    return Moment(f"2026-04-{day:02}T{hour:02}:{minute:02}:00Z", 0)


NOW = Moment("2026-05-09T14:30:00Z", 0)


def set_to(value: object, setting: str = "strut_height", place: str = "single") -> ChangeFormData:
    """A setting changed."""
    return ChangeFormData("set", place, setting=setting, detail={"value": value})


def install(part_id: int, kind: str = "motor", place: str = "single") -> ChangeFormData:
    """A part installed."""
    return ChangeFormData("install", place, part_id=part_id, detail={"kind": kind, "code": f"M{part_id}"})


@dataclass
class Boat:
    """A hull called Quince, built on 1 April 2026, and a water to run on."""

    session: Session
    hull_id: int
    water_id: int

    def visit(self, *changes: ChangeFormData, day: int, hour: int = 10) -> BuildState:
        """A visit to the workshop."""
        moment = at(day, hour)
        return make_changes(self.session, self.hull_id, changes, moment, moment, rests_store)

    def part(self, code: str, kind: str = "motor") -> int:
        """A part in the notebook; its id."""
        new = Part(code=code, kind=kind, created_at=at(1).utc)
        self.session.add(new)
        self.session.flush()
        return new.id

    def run(self, day: int, hour: int = 12) -> Run:
        """A run on what the boat is in then, in April, at 80 km/h and one for each day gone."""
        return self.run_at(at(day, hour), 80.0 + day)

    def run_at(self, when: Moment, speed_kmh: float = 80.0) -> Run:
        """A run at any time."""
        outing = add_outing(self.session, outing_form(self.water_id, when), when)
        facts = run_facts(speed_kmh=speed_kmh, speed_how="log", averaging_s=2.0, ways="both ways")
        return add_run(self.session, RunFormData(self.hull_id, outing.id, facts, when), NOW)


def make_boat(session: Session, **facts: object) -> Boat:
    """Write the boat into `session`."""
    told = {"name": "Quince", "kind": "mono", "length_mm": 740.0, "built_on": "2026-04-01"} | facts
    hull = Hull(created_at=at(1).utc, **told)
    session.add(hull)
    session.flush()
    water = add_water(session, {"name": f"Mere of {hull.name}"}, at(1))
    return Boat(session, hull.id, water.id)
