"""Runs and minutes since each service of a hull, and what is due: shown with every run and on Home."""

from dataclasses import dataclass

from sqlmodel import Session

from garage.hulls.store import hull
from garage.moments import Moment
from garage.runs.since_store import RunsSince, runs_since
from garage.services.fields import SERVICE_KINDS
from garage.services.store import last_service, service_rules
from garage.services.tables import Service, ServiceRule

_NOUNS = {
    "greased": "grease",
    "shaft looked at": "the shaft was looked at",
    "throttle calibrated": "the throttle was calibrated",
    "cleaned": "cleaning",
    "bearings looked at": "the bearings were looked at",
}


@dataclass(frozen=True)
class ServiceDue:
    """One kind of service on one hull.

    `last` is None if it was never written down; the count then begins with the first run. `minutes` adds the
    durations that were written; `untimed` runs have none, so that the true figure is higher. `place` is left
    or right where only one side is meant.
    """

    kind: str
    last: Moment | None
    runs: int
    minutes: float
    untimed: int
    after_runs: int | None
    after_minutes: float | None
    due: bool
    text: str
    place: str = ""


def due(session: Session, hull_id: int, utc: str) -> list[ServiceDue]:
    """Every kind of service with a rule on the hull or ever done, as of `utc`; what is due stands first.

    On a hull with two screws the two sides are told apart once they were not served together.
    """
    rules = {rule.kind: rule for rule in service_rules(session, hull_id)}
    places = ("left", "right") if hull(session, hull_id).screws == 2 else ("",)
    found = []
    for kind in SERVICE_KINDS:
        rule = rules.get(kind)
        lasts = {place: last_service(session, hull_id, kind, utc, place) for place in places}
        if kind == "other" or (rule is None and not any(lasts.values())):
            continue
        if len({last and last.id for last in lasts.values()}) == 1:
            lasts = {"": lasts[places[0]]}
        for place, last in lasts.items():
            since = runs_since(session, hull_id, last.at if last else "", utc)
            found.append(_service_due(kind, place, last, since, rule))
    return sorted(found, key=lambda one: not one.due)


def _service_due(
    kind: str, place: str, last: Service | None, since: RunsSince, rule: ServiceRule | None
) -> ServiceDue:
    after_runs, after_minutes = (rule.runs, rule.minutes) if rule else (None, None)
    is_due = since.runs >= (after_runs or 10**9) or since.minutes >= (after_minutes or 10**9)
    words = since_words(kind, since, never=last is None)
    return ServiceDue(
        kind,
        Moment(last.at, last.offset_min) if last else None,
        since.runs,
        since.minutes,
        since.untimed,
        after_runs,
        after_minutes,
        is_due,
        f"{place}: {words}" if place else words,
        place,
    )


def since_words(kind: str, since: RunsSince, *, never: bool) -> str:
    """Like `2 runs and 6 min since grease`; `5 runs; greased: not written yet`."""
    many = "or more " if since.is_cut else ""
    runs = f"{since.runs} {many}run{'' if since.runs == 1 else 's'}"
    minutes = f" and {since.minutes:.0f} min" if since.minutes >= 0.5 else ""
    return f"{runs}{minutes}; {kind}: not written yet" if never else f"{runs}{minutes} since {_NOUNS[kind]}"
