"""What can be attached to a thing: pictures, notes, sound, video, links. Files lie beside the database."""

from sqlalchemy import Index
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check

ATTACHMENT_KINDS = ("photo", "note", "sound", "video", "link")
# What an attachment is beside being a picture, a note or a link.
ROLES = ("", "receipt")
OWNERS = (
    "", "hull", "modification", "step", "state", "prop", "pack", "part", "outing", "run", "supply", "driver",
    "receiver", "instrument", "charger", "supplier",
)  # fmt: skip

# Things that are bought, and may have a receipt.
BOUGHT = ("hull", "prop", "pack", "part", "supply", "receiver", "instrument", "charger")


class Attachment(SQLModel, table=True):
    """One thing attached; an owner of '' means it was noted at the water and is still to be sorted."""

    __table_args__ = (
        Index("ix_attachment_owner_owner_id", "owner", "owner_id"),
        choice_check("kind", ATTACHMENT_KINDS),
        choice_check("owner", OWNERS),
        choice_check("role", ROLES),
        number_check("width_px", 1),
        number_check("height_px", 1),
        utc_check("at"),
    )

    id: int = Field(default=None, primary_key=True)
    kind: str
    owner: str = ""
    owner_id: int | None = None
    at: str
    offset_min: int = 0
    text: str = ""
    url: str = ""
    sha256: str = Field(default="", index=True)
    media_type: str = ""
    width_px: int | None = None
    height_px: int | None = None
    size_bytes: int | None = None
    set_aside_at: str | None = None
    created_at: str
    role: str = Field(default="", sa_column_kwargs={"server_default": ""})
