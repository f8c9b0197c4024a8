"""A hull's history in one line of time: outings with their runs, build states, service, plans, decisions."""

from collections import defaultdict
from dataclasses import dataclass

from sqlmodel import Session

from garage.boats import history_store as store
from garage.boats.history_store import Mark
from garage.findings.changed import decided_by_id
from garage.modifications.store import modifications_by_ids, status
from garage.moments import Moment
from garage.records.conditions import condition_words
from garage.runs.lines import RunLine, run_lines
from garage.states.query_store import states_by_ids
from garage.states.store import changes_of, read_change, short
from garage.states.tables import BuildState, Change
from garage.states.wording import change_text
from garage.units import DisplayUnits
from garage.waters.outing_store import outings_by_id

# So many runs are shown on one stretch; a hull makes a handful a day.
_MOST_RUNS = 600


@dataclass(frozen=True)
class Event:
    """One thing that happened. `lines` says it in words; an outing has `runs`."""

    kind: str
    at: Moment
    title: str
    address: str
    lines: list[str]
    runs: list[RunLine]
    place: str = ""
    fingerprint: str = ""


@dataclass(frozen=True)
class History:
    """A stretch of a hull's history, newest first; `older` is the mark that the next stretch begins after."""

    events: list[Event]
    older: str


def history(session: Session, hull_id: int, before: Mark | None, units: DisplayUnits, limit: int) -> History:
    """The latest `limit` things before a mark."""
    marks = store.marks(session, hull_id, before, limit + 1)
    shown = marks[:limit]
    by_kind: dict[str, list[int]] = defaultdict(list)
    for mark in shown:
        by_kind[mark.kind].append(mark.id)
    events: dict[tuple[str, int], Event] = {}
    for kind, ids in by_kind.items():
        events |= _events(session, hull_id, kind, ids, units)
    older = shown[-1].text if len(marks) > limit else ""
    return History([events[mark.kind, mark.id] for mark in shown if (mark.kind, mark.id) in events], older)


def _events(
    session: Session, hull_id: int, kind: str, ids: list[int], units: DisplayUnits
) -> dict[tuple[str, int], Event]:
    if kind == "outing":
        return _outings(session, hull_id, ids, units)
    if kind == "state":
        return _states(session, ids, units)
    return {"service": _services, "plan": _plans, "decision": _decisions}[kind](session, ids)


def _outings(
    session: Session, hull_id: int, ids: list[int], units: DisplayUnits
) -> dict[tuple[str, int], Event]:
    runs = store.runs_of_outings(session, hull_id, ids, limit=_MOST_RUNS)
    lines: dict[int, list[RunLine]] = defaultdict(list)
    for line in run_lines(session, runs):
        lines[line.outing_id].append(line)
    found = {}
    for outing_id, row in outings_by_id(session, set(ids)).items():
        of_day = lines[outing_id]
        count = f"{len(of_day)} run{'' if len(of_day) == 1 else 's'}"
        found["outing", outing_id] = Event(
            "outing",
            Moment(row.started_at, row.offset_min),
            f"Outing: {count}",
            f"/outings/{outing_id}",
            [words for words in (condition_words(row, units), row.notes) if words],
            of_day,
            of_day[0].water if of_day else "",
        )
    return found


def _states(session: Session, ids: list[int], units: DisplayUnits) -> dict[tuple[str, int], Event]:
    changes = changes_of(session, ids)
    return {
        ("state", state_id): _state(row, changes.get(state_id, []), units)
        for state_id, row in states_by_ids(session, ids).items()
    }


def _state(row: BuildState, changes: list[Change], units: DisplayUnits) -> Event:
    words = [change_text(read_change(change), units) for change in changes]
    notes = [note for note in (row.note, *(change.note for change in changes)) if note]
    return Event(
        "state",
        Moment(row.made_at, row.offset_min),
        f"Build state {row.number}",
        f"/hulls/{row.hull_id}/states/{row.number}",
        [*words, *notes] or ["the first state, nothing on her"],
        [],
        fingerprint=short(row.fingerprint),
    )


def _services(session: Session, ids: list[int]) -> dict[tuple[str, int], Event]:
    return {
        ("service", service_id): Event(
            "service",
            Moment(row.at, row.offset_min),
            row.kind.capitalize(),
            "",
            [row.note] if row.note else [],
            [],
            "" if row.place == "single" else row.place,
        )
        for service_id, row in store.services_by_id(session, ids).items()
    }


def _plans(session: Session, ids: list[int]) -> dict[tuple[str, int], Event]:
    stands = status(session, ids)
    return {
        ("plan", plan_id): Event(
            "plan",
            Moment(row.created_at, 0),
            f"{row.title}, written down as a plan",
            f"/modifications/{plan_id}",
            [words for words in (f"now {stands.get(plan_id, 'planned')}", row.purpose) if words],
            [],
        )
        for plan_id, row in modifications_by_ids(session, ids).items()
    }


def _decisions(session: Session, ids: list[int]) -> dict[tuple[str, int], Event]:
    return {
        ("decision", decision_id): Event(
            "decision",
            one.at,
            f"Decided: {one.kind}, {one.title}",
            f"/findings/{one.finding_id}",
            [
                words
                for words in (one.reason, "As it stood: " + ", ".join(filter(None, (one.verdict, one.numbers))))
                if words and words != "As it stood: "
            ],
            [],
        )
        for decision_id, one in decided_by_id(session, ids).items()
    }
