"""Queries and writes of logs and their pieces."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import delete
from sqlmodel import Session, col, select

from garage.calc.track.track import Track
from garage.db.in_ids import in_
from garage.errors import Conflict, NotFound
from garage.logs.blocks import Block, pack_track, unpack_track
from garage.logs.tables import LogChannel, LogCorner, LogFile, LogPiece, LogRestored
from garage.moments import Moment
from garage.waters.tables import Outing, Water

MOST_PIECES = 200
MOST_CORNERS = 400


@dataclass(frozen=True)
class NewLog:
    """A file that has been read (or waits for its columns), about to be written down."""

    sha256: str
    name: str
    kind: str
    size_bytes: int
    track: Track | None
    source: str = ""
    rate_hz: float = 0.0
    notes: tuple[str, ...] = ()


def log(session: Session, log_id: int) -> LogFile:
    """One log. Raises NotFound."""
    found = session.get(LogFile, log_id)
    if found is None:
        raise NotFound("There is no such log in this notebook.")
    return found


def log_by_hash(session: Session, sha256: str) -> LogFile | None:
    """The log with exactly that content, whether set aside or not."""
    return session.exec(select(LogFile).where(LogFile.sha256 == sha256)).first()


def logs(session: Session, *, outing_id: int | None = None, limit: int = 50, offset: int = 0) -> list[LogFile]:
    """Logs, newest first; of one outing if it is given. Those set aside are left out."""
    newest = select(LogFile).where(col(LogFile.set_aside_at).is_(None))
    if outing_id is not None:
        newest = newest.where(LogFile.outing_id == outing_id)
    return list(session.exec(newest.order_by(col(LogFile.id).desc()).limit(limit).offset(offset)))


def add_log(
    session: Session, new: NewLog, outing_id: int | None, run_id: int | None, course_m: float, at: Moment
) -> LogFile:
    """Write a log down; one that was set aside comes back. Raises Conflict if its content is here already."""
    row = log_by_hash(session, new.sha256)
    if row is not None and row.set_aside_at is None:
        raise Conflict(f"{new.name}: the same file is here already, as {row.name}.")
    if row is None:
        row = LogFile(
            sha256=new.sha256,
            name=new.name,
            kind=new.kind,
            size_bytes=new.size_bytes,
            course_m=course_m,
            created_at=at.utc,
        )
    row.outing_id, row.asked_run_id, row.course_m, row.set_aside_at = outing_id, run_id, course_m, None
    session.add(row)
    session.flush()
    if new.track is not None:
        keep_samples(session, row, new, at)
    return row


def keep_samples(session: Session, row: LogFile, new: NewLog, at: Moment) -> None:
    """Write the samples of a log, in the place of any that are there."""
    assert new.track is not None and row.id is not None
    track = new.track
    row.kind, row.source, row.rate_hz = new.kind, new.source, new.rate_hz
    row.start_unix_s, row.samples, row.notes, row.read_at = (
        track.start_unix_s,
        len(track),
        json.dumps(new.notes),
        at.utc,
    )
    known = track.time_s[track.time_s == track.time_s]
    row.duration_s = float(known.max() - known.min()) if len(known) else 0.0
    session.add(row)
    session.execute(delete(LogChannel).where(col(LogChannel.log_id) == row.id))
    for block in pack_track(track):
        session.add(
            LogChannel(
                log_id=row.id,
                name=block.name,
                resolution=block.resolution,
                samples=block.samples,
                block=block.content,
            )
        )
    session.flush()


def track_of(session: Session, row: LogFile) -> Track:
    """The samples of a log. Raises Conflict if it has none yet."""
    rows = session.exec(select(LogChannel).where(LogChannel.log_id == row.id))
    blocks = [Block(one.name, one.resolution, one.samples, one.block) for one in rows]
    if not blocks:
        raise Conflict("This log has not been read yet: say first which column is what.")
    return unpack_track(blocks, row.start_unix_s)


def pieces_of(session: Session, log_id: int) -> list[LogPiece]:
    """The pieces of a log, in order of time."""
    return pieces_of_logs(session, [log_id])[log_id]


def pieces_of_logs(session: Session, log_ids: Iterable[int]) -> dict[int, list[LogPiece]]:
    """The pieces of some logs, in order of time, by log."""
    found: dict[int, list[LogPiece]] = {log_id: [] for log_id in log_ids}
    wanted = select(LogPiece).where(in_(LogPiece.log_id, found), LogPiece.number <= MOST_PIECES)
    for one in session.exec(wanted.order_by(col(LogPiece.log_id), col(LogPiece.number))):
        found[one.log_id].append(one)
    return found


def piece(session: Session, piece_id: int) -> LogPiece:
    """One piece. Raises NotFound."""
    found = session.get(LogPiece, piece_id)
    if found is None:
        raise NotFound("There is no such piece of a log in this notebook.")
    return found


def pieces_of_run(session: Session, run_id: int, *, limit: int = 20) -> list[tuple[LogPiece, LogFile]]:
    """The pieces that belong to a run, with their logs; of logs set aside none."""
    found = (
        select(LogPiece, LogFile)
        .where(LogPiece.log_id == LogFile.id, LogPiece.run_id == run_id, col(LogFile.set_aside_at).is_(None))
        .order_by(col(LogPiece.id))
        .limit(limit)
    )
    return [(row[0], row[1]) for row in session.exec(found)]


@dataclass(frozen=True)
class Measured:
    """What was measured in one piece: the stored figures, its corners."""

    start_s: float
    end_s: float
    found: Mapping[str, Any]


def write_pieces(session: Session, log_id: int, cut: Sequence[Measured]) -> list[LogPiece]:
    """Cut a log anew: pieces that begin within a second of an earlier one keep its run."""
    before = pieces_of(session, log_id)
    runs = [(one.start_s, one.run_id) for one in before if one.run_id is not None]
    ids = [one.id for one in before]
    session.execute(delete(LogCorner).where(in_(LogCorner.piece_id, [one for one in ids if one is not None])))
    session.execute(delete(LogPiece).where(col(LogPiece.log_id) == log_id))
    written = []
    for number, measured in enumerate(cut[:MOST_PIECES], 1):
        kept = next((run_id for start, run_id in runs if abs(start - measured.start_s) <= 1), None)
        row = LogPiece(log_id=log_id, number=number, run_id=kept, start_s=measured.start_s, end_s=measured.end_s)
        keep_measures(session, row, measured.found)
        written.append(row)
    return written


def keep_measures(session: Session, row: LogPiece, found: Mapping[str, Any]) -> None:
    """Write what was measured in a piece, and its corners."""
    row.top_kmh, row.peak_kmh = found["top_speed_kmh"], found["peak_kmh"]
    row.two_way_kmh = found["two_way"]["speed_kmh"] if found["two_way"] else None
    kept = {name: value for name, value in found.items() if name not in ("passes", "corners")}
    row.found = json.dumps(kept | {"corner_count": len(found["corners"])})
    session.add(row)
    session.flush()
    session.execute(delete(LogCorner).where(col(LogCorner.piece_id) == row.id))
    names = ("entry_kmh", "lowest_kmh", "exit_kmh", "radius_m", "lateral_g", "kept_percent", "turned_deg")
    for number, corner in enumerate(found["corners"][:MOST_CORNERS], 1):
        session.add(LogCorner(piece_id=row.id, number=number, **{name: corner[name] for name in names}))
    session.flush()


def give_runs(session: Session, pieces: Sequence[LogPiece], runs: Mapping[int, int | None]) -> None:
    """Say which run each piece belongs to, by the piece's number."""
    for row in pieces:
        if row.number in runs:
            row.run_id = runs[row.number]
            session.add(row)
    session.flush()


