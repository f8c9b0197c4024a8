"""What the pages of service show."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from garage.fields.definition import Field
from garage.fields.forms import fresh
from garage.fields.showing import Facts, FieldValues, facts, values
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.services.fields import FIELDS, SERVICE_KINDS
from garage.services.forms import KINDS_WITH_RULES, rule_fields, rule_prefix, rule_values
from garage.services.tables import Service, ServiceRule
from garage.states.tables import PLACES
from garage.units import DisplayUnits


@dataclass(frozen=True)
class ServiceLine:
    """One service in the list; `listed` is what stands beside its note."""

    id: int
    at: Moment
    kind: str
    place: str
    note: str
    set_aside: bool
    written: Annotated[FieldValues, FIELDS]
    listed: Facts


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
    fields: tuple[Field, ...] = FIELDS


@dataclass(frozen=True)
class RulesSheet:
    """When which service is due on a hull: kind of service and the beginning of its fields' names."""

    hull_id: int
    hull: str
    kinds: list[tuple[str, str]]
    values: dict[str, str]
    fields: tuple[Field, ...]


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
            values(FIELDS, row),
            facts(FIELDS, row),
        )
        for row in rows[:limit]
    ]
    return ServiceListSheet(hull.id, hull.name, lines, page, len(rows) > limit)


def service_form_sheet(hull: Hull, now: Moment, kind: str, units: DisplayUnits) -> ServiceFormSheet:
    """The form of a new service; `kind` may be chosen by the link that led here."""
    begun = {"kind": kind, "at": now.local_text()}
    return ServiceFormSheet(hull.id, hull.name, fresh(FIELDS, units) | begun)


def rules_sheet(hull: Hull, rules: Sequence[ServiceRule], units: DisplayUnits) -> RulesSheet:
    """The form of a hull's rules."""
    fields = tuple(field for kind in KINDS_WITH_RULES for field in rule_fields(kind))
    kinds = [(kind, rule_prefix(kind)) for kind in KINDS_WITH_RULES]
    return RulesSheet(hull.id, hull.name, kinds, rule_values(rules, units), fields)
