"""Text to a service or to the rules of when one is due, or messages beside the fields."""

from collections.abc import Iterable
from dataclasses import replace

from garage.fields.definition import Field, FormData
from garage.fields.forms import fill, read
from garage.hulls.tables import Hull
from garage.moments import Moment, day_text
from garage.services.fields import FIELDS, RULE_FIELDS, SERVICE_KINDS
from garage.services.tables import ServiceRule
from garage.units import DisplayUnits
from garage.web.fields import Reader

# What may be due: of anything else nobody can say when.
KINDS_WITH_RULES = tuple(kind for kind in SERVICE_KINDS if kind != "other")


def read_service(reader: Reader, hull: Hull) -> FormData:
    """The service of `hull` typed into the form, by column. Raises FormErrors."""
    form = read(FIELDS, reader)
    if form["at"] and hull.built_on and Moment(form["at"], form["offset_min"]).date() < hull.built_on:
        reader.fail("at", f"{hull.name} was built on {day_text(hull.built_on)}; this would be before that.")
    if form["kind"] == "other" and not form["note"]:
        reader.fail("note", "Say what was done.")
    reader.finish()
    return form


def rule_prefix(kind: str) -> str:
    """The beginning of the names of a rule's fields in the form."""
    return kind.replace(" ", "_")


def rule_fields(kind: str) -> tuple[Field, ...]:
    """The fields of one kind's rule, in a section and under names of its own."""
    return tuple(
        replace(field, name=f"{rule_prefix(kind)}_{field.name}", asked=kind)
        for field in RULE_FIELDS
        if field.column != "kind"
    )


def read_rules(reader: Reader) -> list[FormData]:
    """The rules typed into the form, one for each kind of service, by column. Raises FormErrors."""
    forms: list[FormData] = [{"kind": kind, **read(rule_fields(kind), reader)} for kind in KINDS_WITH_RULES]
    reader.finish()
    return forms


def rule_values(rules: Iterable[ServiceRule], units: DisplayUnits) -> dict[str, str]:
    """The texts that stand in the form of rules."""
    return {name: text for rule in rules for name, text in fill(rule_fields(rule.kind), rule, units).items()}
