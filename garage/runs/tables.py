"""Runs; what each was made with, and what was measured after it."""

from sqlalchemy import Index, UniqueConstraint, text
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check
from garage.waters.fields import SUNS

RUN_KINDS = ("speed", "lap", "tune", "maiden", "break-in")


SPEED_HOWS = ("", "by eye", "display", "log")


WAYS = ("", "one way", "both ways")


OUTLETS = ("", "running", "weak", "none")


TEMPERATURE_SPOTS = ("motor end bell", "speed controller", "pack", "wires and plugs", "other")


RUN_PLACES = ("single", "left", "right")


INCIDENTS = (
    "flip",
    "blow over",
    "spin out",
    "hook",
    "chine walk",
    "porpoising",
    "water inside",
    "prop strike",
    "lost drive",
    "other",
)


CAUSES = (
    "",
    "wave",
    "wake",
    "turn",
    "gust",
    "weed or debris",
    "radio",
    "throttle",
    "driving",
    "part failed",
    "not known",
)


class Run(SQLModel, table=True):
    """One run, pinned to a build state. `hull_id` and `cells_s` repeat what the pins say, for quick records.

    `waiting` is true while something that the evening asks for is missing and was not waved away.
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
        choice_check("kind", RUN_KINDS),
        choice_check("speed_how", SPEED_HOWS),
        choice_check("ways", WAYS),
        choice_check("outlet", OUTLETS),
        choice_check("sun", ("", *SUNS)),
        number_check("number", 1),
        number_check("cells_s", 1, 28),
        number_check("speed_kmh", 0.1, 400),
        number_check("averaging_s", 0, 60),
        number_check("passes", 1, 100),
        number_check("course_m", 1, 5000),
        number_check("duration_s", 1, 14400),
        number_check("full_throttle_s", 0, 14400),
        number_check("ride_rating", 1, 5),
        number_check("straight_rating", 1, 5),
        number_check("corner_rating", 1, 5),
        number_check("acceleration_rating", 1, 5),
        number_check("water_inside_ml", 0, 100000),
        number_check("depth_m", 0, 500),
        utc_check("started_at"),
    )

    id: int = Field(default=None, primary_key=True)
    outing_id: int = Field(foreign_key="outing.id")
    number: int
    hull_id: int = Field(foreign_key="hull.id")
    state_id: int = Field(foreign_key="build_state.id", index=True)
    kind: str = "speed"
    started_at: str
    offset_min: int = 0
    start_time_known: bool = False
    cells_s: int | None = None
    speed_kmh: float | None = None
    speed_how: str = ""
    averaging_s: float | None = None
    ways: str = ""
    passes: int | None = None
    course_m: float | None = None
    duration_s: float | None = None
    full_throttle_s: float | None = None
    ride_rating: int | None = None
    straight_rating: int | None = None
    corner_rating: int | None = None
    acceleration_rating: int | None = None
    throttle_eased: str = ""
    rudder_trim: str = ""
    outlet: str = ""
    water_inside_ml: float | None = None
    depth_m: float | None = None
    sun: str = ""
    note: str = ""
    try_next: str = ""
    try_next_done_at: str | None = None
    waiting: bool = True
    waved_away_at: str | None = None
    set_aside_at: str | None = None
    set_aside_reason: str = ""
    created_at: str


class RunProp(SQLModel, table=True):
    """The prop edition that a run was made with, by place."""

    __tablename__ = "run_prop"
    __table_args__ = (choice_check("place", RUN_PLACES),)

    run_id: int = Field(foreign_key="run.id", primary_key=True)
    place: str = Field(default="single", primary_key=True)
    edition_id: int = Field(foreign_key="prop_edition.id", index=True)


class RunPack(SQLModel, table=True):
    """A pack that a run was made with, and what was read off it. `volts_after` is a JSON list per cell."""

    __tablename__ = "run_pack"
    __table_args__ = (
        choice_check("wiring", ("single", "series", "parallel", "left", "right")),
        number_check("start_temperature_c", -30, 90),
        number_check("rested_v", 0, 120),
        number_check("charge_mah", 0, 100000),
        number_check("end_v", 0, 120),
    )

    run_id: int = Field(foreign_key="run.id", primary_key=True)
    pack_id: int = Field(foreign_key="pack.id", primary_key=True, index=True)
    wiring: str = "single"
    start_temperature_c: float | None = None
    rested_v: float | None = None
    charge_mah: float | None = None
    end_v: float | None = None
    volts_after: str = ""


class RunTemperature(SQLModel, table=True):
    """One temperature after a run: where, how long after the stop, in which order."""

    __tablename__ = "run_temperature"
    __table_args__ = (
        choice_check("spot", TEMPERATURE_SPOTS),
        choice_check("place", RUN_PLACES),
        number_check("temperature_c", -30, 300),
        number_check("seconds_after", 0, 86400),
    )

    id: int = Field(default=None, primary_key=True)
    run_id: int = Field(foreign_key="run.id", index=True)
    position: int
    spot: str
    place: str = "single"
    pack_id: int | None = Field(default=None, foreign_key="pack.id")
    temperature_c: float
    seconds_after: float | None = None
    note: str = ""


class Incident(SQLModel, table=True):
    """Something that happened in a run, with its cause as far as known."""

    __table_args__ = (choice_check("kind", INCIDENTS), choice_check("cause", CAUSES))

    id: int = Field(default=None, primary_key=True)
    run_id: int = Field(foreign_key="run.id", index=True)
    kind: str
    cause: str = ""
    recovered: str = ""
    damaged: bool = False
    spoiled_speed: bool = False
    note: str = ""
    set_aside_at: str | None = None


class PinMove(SQLModel, table=True):
    """A run's pin moved from one build state to another: the only way it may. Append-only."""

    __tablename__ = "pin_move"

    id: int = Field(default=None, primary_key=True)
    run_id: int = Field(foreign_key="run.id", index=True)
    from_state_id: int = Field(foreign_key="build_state.id")
    to_state_id: int = Field(foreign_key="build_state.id")
    at: str
    why: str = ""
