"""A part in a few words."""

from dataclasses import dataclass

from garage.drives.tables import Part
from garage.units import show


@dataclass(frozen=True)
class PartText:
    """A part in a few words, for lists and choices."""

    id: int
    code: str
    kind: str
    name: str
    text: str


def part_text(found: Part) -> PartText:
    """A part in a few words, such as `M3 motor, blue can, 1 950 rpm/V`."""
    kv = found.kv_measured or found.kv_stated
    about = (found.name, str(show(kv, "kv")) if kv else "")
    text = ", ".join(piece for piece in (f"{found.code} {found.kind}", *about) if piece)
    return PartText(found.id, found.code, found.kind, found.name, text)
