"""Phones that were paired with this garage over the home network."""

from sqlmodel import Field, SQLModel

from garage.db.columns import utc_check


class Device(SQLModel, table=True):
    """One paired phone. Only a hash of its secret is kept."""

    __table_args__ = (utc_check("paired_at"), utc_check("ended_at"))

    id: int = Field(default=None, primary_key=True)
    name: str = ""
    secret_sha256: str = Field(index=True, unique=True)
    paired_at: str
    ended_at: str | None = None
