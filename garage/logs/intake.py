"""Files that come in with a form: kept on the disk by their hash, read, written down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from sqlmodel import Session

from garage.calc.track.cleaning import clean
from garage.calc.track.motion import motion_of
from garage.errors import Conflict, GarageError
from garage.logs.cutting import cut_anew
from garage.logs.readers.delimited import preview
from garage.logs.readers.reading import kind_of, read_log
from garage.logs.readers.result import ReadLog, UnreadableLog
from garage.logs.store import NewLog, add_log, log_by_hash, remembered_columns
from garage.logs.tables import LogFile
from garage.moments import Moment
from garage.photos.files import PartFile, give_name, write_part
from garage.photos.intake import Upload

LOG_ENDING = "log"


@dataclass
class TakenIn:
    """What became of the files of one form."""

    kept: list[LogFile] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)

    @property
    def waiting(self) -> LogFile | None:
        """The first log for which a person has to say which column is what."""
        return next((row for row in self.kept if row.read_at is None), None)


def log_path(files_dir: Path, sha256: str) -> Path:
    """Where the file of a log lies."""
    return files_dir / sha256[:2] / f"{sha256}.{LOG_ENDING}"


def take_in(
    session: Session,
    files_dir: Path,
    uploads: Sequence[Upload],
    outing_id: int | None,
    run_id: int | None,
    course_m: float,
    at: Moment,
) -> TakenIn:
    """Keep every file that can be read as a log; the others are named with the reason, and nothing of them stays."""
    done = TakenIn()
    for upload in uploads:
        name = _name(upload)
        part = write_part(files_dir, upload.file)
        try:
            _refuse_known(session, part, name)
            new = _read(session, part, name)
            give_name(part, log_path(files_dir, part.sha256))
            row = add_log(session, new, outing_id, run_id, course_m, at)
            done.kept.append(row)
            if new.track is not None:
                cut_anew(session, row)
        except GarageError as refused:
            done.refused.append(str(refused) if name in str(refused) else f"{name}: {refused}")
        finally:
            part.path.unlink(missing_ok=True)
    return done


def _refuse_known(session: Session, part: PartFile, name: str) -> None:
    known = log_by_hash(session, part.sha256)
    if known is not None and known.set_aside_at is None:
        raise Conflict(f"{name}: the same file is here already, as {known.name} (log {known.id}).")


def _read(session: Session, part: PartFile, name: str) -> NewLog:
    kind = kind_of(part.path)
    columns = None
    if kind == "table":
        # Looked at before the question goes to the notebook: what is no table is refused here.
        columns = remembered_columns(session, preview(part.path).key)
        if columns is None:
            return NewLog(part.sha256, name, "table", part.size_bytes, None)
    return as_new(read_log(part.path, columns), part.sha256, name, part.size_bytes)


def as_new(read: ReadLog, sha256: str, name: str, size_bytes: int) -> NewLog:
    """What was read, ready to be written down. Raises UnreadableLog if there is no sample in it."""
    if not len(read.track):
        raise UnreadableLog("There is no sample in the file.")
    cleaned = clean(read.track)
    motion = motion_of(read.track, cleaned)
    rate_hz = round(1 / motion.interval_s, 4) if motion else 0.0
    return NewLog(sha256, name, read.kind, size_bytes, read.track, cleaned.source, rate_hz, tuple(read.notes))


def _name(upload: Upload) -> str:
    name = "".join(sign for sign in (upload.filename or "") if sign.isprintable())
    return name.replace("\\", "/").rpartition("/")[2][:80] or "the file"
