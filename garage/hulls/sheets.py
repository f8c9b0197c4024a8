"""What the pages of a hull's lists show."""

from dataclasses import dataclass

from garage.hulls.tables import ChecklistItem, Hull


@dataclass(frozen=True)
class ListsSheet:
    """A hull's two lists, to read, print and edit."""

    hull_id: int
    name: str
    launch: list[tuple[int, str]]
    packing: list[tuple[int, str]]
    values: dict[str, str]


def lists_sheet(hull: Hull, launch: list[ChecklistItem], packing: list[ChecklistItem]) -> ListsSheet:
    """A hull's lists."""
    return ListsSheet(hull.id, hull.name, _lines(launch), _lines(packing), {})


def _lines(items: list[ChecklistItem]) -> list[tuple[int, str]]:
    return [(item.id, item.text) for item in items]
