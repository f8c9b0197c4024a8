"""What the lists of a new hull begin with; common practice, no source. The person edits them."""

from typing import Any

from sqlmodel import Session

from garage.db.many import add_many
from garage.hulls.tables import ChecklistItem

FIRST_LISTS = {
    "launch": (
        "Prop nut tight, drive dog straight",
        "Failsafe tried: radio off, throttle closes",
        "GPS running and fixed",
        "Hatch taped all round",
        "Receiver ready: dry, held down, aerial up",
        "First pass: water comes out of the outlet",
    ),
    "packing": (
        "Packs charged, each in its fire-safe bag",
        "Transmitter charged",
        "Props, nuts, and the spanner that fits them",
        "Grease, hatch tape, towel",
        "Thermometer and cell checker",
        "A way to get her back; nobody swims after a boat",
        "Notebook or pit sheet, pencil",
    ),
}


def write_first_lists(session: Session, hull: Any) -> None:
    """Give a new hull her lists."""
    first = [
        ChecklistItem(hull_id=hull.id, checklist=checklist, position=position, text=text)
        for checklist, texts in FIRST_LISTS.items()
        for position, text in enumerate(texts)
    ]
    add_many(session, first)
