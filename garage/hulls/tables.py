"""Hulls, and the lists a person goes through before launching each."""

from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check

HULL_KINDS = ("mono", "catamaran", "hydroplane", "outrigger", "tunnel", "other")
CHECKLISTS = ("launch", "packing")


class Hull(SQLModel, table=True):
    """A physical hull with one history. `screws` is 1, or 2 for a boat that carries two of everything."""

    __table_args__ = (
        choice_check("kind", HULL_KINDS),
        number_check("length_mm", 50, 5000),
        number_check("beam_mm", 10, 2000),
        number_check("deadrise_deg", 0, 60),
        number_check("bare_mass_g", 1, 50000),
        number_check("screws", 1, 2),
        utc_check("created_at"),
    )

    id: int = Field(default=None, primary_key=True)
    name: str = Field(index=True, unique=True)
    kind: str
    length_mm: float | None = None
    beam_mm: float | None = None
    deadrise_deg: float | None = None
    bare_mass_g: float | None = None
    material: str = ""
    own_design: bool = False
    screws: int = 1
    fixed_tube: bool = True
    built_on: str = ""
    notes: str = ""
    retired_on: str = Field(default="", index=True)
    retired_reason: str = ""
    created_at: str


class ChecklistItem(SQLModel, table=True):
    """One line of a hull's list before launch or of its packing list."""

    __tablename__ = "checklist_item"
    __table_args__ = (choice_check("checklist", CHECKLISTS), number_check("position", 0))

    id: int = Field(default=None, primary_key=True)
    hull_id: int = Field(foreign_key="hull.id", index=True)
    checklist: str
    position: int
    text: str
    set_aside_at: str | None = None
