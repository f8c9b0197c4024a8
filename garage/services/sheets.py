"""What the pages of service show."""

from collections.abc import Sequence
from dataclasses import dataclass

from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.services.forms import rule_field, rule_values
from garage.services.tables import SERVICE_KINDS, Service, ServiceRule
from garage.states.tables import PLACES
from garage.units import DisplayUnits


@dataclass(frozen=True)
class ServiceLine:
    """One service in the list."""

    id: int
    at: Moment
    kind: str
    place: str
    note: str
    set_aside: bool


@dataclass(frozen=True)
class ServiceListSheet:
    """A hull's services."""

    hull_id: int
    hull: str
    rows: list[ServiceLine]
    page: int
    more: bool


@dataclass(frozen=True)
class ServiceFormSheet:
    """The form of a service."""

    hull_id: int
    hull: str
    values: dict[str, str]
    kinds: tuple[str, ...] = SERVICE_KINDS
    places: tuple[str, ...] = PLACES


@dataclass(frozen=True)
class RulesSheet:
    """When which service is due on a hull: kind of service and the beginning of its fields' names."""

    hull_id: int
    hull: str
    kinds: list[tuple[str, str]]
    values: dict[str, str]


def service_list_sheet(hull: Hull, rows: Sequence[Service], page: int, limit: int) -> ServiceListSheet:
    """The list; `rows` holds one more than `limit` if there is a further page."""
    lines = [
        ServiceLine(
            row.id,
            Moment(row.at, row.offset_min),
            row.kind,
            row.place,
            row.note,
            row.set_aside_at is not None,
        )
        for row in rows[:limit]
    ]
    return ServiceListSheet(hull.id, hull.name, lines, page, len(rows) > limit)


def service_form_sheet(hull: Hull, now: Moment, kind: str) -> ServiceFormSheet:
    """The form of a new service; `kind` may be chosen by the link that led here."""
    return ServiceFormSheet(
        hull.id, hull.name, {"kind": kind, "place": "single", "at": now.local_text(), "note": ""}
    )


def rules_sheet(hull: Hull, rules: Sequence[ServiceRule], units: DisplayUnits) -> RulesSheet:
    """The form of a hull's rules."""
    kinds = [(kind, rule_field(kind)) for kind in SERVICE_KINDS if kind != "other"]
    return RulesSheet(hull.id, hull.name, kinds, rule_values(rules, units))
