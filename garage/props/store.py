"""Queries and writes of props and their editions."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cache
from typing import Any

from sqlalchemy import Integer, cast, func, literal
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from garage.corrections.same_store import kept_id
from garage.corrections.store import add_corrections
from garage.db.in_ids import in_
from garage.errors import Conflict, NotFound
from garage.inventory.store import add_row, bearer_of, in_order, is_kept
from garage.moments import Moment
from garage.preferences.store import display_units
from garage.props.forms import Mending, NewProp, Rework
from garage.props.kinds import PROPS
from garage.props.tables import Prop, PropEdition
from garage.shelf.lending import named_lent
from garage.shelf.loan_store import has_it
from garage.shelf.tables import Loan
from garage.units import show

MOST_EDITIONS = 200


@dataclass(frozen=True)
class EditionText:
    """An edition as other pages name it: `text` is like `P7 ed. 3, 44 × 66` (mm by mm, unless another unit is
    preferred and said)."""

    id: int
    prop_id: int
    code: str
    number: int
    text: str
    diameter_mm: float | None
    pitch_mm: float | None
    ratio: float | None
    blades: int
    hand: str


def prop(session: Session, prop_id: int) -> Prop:
    """One prop. Raises NotFound."""
    found = session.get(Prop, prop_id)
    if found is None:
        raise NotFound("There is no such prop in this notebook.")
    return found


def props(
    session: Session, *, retired: bool = False, limit: int = 50, offset: int = 0
) -> list[tuple[Prop, PropEdition]]:
    """Props in use, or those retired, by code, each with its latest edition."""
    return list(session.exec(_with_latest().where(is_kept(PROPS, retired=retired)).limit(limit).offset(offset)))


def latest_editions(session: Session, *, also: Iterable[int] = (), limit: int = 100) -> list[EditionText]:
    """The latest edition of each prop in use, by code, with the word on one that is lent: of the first `limit` props,
    and of those with the ids `also`."""
    wanted = _with_latest().add_columns(Loan).outerjoin(Loan, has_it("prop", col(Prop.id))).where(is_kept(PROPS))
    first = select(Prop.id).where(is_kept(PROPS)).order_by(*in_order(PROPS)).limit(limit)
    wanted = wanted.where(col(Prop.id).in_(first) | in_(col(Prop.id), also))
    unit = display_units(session).unit("length")
    found = [(edition_text(row, made, unit), loan) for row, made, loan in session.exec(wanted)]
    return [replace(text, text=named_lent(text.text, loan)) for text, loan in found]


def edition_texts(session: Session, ids: Iterable[int]) -> dict[int, EditionText]:
    """How some editions are named, by id."""
    rows = session.exec(
        select(Prop, PropEdition)
        .join(PropEdition, col(PropEdition.prop_id) == col(Prop.id))
        .where(in_(col(PropEdition.id), ids))
    )
    unit = display_units(session).unit("length")
    return {text.id: text for text in (edition_text(*row, unit) for row in rows)}


def latest_of(session: Session, edition_ids: Iterable[int]) -> dict[int, EditionText]:
    """How what the props of some editions are now is named, by the ids of those editions, with the word on one that is
    lent."""
    unit = display_units(session).unit("length")
    return {
        edition_id: _named_with(edition_text(row, made, unit), loan)
        for edition_id, (row, made, loan) in _latest_rows(session, edition_ids).items()
    }


def _named_with(one: EditionText, loan: Loan | None) -> EditionText:
    return replace(one, text=named_lent(one.text, loan))


def latest_rows_of(session: Session, edition_ids: Iterable[int]) -> dict[int, tuple[Prop, PropEdition]]:
    """The props of some editions, each with its latest edition, by the ids of those editions."""
    return {edition_id: (row, made) for edition_id, (row, made, _) in _latest_rows(session, edition_ids).items()}


def _latest_rows(session: Session, edition_ids: Iterable[int]) -> dict[int, tuple[Prop, PropEdition, Loan | None]]:
    ids = set(edition_ids)
    if not ids:
        return {}
    asked = _asked_edition()
    wanted = _with_latest().add_columns(asked.id, Loan).join(asked, col(asked.prop_id) == Prop.id)
    rows = session.exec(wanted.outerjoin(Loan, has_it("prop", col(Prop.id))).where(in_(asked.id, ids)))
    return {edition_id: (row, made, loan) for row, made, edition_id, loan in rows}


@cache
def _asked_edition():
    return aliased(PropEdition)


def edition_by_code(session: Session, typed_code: str) -> PropEdition | None:
    """The latest edition of the prop with that code, upper or lower case; None if there is none."""
    found = bearer_of(session, PROPS, typed_code)
    return latest_edition(session, found.id) if found else None


def editions(session: Session, prop_id: int) -> list[PropEdition]:
    """The editions of one prop, newest first; of one that is the same as another, those of the other."""
    stands = select(kept_id("prop", literal(prop_id))).scalar_subquery()
    return list(
        session.exec(
            select(PropEdition)
            .where(PropEdition.prop_id == stands)
            .order_by(col(PropEdition.number).desc())
            .limit(MOST_EDITIONS)
        )
    )


def edition(session: Session, prop_id: int, number: int) -> PropEdition:
    """One edition by its number. Raises NotFound."""
    found = session.exec(
        select(PropEdition).where(PropEdition.prop_id == prop_id, PropEdition.number == number)
    ).first()
    if found is None:
        raise NotFound("There is no such edition of this prop.")
    return found


def latest_edition(session: Session, prop_id: int) -> PropEdition:
    """The edition that a prop is now. Raises NotFound."""
    prop(session, prop_id)
    return editions(session, prop_id)[0]


def suggest_code(session: Session) -> str:
    """The next free code of the kind P1, P2, P3."""
    number = func.max(cast(func.substr(Prop.code, 2), Integer))
    highest = session.exec(select(number).where(col(Prop.code).op("GLOB")("P[0-9]*"))).one()
    return f"P{min(highest or 0, 10**9) + 1}"


def add_prop(session: Session, new: NewProp, at: Moment) -> Prop:
    """Write down a prop and its first edition. Raises Conflict if the code is taken."""
    row: Prop = add_row(session, PROPS, new.prop, at)
    made = _start_of(new.prop["bought_on"]) or at
    session.add(
        PropEdition(
            prop_id=row.id, number=1, **new.edition, made_at=made.utc, offset_min=made.offset_min,
            created_at=at.utc,
        )
    )  # fmt: skip
    session.flush()
    return row


def add_edition(session: Session, before: PropEdition, rework: Rework, at: Moment) -> PropEdition:
    """The next edition of a prop after a rework of `before`; what was left open is carried over."""
    made = rework.made or at
    row = PropEdition(
        prop_id=before.prop_id, number=before.number + 1, **_carried_over(rework, before),
        made_at=made.utc, offset_min=made.offset_min, created_at=at.utc,
    )  # fmt: skip
    session.add(row)
    session.flush()
    return row


def mend_edition(session: Session, row: PropEdition, mending: Mending, at: Moment) -> None:
    """Put an edition's figures right; what stood there before is kept as corrections, with the reason."""
    mended = []
    for name, value in mending.edition.items():
        before = getattr(row, name)
        if before != value:
            mended.append((name, _written(before), _written(value)))
            setattr(row, name, value)
    add_corrections(session, "edition", row.id, mended, mending.why, at)