def set_aside(session: Session, log_id: int, at: str | None) -> LogFile:
    """Set a log aside, or bring it back with None; its file and samples stay."""
    row = log(session, log_id)
    row.set_aside_at = at
    session.add(row)
    return row


def course_of_water(session: Session, outing_id: int | None) -> float | None:
    """The marked course of the water of an outing."""
    if outing_id is None:
        return None
    found = select(Water.course_m).join(Outing, col(Outing.water_id) == col(Water.id)).where(Outing.id == outing_id)
    return session.exec(found).first()


def restored_of(session: Session, log_id: int) -> list[LogRestored]:
    """The samples that a person lets count."""
    found = select(LogRestored).where(LogRestored.log_id == log_id, col(LogRestored.taken_back_at).is_(None))
    return list(session.exec(found.order_by(col(LogRestored.id))))


def restore(session: Session, log_id: int, first: int, last: int, why: str, at: Moment) -> LogRestored:
    """Let samples `first` to `last` count, with a reason."""
    row = LogRestored(log_id=log_id, first_sample=first, last_sample=last, why=why, at=at.utc)
    session.add(row)
    session.flush()
    return row


def take_back_restored(session: Session, log_id: int, restored_id: int, at: Moment) -> None:
    """Strike restored samples out again. Raises NotFound."""
    row = session.get(LogRestored, restored_id)
    if row is None or row.log_id != log_id:
        raise NotFound("Nothing like that was brought back in this log.")
    row.taken_back_at = at.utc
    session.add(row)
    session.flush()
