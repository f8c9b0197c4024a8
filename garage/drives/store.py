"""Queries and writes of drives and other hardware."""

from collections.abc import Iterable
from dataclasses import dataclass

from sqlmodel import Session, col, select

from garage.db.codes import next_code
from garage.db.in_ids import rows_by_ids
from garage.db.taken import refuse_taken
from garage.drives.fields import figures_of_kind
from garage.drives.figures import PREFIXES
from garage.drives.tables import Part
from garage.errors import NotFound
from garage.fields.definition import FormData
from garage.moments import Moment
from garage.units import show


@dataclass(frozen=True)
class PartText:
    """A part in a few words, for lists and choices."""

    id: int
    code: str
    kind: str
    name: str
    text: str


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
    query = select(Part).where(Part.retired_on != "" if retired else Part.retired_on == "")
    if kind:
        query = query.where(Part.kind == kind)
    return list(session.exec(query.order_by(Part.kind, Part.code).limit(limit).offset(offset)))


def kinds_written(session: Session) -> list[str]:
    """The kinds of which there is at least one part."""
    return list(session.exec(select(Part.kind).distinct().order_by(Part.kind)))


def parts_in_use(session: Session, *, kind: str = "", limit: int = 200) -> list[PartText]:
    """Parts that can be installed, by kind and code."""
    return [part_text(found) for found in parts(session, kind=kind, limit=limit)]


def part_text(found: Part) -> PartText:
    """A part in a few words, such as `M3 motor, blue can, 1 950 rpm/V`."""
    kv = found.kv_measured or found.kv_stated
    about = (found.name, str(show(kv, "kv")) if kv else "")
    text = ", ".join(piece for piece in (f"{found.code} {found.kind}", *about) if piece)
    return PartText(found.id, found.code, found.kind, found.name, text)


def part_spec(found: Part) -> dict[str, float | str]:
    """What a build state has to remember of a part: code, kind, name, material and the figures it has."""
    columns = ("code", "kind", "name", *(figure.column for figure in figures_of_kind(found.kind)), "material")
    values = {column: getattr(found, column) for column in columns}
    return {column: value for column, value in values.items() if value not in (None, "")}


def suggested_code(session: Session, kind: str) -> str:
    """The next free code for a part of `kind`."""
    return next_code(session, col(Part.code), PREFIXES[kind])  # type: ignore[arg-type]


def add_part(session: Session, form: FormData, at: Moment) -> Part:
    """Write down a new part. Raises Conflict if its code is taken."""
    _refuse_taken_code(session, form["code"])
    new = Part(**form, created_at=at.utc)
    session.add(new)
    session.flush()
    return new


def change_part(session: Session, part_id: int, form: FormData) -> Part:
    """Write a part's facts anew; its kind stays. Build states keep what they were made with. Raises NotFound,
    Conflict."""
    kept = part(session, part_id)
    _refuse_taken_code(session, form["code"], other_than=part_id)
    kept.sqlmodel_update(dict(form))
    session.add(kept)
    return kept


def retire_part(session: Session, part_id: int, on: str, reason: str) -> Part:
    """Take a part out of use; '' for `on` brings it back. Raises NotFound."""
    kept = part(session, part_id)
    kept.retired_on, kept.retired_reason = on, reason
    session.add(kept)
    return kept


def _refuse_taken_code(session: Session, code: str, other_than: int | None = None) -> None:
    refuse_taken(
        session,
        Part,
        "code",
        code,
        lambda part: f"The code {part.code} is taken: {part_text(part).text}.",
        other_than=other_than,
    )
