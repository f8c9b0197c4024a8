"""Text to a service or to the rules of when one is due, or messages beside the fields."""

from collections.abc import Iterable
from dataclasses import dataclass

from garage.hulls.tables import Hull
from garage.moments import Moment, day_text
from garage.services.tables import SERVICE_KINDS, ServiceRule
from garage.states.tables import PLACES
from garage.units import DisplayUnits, entry_text
from garage.web.fields import Reader


@dataclass(frozen=True)
class ServiceDraft:
    """A service as typed."""

    kind: str
    place: str
    at: Moment
    note: str


@dataclass(frozen=True)
class RuleDraft:
    """After how many runs or minutes a kind of service is due; neither: never."""

    kind: str
    runs: int | None
    minutes: float | None


def read_service(reader: Reader, hull: Hull) -> ServiceDraft:
    """The service of `hull` typed into the form. Raises FormErrors."""
    kind = reader.choice("kind", SERVICE_KINDS, required=True)
    place = reader.choice("place", PLACES) or "single"
    at = reader.moment("at", required=True)
    note = reader.text("note", most=400)
    if at and hull.built_on and at.date() < hull.built_on:
        reader.fail("at", f"{hull.name} was built on {day_text(hull.built_on)}; this would be before that.")
    if kind == "other" and not note:
        reader.fail("note", "Say what was done.")
    reader.finish()
    assert at is not None
    return ServiceDraft(kind, place, at, note)


def rule_field(kind: str) -> str:
    """The beginning of a rule's field names."""
    return kind.replace(" ", "_")


def read_rules(reader: Reader) -> list[RuleDraft]:
    """The rules typed into the form, one for each kind of service. Raises FormErrors."""
    drafts = [
        RuleDraft(
            kind,
            reader.whole(f"{rule_field(kind)}_runs", 1, 1000),
            reader.quantity(f"{rule_field(kind)}_minutes", "minutes", 1, 10000),
        )
        for kind in SERVICE_KINDS
        if kind != "other"
    ]
    reader.finish()
    return drafts


def rule_values(rules: Iterable[ServiceRule], units: DisplayUnits) -> dict[str, str]:
    """The texts that stand in the form of rules."""
    values = {}
    for rule in rules:
        field = rule_field(rule.kind)
        values[f"{field}_runs"] = "" if rule.runs is None else str(rule.runs)
        values[f"{field}_minutes"] = entry_text(rule.minutes, "minutes", units.unit("minutes"))
    return values