def take_back_edition(session: Session, prop_id: int, number: int) -> None:
    """Remove the latest edition while nothing rests on it. Raises NotFound, Conflict."""
    row = edition(session, prop_id, number)
    if number == 1 or number != latest_edition(session, prop_id).number:
        raise Conflict("Only the latest rework can be taken back.")
    session.delete(row)
    try:
        session.flush()
    except IntegrityError as error:
        raise Conflict("A run was made with this edition, so it stays.") from error


@cache
def _with_latest():
    newest = (
        select(func.max(PropEdition.number)).where(PropEdition.prop_id == Prop.id).correlate(Prop).scalar_subquery()
    )
    return (
        select(Prop, PropEdition)
        .join(PropEdition, (col(PropEdition.prop_id) == col(Prop.id)) & (col(PropEdition.number) == newest))
        .order_by(*in_order(PROPS))
    )


def edition_text(row: Prop, made: PropEdition, unit: str) -> EditionText:
    """How an edition is named, its size in `unit`."""
    diameter, pitch = made.diameter_mm, made.pitch_mm
    text = f"{row.code} ed. {made.number}{_size(diameter, pitch, unit)}"
    ratio = pitch / diameter if pitch and diameter else None
    return EditionText(made.id, row.id, row.code, made.number, text, diameter, pitch, ratio, row.blades, row.hand)


def _size(diameter_mm: float | None, pitch_mm: float | None, unit: str) -> str:
    known = [figure for figure in (diameter_mm, pitch_mm) if figure is not None]
    if not known:
        return ""
    if unit == "mm":
        return ", " + " × ".join(f"{round(figure, 1):g}" for figure in known)
    return ", " + " × ".join(show(figure, "length", unit, decimals=2).text for figure in known) + f" {unit}"


def _carried_over(rework: Rework, before: PropEdition) -> dict[str, Any]:
    """What a rework leaves as it was. Cutting down leaves the pitch, so that the ratio follows; the mass
    is no longer known once metal was taken off or put on."""
    now = dict(rework.edition)
    if now["diameter_mm"] is None and before.diameter_mm is not None:
        now |= {"diameter_mm": before.diameter_mm, "diameter_from": "carried over"}
    if now["pitch_mm"] is None and before.pitch_mm is not None:
        now |= {"pitch_mm": before.pitch_mm, "pitch_from": "carried over"}
    if rework.done == {"measured again"}:
        blades = now["pitch_per_blade_mm"] or before.pitch_per_blade_mm
        now |= {"mass_g": now["mass_g"] or before.mass_g, "pitch_per_blade_mm": blades}
    return now


def _start_of(day: str) -> Moment | None:
    return Moment.of(datetime.fromisoformat(day).astimezone()) if day else None


def _written(value: object) -> str:
    return "" if value is None else str(value)
