"""A small invented garage to write runs in."""

from dataclasses import dataclass

import pytest
from sqlmodel import Session

from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.packs.tables import Pack
from garage.props.tables import Prop, PropEdition
from garage.runs.form_data import PackUse, PropUse, RunFormData, run_facts
from garage.runs.store import add_run
from garage.runs.tables import Run
from garage.waters.form_data import outing_form
from garage.waters.outing_store import add_outing
from garage.waters.store import add_water

AT = Moment("2026-05-09T14:30:00Z", 0)
MORNING = Moment("2026-05-09T09:00:00Z", 0)


@dataclass
class World:
    """Ids: hulls Medlar and Quince (built 1 May 2026), packs J K L (3S), prop P1, an open outing."""

    session: Session
    medlar: int
    quince: int
    packs: dict[str, int]
    edition: int
    water: int
    outing: int

    def run(
        self,
        pack: str = "J",
        at: Moment = AT,
        hull: int | None = None,
        started: Moment | None = None,
        **facts,
    ):
        """Write a run down, measured by a display unless told otherwise."""
        told = {"speed_kmh": 82.0, "speed_how": "display", "ways": "one way", "passes": 2} | facts
        form = RunFormData(
            hull or self.medlar,
            self.outing,
            run_facts(**told),
            started,
            (PropUse(self.edition),),
            (PackUse(self.packs[pack]),) if pack else (),
        )
        new: Run = add_run(self.session, form, at)
        return new


def make_world(session: Session) -> World:
    """Write the small garage into `session`."""
    hulls = [
        Hull(name="Medlar", kind="mono", length_mm=720, created_at=MORNING.utc),
        Hull(name="Quince", kind="catamaran", length_mm=740, built_on="2026-05-01", created_at=MORNING.utc),
    ]
    packs = [
        Pack(code=code, cells_s=3, capacity_mah=4000, charges_before=before, created_at=MORNING.utc)
        for code, before in (("J", 30), ("K", 2), ("L", 0))
    ]
    prop = Prop(code="P1", printed_name="44 x 66", created_at=MORNING.utc)
    session.add_all([*hulls, *packs, prop])
    session.flush()
    edition = PropEdition(
        prop_id=prop.id, number=1, diameter_mm=44, pitch_mm=66, made_at=MORNING.utc, created_at=MORNING.utc
    )
    session.add(edition)
    water = add_water(session, {"name": "Hollow Mere", "course_m": 100.58}, MORNING)
    outing = add_outing(session, outing_form(water.id, MORNING, air_c=17.0), MORNING)
    session.flush()
    ids = {pack.code: pack.id for pack in packs}
    return World(session, hulls[0].id, hulls[1].id, ids, edition.id, water.id, outing.id)


@pytest.fixture
def world(session) -> World:
    """The small garage in a session that is kept when the test ends."""
    return make_world(session)
