"""Props: each physical prop is its own item, and each rework of it a new edition."""

from typing import TYPE_CHECKING

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from garage.db.columns import choice_check, number_check, utc_check
from garage.fields.table import FieldTable, own_values_column
from garage.props.fields import EDITION_FIELDS, FIELDS, RETIREMENT_FIELDS

REWORKS = (
    "as bought",
    "sharpened",
    "balanced",
    "polished",
    "cupped",
    "detongued",
    "back-cut",
    "cut down",
    "thinned",
    "damaged",
    "repaired",
    "measured again",
)
FIGURE_SOURCES = ("", "printed size", "measured", "mean of the blades", "carried over")


class Prop(FieldTable, table=True, fields=(*FIELDS, *RETIREMENT_FIELDS)):
    """One physical prop. Its figures stand in its editions."""

    __table_args__ = (utc_check("created_at"),)

    id: int = Field(default=None, primary_key=True)
    created_at: str
    own_values: str = own_values_column()

    if TYPE_CHECKING:  # what code works with, for the type checker; the list itself is in fields.py
        code: str
        printed_name: str
        blades: int
        material: str
        hand: str
        bought_on: str
        retired_on: str
        retired_how: str
        retired_reason: str


class PropEdition(FieldTable, table=True, fields=EDITION_FIELDS):
    """A prop as it is between two reworks. `reworks` lists what was done, separated by commas.

    `diameter_from` and `pitch_from` say how the figure is known; `pitch_per_blade_mm` is a JSON list, at
    0.7 radius.
    """

    __tablename__ = "prop_edition"
    __table_args__ = (
        UniqueConstraint("prop_id", "number"),
        choice_check("diameter_from", FIGURE_SOURCES),
        choice_check("pitch_from", FIGURE_SOURCES),
        number_check("number", 1),
        utc_check("made_at"),
        utc_check("created_at"),
    )

    id: int = Field(default=None, primary_key=True)
    prop_id: int = Field(foreign_key="prop.id")
    number: int
    reworks: str = "as bought"
    diameter_from: str = ""
    pitch_from: str = ""
    pitch_per_blade_mm: str = ""
    made_at: str
    offset_min: int = 0
    created_at: str

    if TYPE_CHECKING:
        diameter_mm: float | None
        pitch_mm: float | None
        mass_g: float | None
        condition: str
        note: str
