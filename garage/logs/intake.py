"""Files that come in with a form: kept on the disk by their hash, read, written down."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from sqlalchemy.exc import IntegrityError
from sqlmodel import Session

from garage.calc.track.cleaning import clean
from garage.calc.track.motion import motion_of
from garage.errors import Conflict, GarageError
from garage.logs.column_store import remembered_columns
from garage.logs.cutting import cut_anew
from garage.logs.progress import Reading
from garage.logs.readers.columns import Picked
from garage.logs.readers.delimited import preview
from garage.logs.readers.reading import kind_of, read_log
from garage.logs.readers.result import ReadLog, UnreadableLog
from garage.logs.store import NewLog, add_log, log_by_hash
from garage.logs.tables import LogFile
from garage.moments import Moment
from garage.photos.files import PartFile, give_name, write_part
from garage.photos.intake import Upload

LOG_ENDING = "log"
Looking = Callable[[], AbstractContextManager[Session]]


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


@dataclass(frozen=True)
class ReadUpload:
    """A file of a form once it was read: what it holds, or why it is refused."""

    name: str
    part: PartFile
    new: NewLog | None
    refusal: str = ""


@contextmanager
def read_uploads(
    looking: Looking, files_dir: Path, uploads: Sequence[Upload], progress: Reading
) -> Iterator[list[ReadUpload]]:
    """Every file of a form, read; what of them is not kept within the block is gone after it.

    `looking` gives a session for a short look into the notebook, before each file is read."""
    read: list[ReadUpload] = []
    try:
        for upload in uploads:
            name = _name(upload)
            part = write_part(files_dir, upload.file)
            progress.begin(name, part.size_bytes)
            read.append(_read_upload(looking, part, name))
        yield read
    finally:
        for one in read:
            one.part.path.unlink(missing_ok=True)


def _read_upload(looking: Looking, part: PartFile, name: str) -> ReadUpload:
    try:
        with looking() as session:
            _refuse_known(session, part, name)
            columns = _remembered(session, part)
        return ReadUpload(name, part, _read(part, name, columns))
    except GarageError as refused:
        return ReadUpload(name, part, None, str(refused))
    except BaseException:
        part.path.unlink(missing_ok=True)
        raise


def take_in(
    session: Session,
    files_dir: Path,
    files: Sequence[ReadUpload],
    outing_id: int | None,
    run_id: int | None,
    course_m: float,
    at: Moment,
) -> TakenIn:
    """Keep every file that could be read as a log; the others are named with the reason, and nothing of them stays."""
    done = TakenIn()
    for one in files:
        refusal = one.refusal
        if one.new is not None:
            try:
                # Each by itself: what goes wrong with one is taken back without the others.
                with session.begin_nested():
                    row = add_log(session, one.new, outing_id, run_id, course_m, at)
                    if one.new.track is not None:
                        cut_anew(session, row)
                give_name(one.part, log_path(files_dir, one.part.sha256))
                done.kept.append(row)
            except GarageError as refused:
                refusal = str(refused)
            except IntegrityError:
                refusal = "What was measured in it is beyond anything that can be kept."
        if refusal:
            done.refused.append(refusal if one.name in refusal else f"{one.name}: {refusal}")
    return done


def _refuse_known(session: Session, part: PartFile, name: str) -> None:
    known = log_by_hash(session, part.sha256)
    if known is not None and known.set_aside_at is None:
        raise Conflict(f"{name}: the same file is here already, as {known.name} (log {known.id}).")


def _remembered(session: Session, part: PartFile) -> Mapping[str, Picked] | None:
    """Which column is what in a table, if that is known. Raises UnreadableLog for what is no table."""
    return remembered_columns(session, preview(part.path).key) if kind_of(part.path) == "table" else None


def _read(part: PartFile, name: str, columns: Mapping[str, Picked] | None) -> NewLog:
    if columns is None and kind_of(part.path) == "table":
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
