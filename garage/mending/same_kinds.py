"""The kinds of things of which two may be one: how they are called, what is kept of them, and which look alike."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session, col, select

from garage.corrections.same_store import is_gone
from garage.drives.fields import fields_of_kind
from garage.drives.kinds import PARTS
from garage.drives.texts import part_text
from garage.fields.definition import Field
from garage.inventory.collection import Collection
from garage.inventory.lookalike import look_alike
from garage.inventory.store import in_order
from garage.packs.fields import all_fields as pack_fields
from garage.packs.kinds import PACKS
from garage.packs.store import pack_text
from garage.props.fields import all_fields as prop_fields
from garage.props.kinds import PROPS
from garage.waters.fields import FIELDS as WATER_FIELDS
from garage.waters.kinds import WATERS


@dataclass(frozen=True)
class SameKind:
    """One such kind. `text` names a thing in a list to choose from, `size` is the same for things of one size, `fields`
    are the facts of a thing; only things with the same `sort` can be one."""

    name: str
    collection: Collection
    text: Callable[[Any], str]
    size: Callable[[Any], Any]
    fields: Callable[[Any], Sequence[Field]]
    sort: Callable[[Any], Any] = lambda _row: None

    def called(self, row: Any) -> str:
        """A thing in a sentence."""
        return self.key(row) if self.name in ("water", "part") else f"{self.name} {self.key(row)}"

    def key(self, row: Any) -> str:
        """What a thing is told by: its code or its name."""
        return str(getattr(row, self.collection.key))

    def compared(self, row: Any) -> list[Field]:
        """The facts that two of them may tell differently."""
        left_out = ("notes", "kind", self.collection.key)
        return [field for field in self.fields(row) if field.name not in left_out]


def _prop_text(prop: Any) -> str:
    return f"{prop.code} {prop.printed_name}".strip() + f", {prop.blades} blades"


KINDS = {
    kind.name: kind
    for kind in (
        SameKind(
            "pack", PACKS, lambda row: pack_text(row).text, lambda row: (row.cells_s, row.cells_p, row.capacity_mah),
            lambda _row: pack_fields(), lambda row: row.cells_s,
        ),
        SameKind(
            "prop", PROPS, _prop_text, lambda row: (row.printed_name.casefold(), row.blades, row.hand),
            lambda _row: prop_fields(),
        ),
        SameKind("water", WATERS, lambda row: str(row.name), lambda row: row.course_m, lambda _row: WATER_FIELDS),
        SameKind(
            "part", PARTS, lambda row: part_text(row).text, lambda row: row.name.casefold(),
            lambda row: fields_of_kind(row.kind), lambda row: row.kind,
        ),
    )
}  # fmt: skip


def others(session: Session, kind: SameKind, row: Any) -> list[Any]:
    """What else of that kind there is, retired things among them: those first that look like `row`, or are of its
    size."""
    table: Any = kind.collection.table
    found = session.exec(
        select(table).where(table.id != row.id, ~is_gone(kind.name, col(table.id))).order_by(*in_order(kind.collection))
    )
    same_sort = [one for one in found if kind.sort(one) == kind.sort(row)]
    return sorted(same_sort, key=lambda one: _likely(kind, row, one))


def _likely(kind: SameKind, row: Any, other: Any) -> tuple[bool, bool]:
    return (not look_alike(kind.key(row), kind.key(other)), kind.size(row) != kind.size(other))
