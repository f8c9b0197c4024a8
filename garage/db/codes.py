"""Short codes that a person can write on a thing with a pen: a letter and the next free number."""

from sqlalchemy import Integer, cast, func
from sqlalchemy.orm import InstrumentedAttribute
from sqlmodel import Session, select


def next_code(session: Session, column: InstrumentedAttribute[str], prefix: str) -> str:
    """`prefix` with the number after the largest one in use, such as `M4` when `M3` is the last."""
    digits = func.substr(column, len(prefix) + 1)
    largest = session.exec(
        select(func.max(cast(digits, Integer))).where(
            column.op("GLOB")(f"{prefix}[0-9]*"), digits.op("NOT GLOB")("*[^0-9]*"), func.length(digits) < 7
        )
    ).one()
    return f"{prefix}{(largest or 0) + 1}"
