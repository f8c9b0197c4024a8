"""Queries and writes of service: care that moves the speed without being a change."""

from collections.abc import Iterable

from sqlmodel import Session, col, select

from garage.errors import NotFound
from garage.fields.definition import FormData
from garage.hulls.store import hull
from garage.moments import Moment
from garage.services.tables import Service, ServiceRule

# What a new hull begins with, until the person writes rules of their own: kind -> (runs, minutes).
# Grease after 3 runs is what racers keep to; common practice, no source.
FIRST_RULES: dict[str, tuple[int | None, float | None]] = {"greased": (3, None)}


def service(session: Session, service_id: int) -> Service:
    """One service. Raises NotFound."""
    found = session.get(Service, service_id)
    if found is None:
        raise NotFound("There is no such service in this notebook.")
    return found


def add_service(session: Session, hull_id: int, form: FormData, now: Moment) -> Service:
    """Write down a service. Raises NotFound if there is no such hull."""
    hull(session, hull_id)
    new = Service(hull_id=hull_id, **form, created_at=now.utc)
    session.add(new)
    session.flush()
    return new


def set_aside_service(session: Session, service_id: int, at: str | None) -> Service:
    """Set a service aside, or bring it back with None. Raises NotFound."""
    found = service(session, service_id)
    found.set_aside_at = at
    session.add(found)
    return found


def services(session: Session, hull_id: int, *, limit: int, offset: int = 0) -> list[Service]:
    """A hull's services, those set aside among them, newest first."""
    return list(
        session.exec(
            select(Service)
            .where(Service.hull_id == hull_id)
            .order_by(col(Service.at).desc(), col(Service.id).desc())
            .limit(limit)
            .offset(offset)
        )
    )


def services_since(session: Session, hull_id: int, from_utc: str, to_utc: str = "9999") -> list[Service]:
    """A hull's services from one moment to another, both included, oldest first."""
    return list(
        session.exec(
            select(Service)
            .where(
                Service.hull_id == hull_id,
                Service.at >= from_utc,
                Service.at <= to_utc,
                col(Service.set_aside_at).is_(None),
            )
            .order_by(col(Service.at), col(Service.id))
        )
    )


def last_service(
    session: Session, hull_id: int, kind: str, before_utc: str, place: str = ""
) -> Service | None:
    """The latest service of a kind at or before a moment; of a `place`, or of all places at once, if given."""
    at_place = [col(Service.place).in_((place, "single"))] if place else []
    return session.exec(
        select(Service)
        .where(
            Service.hull_id == hull_id,
            Service.kind == kind,
            Service.at <= before_utc,
            col(Service.set_aside_at).is_(None),
            *at_place,
        )
        .order_by(col(Service.at).desc(), col(Service.id).desc())
        .limit(1)
    ).first()


def service_rules(session: Session, hull_id: int) -> list[ServiceRule]:
    """When which service is due on a hull: the person's own rules, or the first ones while there are none.

    A rule with neither runs nor minutes says that this kind is never due.
    """
    own = list(
        session.exec(
            select(ServiceRule).where(ServiceRule.hull_id == hull_id).order_by(col(ServiceRule.kind))
        )
    )
    written = {rule.kind for rule in own}
    first = [
        ServiceRule(hull_id=hull_id, kind=kind, runs=runs, minutes=minutes)
        for kind, (runs, minutes) in FIRST_RULES.items()
        if kind not in written
    ]
    return [rule for rule in (*own, *first) if rule.runs is not None or rule.minutes is not None]


def keep_rules(session: Session, hull_id: int, rules: Iterable[FormData]) -> None:
    """Write a hull's rules anew, one for each kind of service. Raises NotFound."""
    hull(session, hull_id)
    known = {
        rule.kind: rule for rule in session.exec(select(ServiceRule).where(ServiceRule.hull_id == hull_id))
    }
    for form in rules:
        rule = known.get(form["kind"]) or ServiceRule(hull_id=hull_id, **form)
        rule.sqlmodel_update(dict(form))
        session.add(rule)
