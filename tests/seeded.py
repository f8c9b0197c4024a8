"""A small invented garage with a history, for the pages that put rooms together."""

import json
from collections.abc import Iterable, Sequence
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Row, Table
from sqlmodel import Session, SQLModel

from garage.drives.store import part_spec
from garage.drives.tables import Part
from garage.fields.definition import FormData
from garage.hulls.tables import Hull
from garage.modifications.fitting import fit
from garage.modifications.forms import FitFormData
from garage.modifications.tables import Modification, Step
from garage.moments import Moment
from garage.packs.forms import kept_volts
from garage.packs.tables import Pack
from garage.photos.tables import Attachment
from garage.props.tables import Prop, PropEdition
from garage.runs import rests_store
from garage.runs.form_data import IncidentFormData, PackUse, PropUse, RunFormData, run_facts
from garage.runs.store import add_run
from garage.runs.tables import Run
from garage.services.tables import Service
from garage.states.fold import ChangeFormData
from garage.states.store import make_changes
from garage.waters.form_data import outing_form
from garage.waters.outing_store import add_outing
from garage.waters.store import add_water

NOW = Moment("2026-05-09T14:30:00Z", 0)
BEGUN = Moment("2026-03-01T09:00:00Z", 0)


def at(day: str, clock: str = "10:00") -> Moment:
    """A moment of 2026: `at("04-12", "10:30")`."""
    return Moment(f"2026-{day}T{clock}:00Z", 0)


@dataclass
class Garage:
    """Ids of what was written down, by name."""

    session: Session
    hulls: dict[str, int] = field(default_factory=dict)
    packs: dict[str, int] = field(default_factory=dict)
    editions: dict[str, int] = field(default_factory=dict)
    modifications: dict[str, int] = field(default_factory=dict)
    outings: list[int] = field(default_factory=list)
    water: int = 0

    def outing(self, day: str, **facts) -> int:
        """A new outing on that day."""
        new = add_outing(self.session, outing_form(self.water, at(day), **facts), NOW)
        self.session.flush()
        self.outings.append(new.id)
        return new.id

    def run(
        self,
        outing: int,
        started: Moment,
        hull: str = "Medlar",
        pack: str = "J",
        prop: str = "P1",
        incidents=(),
        **facts,
    ) -> Run:
        """A run, by the log, both ways over 100.58 m, unless told otherwise."""
        told = {
            "speed_kmh": 80.0,
            "speed_how": "log",
            "averaging_s": 2.0,
            "ways": "both ways",
            "passes": 3,
            "course_m": 100.58,
        } | facts
        form = RunFormData(
            self.hulls[hull],
            outing,
            run_facts(**told),
            started,
            (PropUse(self.editions[prop]),),
            (PackUse(self.packs[pack]),),
            (),
            tuple(incidents),
        )
        return add_run(self.session, form, NOW)


def reading_form(cells, when: Moment, method="other", instrument="", volts=()) -> FormData:
    """A resistance reading half charged and rested, as its form gives it."""
    conditions = {"temperature_c": 25.0, "state_of_charge_percent": 50.0, "rest_min": 60.0}
    how = {"at": when.utc, "offset_min": when.offset_min, "method": method, "instrument": instrument}
    return {"cells_mohm": json.dumps(cells), "volts": kept_volts(volts)} | how | conditions


def inventory(session: Session) -> Garage:
    """Two hulls, three packs (J broken in, K breaking in, L fresh), two props, a water; no run yet."""
    garage = Garage(session)
    for name, kind in (("Medlar", "catamaran"), ("Quince", "mono")):
        hull = Hull(name=name, kind=kind, length_mm=742, bare_mass_g=812, built_on="2026-03-01", created_at=BEGUN.utc)
        session.add(hull)
        session.flush()
        garage.hulls[name] = hull.id
    for code, cells, before in (("J", 3, 30), ("K", 3, 1), ("L", 4, 0)):
        pack = Pack(code=code, cells_s=cells, capacity_mah=4000, charges_before=before, created_at=BEGUN.utc)
        session.add(pack)
        session.flush()
        garage.packs[code] = pack.id
    for code, blades, diameter, pitch in (("P1", 2, 44, 66), ("P2", 3, 42, 58)):
        prop = Prop(code=code, printed_name=f"{diameter} x {pitch}", blades=blades, created_at=BEGUN.utc)
        session.add(prop)
        session.flush()
        edition = PropEdition(
            prop_id=prop.id,
            number=1,
            diameter_mm=diameter,
            pitch_mm=pitch,
            made_at=BEGUN.utc,
            created_at=BEGUN.utc,
        )
        session.add(edition)
        session.flush()
        garage.editions[code] = edition.id
    water = add_water(session, {"name": "Hollow Mere", "course_m": 100.58}, BEGUN)
    session.flush()
    garage.water = water.id or 0
    return garage


