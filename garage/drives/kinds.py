"""Drives and other hardware as a collection: what the one set of pages says of them."""

from typing import Any

from sqlmodel import col

from garage.drives.fields import FIELDS, RETIREMENT_FIELDS
from garage.drives.tables import Part
from garage.drives.texts import part_text
from garage.inventory.collection import Collection, Words


def _called(part: Any) -> str:
    return str(part.code)


def _taken(part: Any) -> str:
    return f"The code {part.code} is taken: {part_text(part).text}."


PARTS = Collection(
    Part,
    "/drives",
    Words(
        "part",
        "hardware",
        "Motors, speed controllers, shafts, struts, rudders and all other hardware that is installed at a place on a "
        "hull.",
        "No hardware is written down yet.",
        "A motor and its speed controller are a good beginning: they say which speed a pack and a prop can give.",
        "Build states and runs that had it stay as they are.",
    ),
    FIELDS,
    RETIREMENT_FIELDS,
    key="code",
    came="bought_on",
    called=_called,
    taken=_taken,
    order=(col(Part.kind), col(Part.code)),
)
