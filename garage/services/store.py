"""Queries and writes of service: care that moves the speed without being a change."""

import json
from collections.abc import Iterable
from dataclasses import dataclass

from sqlalchemy import text
from sqlmodel import Session, col, select

from garage.errors import NotFound
from garage.fields.definition import FormData
from garage.hulls.store import hull
from garage.moments import Moment
from garage.services.tables import Service, ServiceRule

# What a new hull begins with, until the person writes rules of their own: kind -> (runs, minutes).
# Grease after 3 runs is what racers keep to; common practice, no source.
FIRST_RULES: dict[str, tuple[int | None, float | None]] = {"greased": (3, None)}

_STANDING = text("""
    SELECT asked.value ->> 0, asked.value ->> 1, asked.value ->> 2, last.id, last.at, last.offset_min,
           rule.id, rule.runs, rule.minutes
    FROM json_each(:asked) AS asked
    LEFT JOIN service_rule AS rule ON rule.hull_id = asked.value ->> 0 AND rule.kind = asked.value ->> 1
    LEFT JOIN service AS last ON last.id = (
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


@dataclass(frozen=True)
class ServiceRuled:
    """When one kind of service was last done at a place of a hull, and the rule on when it is due; None for neither."""

    last: LastService | None
    rule: ServiceRule | None


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


def last_services(
    session: Session, asked: Iterable[tuple[int, str, str]], before_utc: str
) -> dict[tuple[int, str, str], ServiceRuled]:
    """The latest service at or before a moment for each hull, kind and place asked for, with the rule on it.

    The place '' means all places at once.
    """
    wanted = json.dumps([list(one) for one in asked])
    found = {}
    for hull_id, kind, place, service_id, at, offset_min, rule_id, runs, minutes in session.execute(
        _STANDING, {"asked": wanted, "before": before_utc}
    ):
        written = ServiceRule(hull_id=hull_id, kind=kind, runs=runs, minutes=minutes) if rule_id else None
        last = LastService(service_id, Moment(at, offset_min)) if service_id else None
        found[hull_id, kind, place] = ServiceRuled(last, _in_force(written or _first_rule(hull_id, kind)))
    return found


def service_rules(session: Session, hull_id: int) -> list[ServiceRule]:
    """When which service is due on a hull: the person's own rules, or the first ones while there are none.

    A rule with neither runs nor minutes says that this kind is never due.
    """
    own = select(ServiceRule).where(ServiceRule.hull_id == hull_id).order_by(col(ServiceRule.kind))
    written = {rule.kind: rule for rule in session.exec(own)}
    rules = [*written.values(), *(_first_rule(hull_id, kind) for kind in FIRST_RULES if kind not in written)]
    return [rule for rule in rules if rule and _in_force(rule)]


def _first_rule(hull_id: int, kind: str) -> ServiceRule | None:
    if kind not in FIRST_RULES:
        return None
    runs, minutes = FIRST_RULES[kind]
    return ServiceRule(hull_id=hull_id, kind=kind, runs=runs, minutes=minutes)


def _in_force(rule: ServiceRule | None) -> ServiceRule | None:
    """A rule, unless it says that its kind is never due."""
    return rule if rule and (rule.runs is not None or rule.minutes is not None) else None


def keep_rules(session: Session, hull_id: int, rules: Iterable[FormData]) -> None:
    """Write a hull's rules anew, one for each kind of service. Raises NotFound."""
    hull(session, hull_id)
    known = {rule.kind: rule for rule in session.exec(select(ServiceRule).where(ServiceRule.hull_id == hull_id))}
    for form in rules:
        rule = known.get(form["kind"]) or ServiceRule(hull_id=hull_id, **form)
        rule.sqlmodel_update(dict(form))
        session.add(rule)
