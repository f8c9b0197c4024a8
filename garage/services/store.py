"""Queries and writes of service: care that moves the speed without being a change."""

import json
from collections.abc import Iterable
from dataclasses import dataclass

from sqlalchemy import text
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.errors import NotFound
from garage.fields.definition import FormData
from garage.hulls.store import hull
from garage.moments import Moment
from garage.services.tables import Service, ServiceRule

# What a new hull begins with, until the person writes rules of their own: kind -> (runs, minutes).
# Grease after 3 runs is what racers keep to; common practice, no source.
FIRST_RULES: dict[str, tuple[int | None, float | None]] = {"greased": (3, None)}

_LAST = text("""
    SELECT asked.value ->> 0, asked.value ->> 1, asked.value ->> 2, last.id, last.at, last.offset_min
    FROM json_each(:asked) AS asked JOIN service AS last ON last.id = (
        SELECT id FROM service
        WHERE hull_id = asked.value ->> 0 AND kind = asked.value ->> 1 AND at <= :before
              AND set_aside_at IS NULL AND (asked.value ->> 2 = '' OR place IN (asked.value ->> 2, 'single'))
        ORDER BY at DESC, id DESC LIMIT 1)
""")


@dataclass(frozen=True)
class LastService:
    """When something was last served."""

    id: int
    moment: Moment


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


def last_services(
    session: Session, asked: Iterable[tuple[int, str, str]], before_utc: str
) -> dict[tuple[int, str, str], LastService]:
    """The latest service at or before a moment for each hull, kind and place asked for, where there is one.

    The place '' means all places at once.
    """
    wanted = json.dumps([list(one) for one in asked])
    rows = session.execute(_LAST, {"asked": wanted, "before": before_utc})
    return {
        (hull_id, kind, place): LastService(service_id, Moment(at, offset_min))
        for hull_id, kind, place, service_id, at, offset_min in rows
    }


def service_rules(session: Session, hull_id: int) -> list[ServiceRule]:
    """When which service is due on a hull: the person's own rules, or the first ones while there are none.

    A rule with neither runs nor minutes says that this kind is never due.
    """
    return service_rules_of(session, [hull_id])[hull_id]


def service_rules_of(session: Session, hull_ids: Iterable[int]) -> dict[int, list[ServiceRule]]:
    """The same for some hulls, by hull."""
    written: dict[int, list[ServiceRule]] = {hull_id: [] for hull_id in hull_ids}
    wanted = select(ServiceRule).where(in_(ServiceRule.hull_id, written)).order_by(col(ServiceRule.kind))
    for rule in session.exec(wanted):
        written[rule.hull_id].append(rule)
    return {hull_id: _with_first_rules(hull_id, own) for hull_id, own in written.items()}


def _with_first_rules(hull_id: int, own: list[ServiceRule]) -> list[ServiceRule]:
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
    known = {rule.kind: rule for rule in session.exec(select(ServiceRule).where(ServiceRule.hull_id == hull_id))}
    for form in rules:
        rule = known.get(form["kind"]) or ServiceRule(hull_id=hull_id, **form)
        rule.sqlmodel_update(dict(form))
        session.add(rule)
