"""Runs; what each was made with, and what was measured after it."""

from typing import TYPE_CHECKING

from sqlalchemy import Index, UniqueConstraint, text
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check
from garage.fields.table import FieldTable, own_values_column
from garage.runs.fields import FIELDS, INCIDENT_FIELDS, PACK_FIELDS, RUN_PLACES, TEMPERATURE_FIELDS

# What a run rests on.
MOVED = ("state", "boat", "outing", "number", "start", "packs", "props")


class Run(FieldTable, table=True, fields=FIELDS):
    """One run, pinned to a build state. `hull_id` and `cells_s` repeat what the pins say, for quick records.

    `waiting` is true while something that the evening asks for is missing and was not waved away. `not_known` has the
    words, with blanks between, of what a person said that nobody knows any more; `speed_typed` is the speed as it was
    typed, where that was in another unit than it is kept in.
    """

    __table_args__ = (
        UniqueConstraint("outing_id", "number"),
        Index("ix_run_hull_id_started_at", "hull_id", "started_at"),
        Index("ix_run_best", "set_aside_at", "speed_how", "ways", "course_m", "averaging_s", "speed_kmh"),
        Index(
            "ix_run_hull_best",
            "hull_id",
            "set_aside_at",
            "speed_how",
            "ways",
            "course_m",
            "averaging_s",
            "speed_kmh",
        ),
        Index("ix_run_waiting", "waiting", "outing_id", sqlite_where=text("waiting = 1")),
        Index("ix_run_try_next", "hull_id", "started_at", sqlite_where=text("try_next <> ''")),
        Index(
            "ix_run_still_to_try",
            "started_at",
            sqlite_where=text("try_next <> '' AND try_next_done_at IS NULL"),
        ),
        number_check("number", 1),
        number_check("cells_s", 1, 28),
        utc_check("started_at"),
    )

    id: int = Field(default=None, primary_key=True)
    outing_id: int = Field(foreign_key="outing.id")
    number: int
    hull_id: int = Field(foreign_key="hull.id")
    state_id: int = Field(foreign_key="build_state.id", index=True)
    started_at: str
    offset_min: int = 0
    start_time_known: bool = False
    cells_s: int | None = None
    try_next_done_at: str | None = None
    waiting: bool = True
    waved_away_at: str | None = None
    not_known: str = Field(default="", sa_column_kwargs={"server_default": ""})
    speed_typed: str = Field(default="", sa_column_kwargs={"server_default": ""})
    set_aside_at: str | None = None
    set_aside_reason: str = ""
    created_at: str
    own_values: str = own_values_column()

    if TYPE_CHECKING:  # what code works with, for the type checker; the list itself is in fields.py
        kind: str
        speed_kmh: float | None
        speed_how: str
        averaging_s: float | None
        ways: str
        passes: int | None
        course_m: float | None
        duration_s: float | None
        full_throttle_s: float | None
        ride_rating: int | None
        straight_rating: int | None
        corner_rating: int | None
        acceleration_rating: int | None
        water_inside_ml: float | None
        note: str
        try_next: str
        speed_counts: str


class RunProp(SQLModel, table=True):
    """The prop edition that a run was made with, by place."""

    __tablename__ = "run_prop"
    __table_args__ = (choice_check("place", RUN_PLACES),)

    run_id: int = Field(foreign_key="run.id", primary_key=True)
    place: str = Field(default="single", primary_key=True)
    edition_id: int = Field(foreign_key="prop_edition.id", index=True)


class RunPack(FieldTable, table=True, fields=PACK_FIELDS):
    """A pack that a run was made with, and what was read off it. `volts_after` is a JSON list per cell."""

    __tablename__ = "run_pack"
    __table_args__ = (number_check("rested_v", 0, 120),)

    run_id: int = Field(foreign_key="run.id", primary_key=True)
    pack_id: int = Field(foreign_key="pack.id", primary_key=True, index=True)

    if TYPE_CHECKING:
        wiring: str
        start_temperature_c: float | None
        rested_v: float | None
        charge_mah: float | None
        end_v: float | None
        volts_after: str


class RunTemperature(FieldTable, table=True, fields=TEMPERATURE_FIELDS):
    """One temperature after a run: where, how long after the stop, in which order."""

    __tablename__ = "run_temperature"

    id: int = Field(default=None, primary_key=True)
    run_id: int = Field(foreign_key="run.id", index=True)
    position: int
    pack_id: int | None = Field(default=None, foreign_key="pack.id")

    if TYPE_CHECKING:
        spot: str
        place: str
        temperature_c: float
        seconds_after: float | None
        note: str


class Incident(FieldTable, table=True, fields=INCIDENT_FIELDS):
    """Something that happened in a run, with its cause as far as known."""

    id: int = Field(default=None, primary_key=True)
    run_id: int = Field(foreign_key="run.id", index=True)
    set_aside_at: str | None = None

    if TYPE_CHECKING:
        kind: str
        cause: str
        recovered: str
        damaged: bool
        spoiled_speed: bool
        note: str


class RunMove(SQLModel, table=True):
    """What a run rests on, moved from one to another: the only way it may be. Append-only; the run's own row says what
    is true now, the first `from_value` what was written first.

    Values are texts: the id of a build state, a hull or an outing, a number in the order of the day, or JSON of a
    start, of packs or of props (`runs/moves.py`).
    """

    __tablename__ = "run_move"
    __table_args__ = (Index("ix_run_move_run_id_what", "run_id", "what"), choice_check("what", MOVED), utc_check("at"))

    id: int = Field(default=None, primary_key=True)
    run_id: int = Field(foreign_key="run.id")
    what: str
    from_value: str
    to_value: str
    why: str = ""
    at: str
    mending_id: int | None = Field(default=None, foreign_key="mending.id")


class DeniedSpeed(SQLModel, table=True):
    """A figure that a log contradicts itself in: the run's speed, if that is what is written, counts for nothing.

    `receiver_kmh` and `places_kmh` are what both say of the same two seconds. `is_news` until a person was told.
    """

    __tablename__ = "denied_speed"
    __table_args__ = (UniqueConstraint("run_id", "log_id", "speed_kmh"), number_check("speed_kmh", 0))

    id: int = Field(default=None, primary_key=True)
    run_id: int = Field(foreign_key="run.id")
    log_id: int = Field(foreign_key="log_file.id")
    speed_kmh: float
    receiver_kmh: float | None = None
    places_kmh: float | None = None
    is_news: bool = False
