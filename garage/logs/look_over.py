"""Logs measured before speeds were held against places, held against them once."""

from __future__ import annotations

import json
import logging

from sqlalchemy import Engine, func
from sqlmodel import Session, col, select

from garage.calc.track.agreement import ONE_WITNESS
from garage.db.engine import reading, writing
from garage.errors import Conflict
from garage.logs.cutting import look_at_part, worth_keeping
from garage.logs.denied import figures_of, note_denied
from garage.logs.store import keep_measures, log, pieces_of, restored_of, track_of
from garage.logs.tables import LogChannel, LogFile, LogPiece
from garage.logs.track_json import track_json

told = logging.getLogger("garage")
_AGREEMENT = ("agreement", "witnesses")


def look_over_logs(engine: Engine) -> int:
    """Look once at every log of which nobody knows yet whether it contradicts itself; how many there were.

    Each is written down by itself, so that an end in between loses nothing. What does not contradict itself keeps
    its figures as they were measured.
    """
    with reading(engine) as session:
        waiting = _unknown(session)
    for log_id in waiting:
        with writing(engine) as session:
            try:
                _look_over(session, log(session, log_id))
            except (Conflict, ValueError) as unreadable:
                told.warning("Log %s could not be looked over: %s", log_id, unreadable)
    return len(waiting)


def _unknown(session: Session) -> list[int]:
    known = func.json_extract(col(LogPiece.found), "$.agreement")
    return list(session.exec(select(LogPiece.log_id).where(known.is_(None)).distinct().order_by(col(LogPiece.log_id))))


def _look_over(session: Session, row: LogFile) -> None:
    pieces = pieces_of(session, row.id)
    if not _has_two_witnesses(session, row):
        for piece in pieces:
            _add(piece, {"agreement": ONE_WITNESS, "witnesses": {}})
            session.add(piece)
        return
    track, brought_back, earlier = track_of(session, row), restored_of(session, row.id), {}
    for piece in pieces:
        looked = look_at_part(row, track, brought_back, piece.start_s, piece.end_s)
        if looked.measures.agreement.is_disputed:
            earlier[piece.number] = figures_of(json.loads(piece.found))
            keep_measures(session, piece, worth_keeping(looked))
        else:
            found = track_json(looked.measures)
            _add(piece, {name: found[name] for name in _AGREEMENT})
            session.add(piece)
    session.flush()
    note_denied(session, row, pieces, earlier)


def _has_two_witnesses(session: Session, row: LogFile) -> bool:
    names = set(session.exec(select(LogChannel.name).where(LogChannel.log_id == row.id)))
    return {"speed_ms", "lat_deg", "lon_deg"} <= names


def _add(piece: LogPiece, known: dict) -> None:
    piece.found = json.dumps(json.loads(piece.found) | known)
