"""Which logs were measured before speeds were held against places: asked at every start, answered mostly by none."""

from sqlalchemy import func
from sqlmodel import Session, col, select

from garage.logs.tables import LogPiece


def not_looked_over(session: Session) -> list[int]:
    """The numbers of the logs of which nobody knows yet whether they contradict themselves."""
    known = func.json_extract(col(LogPiece.found), "$.agreement")
    return list(session.exec(select(LogPiece.log_id).where(known.is_(None)).distinct().order_by(col(LogPiece.log_id))))
