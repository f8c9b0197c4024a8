"""Queries and writes of drives and other hardware."""

from collections.abc import Iterable

from sqlmodel import Session, col, select

from garage.db.codes import next_code
from garage.db.in_ids import rows_by_ids
from garage.drives.fields import figures_of_kind
from garage.drives.figures import PREFIXES
from garage.drives.kinds import PARTS
from garage.drives.tables import Part
from garage.drives.texts import PartText, part_text
from garage.errors import NotFound
from garage.inventory.store import rows_of


def part(session: Session, part_id: int) -> Part:
    """One part. Raises NotFound."""
    found = session.get(Part, part_id)
    if found is None:
        raise NotFound("There is no such piece of hardware in this notebook.")
    return found


def parts_by_ids(session: Session, ids: Iterable[int]) -> dict[int, Part]:
    """Some parts."""
    return rows_by_ids(session, Part, ids)


def parts(session: Session, *, kind: str = "", retired: bool = False, limit: int = 50, offset: int = 0) -> list[Part]:
    """Parts in use or retired ones, of one kind or of all, by kind and code."""
    narrowed = [Part.kind == kind] if kind else []
    return rows_of(session, PARTS, *narrowed, retired=retired, limit=limit, offset=offset)


def kinds_written(session: Session) -> list[str]:
    """The kinds of which there is at least one part."""
    return list(session.exec(select(Part.kind).distinct().order_by(Part.kind)))


def parts_in_use(session: Session, *, kind: str = "", limit: int = 200) -> list[PartText]:
    """Parts that can be installed, by kind and code."""
    return [part_text(found) for found in parts(session, kind=kind, limit=limit)]


def part_spec(found: Part) -> dict[str, float | str]:
    """What a build state has to remember of a part: code, kind, name, material and the figures it has."""
    columns = ("code", "kind", "name", *(figure.column for figure in figures_of_kind(found.kind)), "material")
    values = {column: getattr(found, column) for column in columns}
    return {column: value for column, value in values.items() if value not in (None, "")}


def suggested_code(session: Session, kind: str) -> str:
    """The next free code for a part of `kind`."""
    return next_code(session, col(Part.code), PREFIXES[kind])  # type: ignore[arg-type]
