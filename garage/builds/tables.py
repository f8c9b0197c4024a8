"""Modifications and their steps; changes and the build states they lead to; service."""

from sqlalchemy import Index, UniqueConstraint
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check

PLACES = ("single", "left", "right")
CHANGE_KINDS = ("fit", "take off", "rework", "install", "take out", "set", "damage", "repair")
STEP_ACTIONS = (
    "mark out",
    "cut",
    "shape",
    "bend",
    "bond",
    "fair",
    "sand",
    "seal",
    "paint",
    "drill",
    "tape",
    "fit",
    "weigh",
    "other",
)
SERVICE_KINDS = ("greased", "shaft looked at", "throttle calibrated", "cleaned", "bearings looked at", "other")


class Modification(SQLModel, table=True):
    """Work planned on one hull. Whether it is fitted follows from the hull's changes, not from a cell here."""

    __table_args__ = (choice_check("permanence", ("permanent", "removable")), utc_check("created_at"))

    id: int | None = Field(default=None, primary_key=True)
    hull_id: int = Field(foreign_key="hull.id", index=True)
    title: str
    purpose: str = ""
    expected: str = ""
    permanence: str = "removable"
    trial: bool = False
    notes: str = ""
    dropped_at: str | None = None
    dropped_reason: str = ""
    created_at: str


class Step(SQLModel, table=True):
    """One step of a modification. `in_change_id` names the change that took it into a build state.

    `adds_mass` is off for a piece that an earlier step has named already, so that it is not weighed twice.
    """

    __table_args__ = (
        Index("ix_step_modification_id_position", "modification_id", "position"),
        Index("ix_step_in_change_id", "in_change_id"),
        choice_check("action", STEP_ACTIONS),
        number_check("position", 0),
        number_check("width_mm", 0, 2000),
        number_check("height_mm", 0, 2000),
        number_check("wall_mm", 0, 200),
        number_check("diameter_mm", 0, 2000),
        number_check("area_mm2", 0, 1000000),
        number_check("length_mm", 0, 10000),
        number_check("count", 1, 1000),
        number_check("density_kg_m3", 1, 25000),
        number_check("cure_h", 0, 10000),
        number_check("cure_temperature_c", -20, 150),
        number_check("coats", 0, 100),
        number_check("minutes_spent", 0, 100000),
        number_check("mass_weighed_g", -50000, 50000),
        utc_check("done_at"),
        utc_check("created_at"),
    )

    id: int | None = Field(default=None, primary_key=True)
    modification_id: int = Field(foreign_key="modification.id")
    position: int
    action: str
    what: str = ""
    material: str = ""
    density_kg_m3: float | None = None
    section: str = ""
    width_mm: float | None = None
    height_mm: float | None = None
    wall_mm: float | None = None
    diameter_mm: float | None = None
    area_mm2: float | None = None
    length_mm: float | None = None
    count: int = 1
    adds_mass: bool = True
    adhesive: str = ""
    cure_h: float | None = None
    cure_temperature_c: float | None = None
    finish: str = ""
    coats: int | None = None
    minutes_spent: float | None = None
    mass_weighed_g: float | None = None
    note: str = ""
    done_at: str | None = None
    set_aside_at: str | None = None
    in_change_id: int | None = Field(default=None, foreign_key="change.id")
    created_at: str


class OwnMaterial(SQLModel, table=True):
    """A material that the person wrote down with its density, to be offered the next time."""

    __tablename__ = "own_material"
    __table_args__ = (number_check("density_kg_m3", 1, 25000), utc_check("created_at"))

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    density_kg_m3: float
    created_at: str


class BuildState(SQLModel, table=True):
    """What is on the boat from `made_at` on: the fold of all changes up to here, as canonical JSON."""

    __tablename__ = "build_state"
    __table_args__ = (
        UniqueConstraint("hull_id", "number"),
        Index("ix_build_state_hull_id_made_at", "hull_id", "made_at"),
        Index("ix_build_state_fingerprint", "fingerprint"),
        number_check("number", 1),
        utc_check("made_at"),
        utc_check("created_at"),
    )

    id: int | None = Field(default=None, primary_key=True)
    hull_id: int = Field(foreign_key="hull.id")
    number: int
    parent_id: int | None = Field(default=None, foreign_key="build_state.id")
    made_at: str
    offset_min: int = 0
    content: str
    fingerprint: str
    note: str = ""
    created_at: str


class Change(SQLModel, table=True):
    """One event in a hull's history. `detail` is a JSON object with all that the state needs to know of it."""

    __table_args__ = (
        Index("ix_change_state_id_position", "state_id", "position"),
        choice_check("kind", CHANGE_KINDS),
        choice_check("place", PLACES),
        utc_check("created_at"),
    )

    id: int | None = Field(default=None, primary_key=True)
    state_id: int = Field(foreign_key="build_state.id")
    position: int
    kind: str
    place: str = "single"
    modification_id: int | None = Field(default=None, foreign_key="modification.id", index=True)
    part_id: int | None = Field(default=None, foreign_key="part.id", index=True)
    setting: str = ""
    detail: str = "{}"
    note: str = ""
    created_at: str


class Supersession(SQLModel, table=True):
    """An old state gave way to a new one, because a forgotten change was put in before it. Append-only."""

    id: int | None = Field(default=None, primary_key=True)
    old_state_id: int = Field(foreign_key="build_state.id", unique=True)
    new_state_id: int = Field(foreign_key="build_state.id", index=True)
    at: str
    why: str = ""


class Fingerprint(SQLModel, table=True):
    """Every fingerprint that a state ever had, so that one printed on paper still leads to it. Append-only."""

    __table_args__ = (UniqueConstraint("fingerprint", "state_id"),)

    id: int | None = Field(default=None, primary_key=True)
    fingerprint: str = Field(index=True)
    state_id: int = Field(foreign_key="build_state.id")


class Service(SQLModel, table=True):
    """Care that moves the speed without being a change."""

    __table_args__ = (
        Index("ix_service_hull_id_kind_at", "hull_id", "kind", "at"),
        choice_check("kind", SERVICE_KINDS),
        choice_check("place", PLACES),
        utc_check("at"),
    )

    id: int | None = Field(default=None, primary_key=True)
    hull_id: int = Field(foreign_key="hull.id")
    kind: str
    place: str = "single"
    at: str
    offset_min: int = 0
    note: str = ""
    set_aside_at: str | None = None
    created_at: str


class ServiceRule(SQLModel, table=True):
    """After how many runs or minutes a kind of service is due on a hull."""

    __tablename__ = "service_rule"
    __table_args__ = (
        UniqueConstraint("hull_id", "kind"),
        choice_check("kind", SERVICE_KINDS),
        number_check("runs", 1, 1000),
        number_check("minutes", 1, 10000),
    )

    id: int | None = Field(default=None, primary_key=True)
    hull_id: int = Field(foreign_key="hull.id")
    kind: str
    runs: int | None = None
    minutes: float | None = None
