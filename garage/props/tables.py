"""Props: each physical prop is its own item, and each rework of it a new edition."""

from sqlalchemy import UniqueConstraint
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check

HANDS = ("right", "left")
PROP_MATERIALS = (
    "",
    "plastic",
    "aluminium",
    "brass",
    "stainless steel",
    "beryllium copper",
    "carbon",
    "other",
)
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
CONDITIONS = ("good", "nicked", "bent", "cracked", "unusable")
LIFTINGS = ("", "lifting", "not lifting")
FIGURE_SOURCES = ("", "printed size", "measured", "mean of the blades", "carried over")


class Prop(SQLModel, table=True):
    """One physical prop. Its figures stand in its editions."""

    __table_args__ = (
        choice_check("hand", HANDS),
        choice_check("material", PROP_MATERIALS),
        number_check("blades", 1, 8),
        utc_check("created_at"),
    )

    id: int = Field(default=None, primary_key=True)
    code: str = Field(index=True, unique=True)
    printed_name: str = ""
    blades: int = 2
    material: str = ""
    hand: str = "right"
    lifting: str = ""
    bore: str = ""
    bought_on: str = ""
    notes: str = ""
    retired_on: str = Field(default="", index=True)
    retired_reason: str = ""
    created_at: str


class PropEdition(SQLModel, table=True):
    """A prop as it is between two reworks. `reworks` lists what was done, parted by commas.

    `diameter_from` and `pitch_from` say how the figure is known; `pitch_per_blade_mm` is a JSON list, at
    0.7 radius.
    """

    __tablename__ = "prop_edition"
    __table_args__ = (
        UniqueConstraint("prop_id", "number"),
        choice_check("condition", CONDITIONS),
        choice_check("diameter_from", FIGURE_SOURCES),
        choice_check("pitch_from", FIGURE_SOURCES),
        number_check("number", 1),
        number_check("diameter_mm", 5, 300),
        number_check("pitch_mm", 5, 600),
        number_check("mass_g", 0.1, 2000),
        utc_check("made_at"),
        utc_check("created_at"),
    )

    id: int = Field(default=None, primary_key=True)
    prop_id: int = Field(foreign_key="prop.id")
    number: int
    reworks: str = "as bought"
    diameter_mm: float | None = None
    diameter_from: str = ""
    pitch_mm: float | None = None
    pitch_from: str = ""
    pitch_per_blade_mm: str = ""
    mass_g: float | None = None
    condition: str = "good"
    note: str = ""
    made_at: str
    offset_min: int = 0
    created_at: str
