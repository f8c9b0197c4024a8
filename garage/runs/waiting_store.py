"""Which runs wait for their evening, asked of all at once: the rule of `lines/missing.py` in the words of SQL.

A test holds the two against each other.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from sqlalchemy import case, func, literal, update
from sqlalchemy.sql.elements import ColumnElement
from sqlmodel import Session, SQLModel, and_, col, false, not_, or_, select, true

from garage.preferences.instruments import OF_SPOT
from garage.runs.fields import FIELDS, PACK_FIELDS, RunField
from garage.runs.tables import Run, RunPack, RunProp, RunTemperature
from garage.waters.tables import Outing

# So many runs say whether anybody measures a thing at all.
LOOKED_AT = 12


@dataclass(frozen=True)
class _Lack:
    """One thing that a run may lack, and what it is measured with; '' where nothing is needed for it."""

    instrument: str
    is_missing: ColumnElement[bool]


def ask_by(session: Session, not_measured: Collection[str]) -> int:
    """Let every run wait, or not, as these instruments are missing; how many that changed for.

    One statement, whatever is written; it runs when a person says what is measured, and never for a page.
    """
    waits = and_(
        col(Run.set_aside_at).is_(None),
        col(Run.waved_away_at).is_(None),
        or_(
            false(),
            *(lack.is_missing for lack in _lacks() if lack.instrument not in not_measured),
            _spots(not_measured),
        ),
    )
    done = session.execute(update(Run).where(col(Run.waiting) != waits).values(waiting=waits))
    session.expire_all()
    return done.rowcount  # type: ignore[attr-defined,no-any-return]


def asked_in_vain(session: Session, not_measured: Collection[str]) -> list[str]:
    """The instruments by which nothing was measured in any of the latest runs, although it was asked for."""
    latest = select(Run.id).where(col(Run.set_aside_at).is_(None)).order_by(col(Run.started_at).desc()).limit(LOOKED_AT)
    asked: dict[str, list[ColumnElement[bool]]] = {}
    for lack in (*_lacks(), *_conditions(), *(_Lack(name, _no_reading(spot)) for spot, name in OF_SPOT.items())):
        if lack.instrument and lack.instrument not in not_measured:
            asked.setdefault(lack.instrument, []).append(lack.is_missing)
    every = [func.min(case((and_(*missing), 1), else_=0)).label(name) for name, missing in asked.items()]
    row = session.execute(
        select(func.count(), *every)
        .select_from(Run)
        .join(Outing, col(Outing.id) == Run.outing_id)
        .where(col(Run.id).in_(latest))  # type: ignore[call-overload]
    ).one()
    return [name for name, is_missing in zip(asked, row[1:], strict=True) if is_missing] if row[0] >= LOOKED_AT else []


def _lacks() -> Iterable[_Lack]:
    for words in dict.fromkeys(field.missed for field in FIELDS if field.missed):
        alike = [field for field in FIELDS if field.missed == words]
        yield _Lack(alike[0].instrument, _is_missing(alike))
    yield _Lack("", and_(not_(_has(RunProp)), _is_said("prop")))
    yield _Lack("", and_(not_(_has(RunPack)), _is_said("pack")))
    for field in PACK_FIELDS:
        if field.missed:
            lacking = select(RunPack.pack_id).where(RunPack.run_id == Run.id, _is_open(RunPack, field))
            yield _Lack(field.instrument, lacking.correlate(Run).exists())


def _conditions() -> Iterable[_Lack]:
    yield from (
        _Lack("air", col(Outing.air_c).is_(None)),
        _Lack("water", col(Outing.water_c).is_(None)),
        _Lack("wind", col(Outing.wind_ms).is_(None)),
    )


def _spots(not_measured: Collection[str]) -> ColumnElement[bool]:
    """Whether no temperature was read, where one could be."""
    return false() if set(OF_SPOT.values()) <= set(not_measured) else not_(_has(RunTemperature))


def _no_reading(spot: str) -> ColumnElement[bool]:
    read = select(RunTemperature.id).where(RunTemperature.run_id == Run.id, RunTemperature.spot == spot)
    return not_(read.correlate(Run).exists())


def _has(table: type[RunProp] | type[RunPack] | type[RunTemperature]) -> ColumnElement[bool]:
    return select(literal(1)).where(table.run_id == Run.id).correlate(Run).exists()


def _is_said(word: str) -> ColumnElement[bool]:
    """Whether nobody said of it that it is not known."""
    return func.instr(Run.not_known, word) == 0


def _is_missing(alike: Iterable[RunField]) -> ColumnElement[bool]:
    """Whether all of these fields are open that are asked for, and one of them is."""
    asked = [(_is_asked(field), _is_open(Run, field)) for field in alike]
    return and_(
        or_(*(is_asked for is_asked, _ in asked)), *(or_(not_(is_asked), is_open) for is_asked, is_open in asked)
    )


def _is_open(table: type[SQLModel], field: RunField) -> ColumnElement[bool]:
    column = getattr(table, field.column)
    return col(column).is_(None) if field.is_number else column == ""


def _is_asked(field: RunField) -> ColumnElement[bool]:
    is_measured = and_(col(Run.speed_kmh).is_not(None), Run.speed_how != "by eye")
    asked = {
        "speed_kmh": and_(Run.kind == "speed", _is_said("speed")),
        "speed_how": col(Run.speed_kmh).is_not(None),
        "ways": is_measured,
        "passes": is_measured,
    }
    return asked.get(field.column, true())