def with_history(session: Session) -> Garage:
    """The inventory, trim tabs fitted between two outings, runs read in several ways, work begun, a note.

    The stores write it once a process; every further new garage is given the same rows.
    """
    session.flush()
    if _HISTORY.rows and not _rows_of(session, _HISTORY.rows):
        for table, rows in _HISTORY.rows.items():
            session.connection().execute(table.insert(), [row._asdict() for row in rows])
        return Garage(session, **deepcopy(_HISTORY.ids))
    was_there = _rows_of(session, SQLModel.metadata.sorted_tables)
    garage = _write_history(session)
    if not _HISTORY.rows:
        _HISTORY.keep(was_there, garage)
    return garage


def _rows_of(session: Session, tables: Iterable[Table]) -> dict[Table, Sequence[Row]]:
    """The rows of those of `tables` that hold any."""
    found = {table: session.connection().execute(table.select()).all() for table in tables}
    return {table: rows for table, rows in found.items() if rows}


@dataclass
class _History:
    """What the history left in a new garage: rows by table, in an order in which they can be written, and ids."""

    rows: dict[Table, Sequence[Row]] = field(default_factory=dict)
    ids: dict[str, Any] = field(default_factory=dict)

    def keep(self, was_there: dict[Table, Sequence[Row]], garage: Garage) -> None:
        """Unless something was written beside it before."""
        rows = _rows_of(garage.session, SQLModel.metadata.sorted_tables)
        if all(rows[table] == there for table, there in was_there.items()):
            self.rows = {table: there for table, there in rows.items() if table not in was_there}
            self.ids = deepcopy({name: ids for name, ids in vars(garage).items() if name != "session"})


_HISTORY = _History()


def _write_history(session: Session) -> Garage:
    garage = inventory(session)
    medlar = garage.hulls["Medlar"]
    motor = Part(code="M1", kind="motor", name="blue can", kv_stated=1800, mass_g=310, created_at=BEGUN.utc)
    session.add(motor)
    session.flush()
    balance = {
        "percent": 31.0,
        "mm": 230.02,
        "typed": "percent",
        "datum": "the rear end of the sponsons",
        "length_mm": 742,
    }
    make_changes(
        session,
        medlar,
        [
            ChangeFormData("install", part_id=motor.id, detail=part_spec(motor)),
            ChangeFormData("set", setting="strut_height", detail={"value": 12.0}),
            ChangeFormData("set", setting="strut_angle", detail={"value": 0.0}),
            ChangeFormData("set", setting="balance_point", detail={"value": balance}),
        ],
        at("03-10"),
        NOW,
        rests_store,
    )
    first = garage.outing("03-22", air_c=9.0, water_c=6.0, wind_ms=2.0, surface="ripple")
    garage.run(first, at("03-22", "10:10"), speed_kmh=80.2, duration_s=110, note="wet, planted")
    garage.run(
        first,
        at("03-22", "10:40"),
        speed_kmh=86.0,
        speed_how="display",
        averaging_s=None,
        ways="one way",
        course_m=None,
    )
    garage.run(first, at("03-22", "11:10"), pack="K", speed_kmh=79.1)
    tabs = _modification(garage, "Trim tabs", ["mark out", "cut", "bend"], done=True)
    fit(session, tabs, FitFormData(at("04-11", "18:00"), frozenset(), ""), NOW, rests_store)
    second = garage.outing("04-12", air_c=14.0, water_c=11.0, wind_ms=3.0, wind_to_course="along", surface="glass")
    garage.run(second, at("04-12", "10:15"), speed_kmh=83.4, ride_rating=4, try_next="lead out of the left sponson")
    garage.run(second, at("04-12", "10:45"), speed_kmh=99.0, incidents=[IncidentFormData("flip", spoiled_speed=True)])
    garage.run(second, at("04-12", "11:15"), prop="P2", speed_kmh=81.0, ways="one way")
    garage.run(second, at("04-12", "11:45"), hull="Quince", pack="L", speed_kmh=70.5, course_m=50.0)
    _modification(garage, "Long strut", ["cut", "drill"], done=False)
    session.add(Service(hull_id=medlar, kind="greased", at=at("04-11", "19:00").utc, created_at=NOW.utc))
    session.add(
        Attachment(kind="note", at=at("04-12", "12:00").utc, text="hopping on the last third", created_at=NOW.utc)
    )
    session.flush()
    return garage


def _modification(garage: Garage, title: str, actions: list[str], *, done: bool) -> int:
    row = Modification(hull_id=garage.hulls["Medlar"], title=title, purpose="hold the bow down", created_at=NOW.utc)
    garage.session.add(row)
    garage.session.flush()
    for position, action in enumerate(actions):
        finished = at("04-11", "15:00").utc if done or position == 0 else None
        garage.session.add(
            Step(
                modification_id=row.id,
                position=position,
                action=action,
                what="brass sheet",
                material="brass",
                section="sheet",
                width_mm=40,
                height_mm=1,
                length_mm=60,
                done_at=finished,
                created_at=NOW.utc,
            )
        )
    garage.session.flush()
    garage.modifications[title] = row.id
    return row.id
