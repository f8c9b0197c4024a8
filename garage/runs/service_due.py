"""Runs and minutes since each service of a hull, and what is due: shown with every run and on Home."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from garage.hulls.store import hull
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.runs.since_store import RunsSince, runs_since
from garage.services.fields import SERVICE_KINDS
from garage.services.store import LastService, last_services
from garage.services.tables import ServiceRule

_NOUNS = {
    "greased": "grease",
    "shaft looked at": "the shaft was looked at",
    "throttle calibrated": "the throttle was calibrated",
    "cleaned": "cleaning",
    "bearings looked at": "the bearings were looked at",
}
# What is looked for in the book and not found there.
_UNWRITTEN = {
    "greased": "no grease",
    "shaft looked at": "no look at the shaft",
    "throttle calibrated": "no calibration of the throttle",
    "cleaned": "no cleaning",
    "bearings looked at": "no look at the bearings",
}
_SHORT = {
    "greased": "grease",
    "shaft looked at": "shaft",
    "throttle calibrated": "throttle",
    "cleaned": "cleaning",
    "bearings looked at": "bearings",
}
_TOLD = tuple(kind for kind in SERVICE_KINDS if kind != "other")


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

    @property
    def what(self) -> str:
        """What it is on, in a word: `grease`, `shaft`; with its side where it has one."""
        return f"{_SHORT[self.kind]}, {self.place}" if self.place else _SHORT[self.kind]


def due(session: Session, hull_id: int, utc: str) -> list[ServiceDue]:
    """What is due on one hull, as `due_of` tells it."""
    return due_of(session, [hull(session, hull_id)], utc)[hull_id]


def due_of(session: Session, hulls: Sequence[Hull], utc: str) -> dict[int, list[ServiceDue]]:
    """By hull, every kind of service with a rule on it or ever done, as of `utc`; what is due stands first.

    On a hull with two screws the two sides are told apart once they were not served together.
    """
    if not hulls:
        return {}
    places = {one.id: ("left", "right") if one.screws == 2 else ("",) for one in hulls}
    asked = [(hull_id, kind, place) for hull_id, of_hull in places.items() for kind in _TOLD for place in of_hull]
    known = last_services(session, asked, utc)
    lasts = {key: one.last for key, one in known.items()}
    told = [
        _Told(hull_id, kind, place, last, known[hull_id, kind, of_hull[0]].rule)
        for hull_id, of_hull in places.items()
        for kind in _TOLD
        for place, last in _apart({place: lasts[hull_id, kind, place] for place in of_hull}).items()
        if known[hull_id, kind, of_hull[0]].rule or any(lasts[hull_id, kind, each] for each in of_hull)
    ]
    since = runs_since(session, {(one.hull_id, one.from_utc) for one in told}, utc)
    found: dict[int, list[ServiceDue]] = {one.id: [] for one in hulls}
    for one in told:
        found[one.hull_id].append(_service_due(one, since[one.hull_id, one.from_utc]))
    return {hull_id: sorted(of_hull, key=lambda one: not one.due) for hull_id, of_hull in found.items()}


@dataclass(frozen=True)
class _Told:
    """A line to be told: a kind of service at a place of a hull, when it was last done, and the rule on it."""

    hull_id: int
    kind: str
    place: str
    last: LastService | None
    rule: ServiceRule | None

    @property
    def from_utc(self) -> str:
        return self.last.moment.utc if self.last else ""


def _apart(lasts: dict[str, LastService | None]) -> dict[str, LastService | None]:
    """The places of a hull apart, or all as one if they were served together."""
    together = len({last and last.id for last in lasts.values()}) == 1
    return {"": next(iter(lasts.values()))} if together else lasts


def _service_due(one: _Told, since: RunsSince) -> ServiceDue:
    after_runs, after_minutes = (one.rule.runs, one.rule.minutes) if one.rule else (None, None)
    is_due = since.runs >= (after_runs or 10**9) or since.minutes >= (after_minutes or 10**9)
    words = since_words(one.kind, since, never=one.last is None)
    return ServiceDue(
        one.kind,
        one.last.moment if one.last else None,
        since.runs,
        since.minutes,
        since.untimed,
        after_runs,
        after_minutes,
        is_due,
        f"{one.place}: {words}" if one.place else words,
        one.place,
    )


def since_words(kind: str, since: RunsSince, *, never: bool) -> str:
    """Like `2 runs and 6 min since grease`; `5 runs, and no grease is written before`."""
    many = "or more " if since.is_cut else ""
    runs = f"{since.runs} {many}run{'' if since.runs == 1 else 's'}"
    minutes = f" and {since.minutes:.0f} min" if since.minutes >= 0.5 else ""
    return (
        f"{runs}{minutes}, and {_UNWRITTEN[kind]} is written before"
        if never
        else f"{runs}{minutes} since {_NOUNS[kind]}"
    )
