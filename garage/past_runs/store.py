"""Queries and writes of spreadsheets of past runs."""

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass

from sqlalchemy import delete, func
from sqlmodel import Session, col, select

from garage.errors import Conflict, NotFound
from garage.moments import Moment
from garage.outings.store import run_counts, set_outing_aside
from garage.past_runs.forms import Choices
from garage.past_runs.tables import PastImport, PastImportLine, PastImportOuting
from garage.photos.files import PartFile
from garage.runs.entry.change_store import set_run_aside
from garage.waters.outing_store import outing

TAKEN_BACK = "its spreadsheet was taken back"


@dataclass(frozen=True)
class Outcome:
    """How many rows of a spreadsheet were understood, and how many were refused."""

    good: int
    refused: int


def past_import(session: Session, import_id: int) -> PastImport:
    """One spreadsheet. Raises NotFound."""
    found = session.get(PastImport, import_id)
    if found is None:
        raise NotFound("There is no such spreadsheet in this notebook.")
    return found


def past_imports(session: Session, *, limit: int, offset: int = 0) -> list[PastImport]:
    """Spreadsheets, the newest first."""
    newest = select(PastImport).order_by(col(PastImport.id).desc())
    return list(session.exec(newest.limit(limit).offset(offset)))


def taken_in_before(session: Session, found: PastImport) -> PastImport | None:
    """Another spreadsheet of the very same content whose runs are in the notebook."""
    same = select(PastImport).where(
        PastImport.sha256 == found.sha256,
        PastImport.id != found.id,
        col(PastImport.taken_in_at).is_not(None),
        col(PastImport.taken_back_at).is_(None),
    )
    return session.exec(same.order_by(col(PastImport.id)).limit(1)).first()


def choices_of(found: PastImport) -> Choices:
    """How the columns were read last."""
    return Choices(**json.loads(found.choices))


def add_import(session: Session, name: str, part: PartFile, choices: Choices, at: Moment) -> PastImport:
    """Write a spreadsheet down; its file is on the disk already."""
    new = PastImport(
        sha256=part.sha256,
        name=name,
        size_bytes=part.size_bytes,
        choices=json.dumps(asdict(choices)),
        created_at=at.utc,
    )
    session.add(new)
    session.flush()
    return new


def keep_choices(session: Session, found: PastImport, choices: Choices) -> None:
    """Write down how the columns are to be read. Raises Conflict once the runs were taken in."""
    if found.taken_in_at is not None:
        raise Conflict("The runs of this spreadsheet were taken in already; take them back first.")
    found.choices = json.dumps(asdict(choices))
    session.add(found)


def keep_lines(session: Session, found: PastImport, lines: Sequence[PastImportLine], at: Moment) -> None:
    """Write down what became of each row, in the place of what was said before."""
    session.execute(delete(PastImportLine).where(col(PastImportLine.import_id) == found.id))
    session.add_all(lines)
    found.looked_at = at.utc
    session.add(found)
    session.flush()


def lines_of(session: Session, import_id: int, *, refused: bool, limit: int, offset: int = 0) -> list[PastImportLine]:
    """The rows that were refused, or those that were understood, in the order of the file."""
    which = PastImportLine.refused != "" if refused else PastImportLine.refused == ""
    query = select(PastImportLine).where(PastImportLine.import_id == import_id, which)
    return list(session.exec(query.order_by(col(PastImportLine.row)).limit(limit).offset(offset)))


def outcome_of(session: Session, import_id: int) -> Outcome:
    """How many rows were understood, and how many refused."""
    total, refused = session.exec(
        select(func.count(), func.count().filter(col(PastImportLine.refused) != "")).where(
            PastImportLine.import_id == import_id
        )
    ).one()
    return Outcome(total - refused, refused)


def note_outings(session: Session, import_id: int, outing_ids: set[int]) -> None:
    """Write down which outings were begun for the runs of a spreadsheet."""
    session.add_all(PastImportOuting(import_id=import_id, outing_id=outing_id) for outing_id in sorted(outing_ids))


def set_import_aside(session: Session, import_id: int, at: str | None) -> int:
    """Set all runs of a spreadsheet aside, and the outings begun for them that have no other; or bring all back
    with None. How many runs. Raises Conflict."""
    found = past_import(session, import_id)
    if found.taken_in_at is None or (found.taken_back_at is None) == (at is None):
        raise Conflict("There is nothing to take back or bring back.")
    found.taken_back_at = at
    session.add(found)
    outings = session.exec(select(PastImportOuting.outing_id).where(PastImportOuting.import_id == import_id)).all()
    if at is None:
        for outing_id in outings:
            outing(session, outing_id).set_aside_at = None
    runs = session.exec(
        select(PastImportLine.run_id).where(
            PastImportLine.import_id == import_id, col(PastImportLine.run_id).is_not(None)
        )
    ).all()
    for run_id in runs:
        assert run_id is not None
        set_run_aside(session, run_id, at, TAKEN_BACK if at else "")
    session.flush()
    if at is not None:
        counts = run_counts(session, set(outings))
        for outing_id in outings:
            if not (counted := counts.get(outing_id)) or counted.runs == 0:
                set_outing_aside(session, outing_id, at)
    return len(runs)
