"""Logs: the file as it came, its samples in compressed columns, the pieces it was cut into, their corners."""

from sqlalchemy import Column, Index, LargeBinary, UniqueConstraint
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check

SOURCES = ("", "doppler", "position")


class LogFile(SQLModel, table=True):
    """One file. `read_at` is empty while a person has still to say which column of a table is what.

    `notes` is a JSON list of what was odd about it.
    """

    __tablename__ = "log_file"
    __table_args__ = (
        choice_check("source", SOURCES),
        number_check("samples", 0),
        number_check("duration_s", 0),
        number_check("course_m", 1, 5000),
        number_check("opposite_within_s", 1, 86400),
        utc_check("read_at"),
        utc_check("set_aside_at"),
    )

    id: int = Field(default=None, primary_key=True)
    sha256: str = Field(unique=True)
    name: str
    kind: str
    size_bytes: int
    outing_id: int | None = Field(default=None, foreign_key="outing.id", index=True)
    asked_run_id: int | None = Field(default=None, foreign_key="run.id")
    start_unix_s: float | None = None
    samples: int = 0
    duration_s: float = 0.0
    rate_hz: float = 0.0
    source: str = ""
    course_m: float
    rest_s: float = 60.0
    opposite_within_s: float = 3600.0
    notes: str = "[]"
    read_at: str | None = None
    set_aside_at: str | None = None
    created_at: str


class LogChannel(SQLModel, table=True):
    """One column of a log: whole numbers of `resolution`, as differences, compressed."""

    __tablename__ = "log_channel"

    log_id: int = Field(foreign_key="log_file.id", primary_key=True)
    name: str = Field(primary_key=True)
    resolution: float
    samples: int
    block: bytes = Field(sa_column=Column(LargeBinary, nullable=False))


class LogPiece(SQLModel, table=True):
    """A part of a log between two rests, and the run it belongs to. `found` is what was measured, as JSON."""

    __tablename__ = "log_piece"
    __table_args__ = (
        UniqueConstraint("log_id", "number"),
        number_check("start_s"),
        number_check("end_s"),
        number_check("top_kmh", 0, 500),
        number_check("peak_kmh", 0, 500),
        number_check("two_way_kmh", 0, 500),
    )

    id: int = Field(default=None, primary_key=True)
    log_id: int = Field(foreign_key="log_file.id")
    number: int
    run_id: int | None = Field(default=None, foreign_key="run.id", index=True)
    start_s: float
    end_s: float
    top_kmh: float | None = None
    peak_kmh: float | None = None
    two_way_kmh: float | None = None
    found: str = "{}"


class LogCorner(SQLModel, table=True):
    """One corner of a piece."""

    __tablename__ = "log_corner"
    __table_args__ = (number_check("entry_kmh", 0, 500), number_check("lateral_g", 0, 1000))

    piece_id: int = Field(foreign_key="log_piece.id", primary_key=True)
    number: int = Field(primary_key=True)
    entry_kmh: float
    lowest_kmh: float
    exit_kmh: float
    radius_m: float
    lateral_g: float
    kept_percent: float
    turned_deg: float


class LogRestored(SQLModel, table=True):
    """A sample that was struck out and that a person lets count, with the reason."""

    __tablename__ = "log_restored"
    __table_args__ = (Index("ix_log_restored_log_id", "log_id"),)

    id: int = Field(default=None, primary_key=True)
    log_id: int = Field(foreign_key="log_file.id")
    first_sample: int
    last_sample: int
    why: str
    at: str
    taken_back_at: str | None = None


class LogColumns(SQLModel, table=True):
    """Which column of a table is what, remembered by its headings."""

    __tablename__ = "log_columns"

    key: str = Field(primary_key=True)
    headings: str
    columns: str
    created_at: str
