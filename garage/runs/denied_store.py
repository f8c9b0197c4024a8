"""Speeds that a log contradicts itself in: which runs have one, so that no record counts it.

A run has one as long as its speed is one of the figures that its log's places deny. Another speed ends that; the
figures stay, so that one of them typed once more is known again.
"""

from __future__ import annotations

from collections.abc import Collection
from functools import cache

from sqlalchemy import ColumnElement, ScalarSelect, exists, func
from sqlmodel import Session, col, select

from garage.runs.tables import DeniedSpeed, Run

# Pages show tenths, so a figure typed from one is this far off at most.
_SHOWN_WITHIN_KMH = 0.06
# The same over the table `run`, for queries in words.
DENIED_SQL = (
    "EXISTS (SELECT 1 FROM denied_speed WHERE denied_speed.run_id = run.id"
    f" AND abs(denied_speed.speed_kmh - run.speed_kmh) < {_SHOWN_WITHIN_KMH})"
)


def _is_its_speed() -> ColumnElement[bool]:
    return func.abs(col(DeniedSpeed.speed_kmh) - col(Run.speed_kmh)) < _SHOWN_WITHIN_KMH


def is_denied() -> ColumnElement[bool]:
    """For queries over runs: the speed written is one that its log's places deny."""
    return exists().where(col(DeniedSpeed.run_id) == col(Run.id), _is_its_speed())


@cache
def witnesses() -> ScalarSelect:
    """For queries over runs: what receiver and places said where the places deny the speed, as JSON; else NULL."""
    said = func.json_array(col(DeniedSpeed.receiver_kmh), col(DeniedSpeed.places_kmh))
    found = select(said).where(col(DeniedSpeed.run_id) == col(Run.id), _is_its_speed()).order_by(col(DeniedSpeed.id))
    return found.limit(1).correlate(Run).scalar_subquery()


def keep_denied(
    session: Session,
    run_id: int,
    log_id: int,
    speeds_kmh: Collection[float],
    receiver_kmh: float | None,
    places_kmh: float | None,
) -> None:
    """Keep the figures of a log that its places deny. A run that has one of them by now is news for Home."""
    known = _figures(session, run_id, log_id)
    for speed in {round(one, 2) for one in speeds_kmh} - {row.speed_kmh for row in known}:
        row = DeniedSpeed(
            run_id=run_id, log_id=log_id, speed_kmh=speed, receiver_kmh=receiver_kmh, places_kmh=places_kmh
        )
        written = session.get(Run, run_id)
        row.is_news = bool(written and abs((written.speed_kmh or 0) - speed) < _SHOWN_WITHIN_KMH)
        session.add(row)
    session.flush()


def drop_denied(session: Session, run_id: int, log_id: int, speeds_kmh: Collection[float]) -> None:
    """Figures of a log that its places no longer deny, as it is read now."""
    for row in _figures(session, run_id, log_id):
        if any(abs(row.speed_kmh - speed) < _SHOWN_WITHIN_KMH for speed in speeds_kmh):
            session.delete(row)
    session.flush()


def _figures(session: Session, run_id: int, log_id: int) -> list[DeniedSpeed]:
    return list(session.exec(select(DeniedSpeed).where(DeniedSpeed.run_id == run_id, DeniedSpeed.log_id == log_id)))


def news(session: Session, most: int) -> list[tuple[DeniedSpeed, Run]]:
    """Runs with such a speed that nobody was told of yet, latest first."""
    rows = session.exec(
        select(DeniedSpeed, Run)
        .join(Run, col(Run.id) == col(DeniedSpeed.run_id))
        .where(col(DeniedSpeed.is_news).is_(True), _is_its_speed(), col(Run.set_aside_at).is_(None))
        .order_by(col(Run.started_at).desc(), col(DeniedSpeed.id))
        .limit(most)
    )
    return list({run.id: (row, run) for row, run in rows}.values())


def notice(session: Session, run_id: int) -> None:
    """Name a run's denied speed on Home no more."""
    for row in session.exec(select(DeniedSpeed).where(DeniedSpeed.run_id == run_id)):
        row.is_news = False
        session.add(row)
    session.flush()
