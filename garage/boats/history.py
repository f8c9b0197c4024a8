"""A hull's history in one line of time: outings with their runs, build states, service, plans, decisions."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from sqlmodel import Session

from garage.boats import history_store as store
from garage.boats.history_store import Mark
from garage.calc.effect.verdict import verdict_said
from garage.findings.changed import Decided, decided_by_id
from garage.modifications.store import modifications_by_ids, status_of
from garage.modifications.tables import Modification
from garage.moments import Moment
from garage.records.conditions import condition_words
from garage.runs.lines.line import RunLine, run_lines
from garage.runs.tables import Run
from garage.states.query_store import states_with_changes
from garage.states.store import read_change, short
from garage.states.tables import BuildState, Change
from garage.states.wording import change_text
from garage.units import DisplayUnits
from garage.waters.outing_store import outings_by_id
from garage.waters.tables import Outing

# So many runs are shown on one stretch; a hull makes a handful a day.
_MOST_RUNS = 600
# So much of what happened in a month beside runs is named on its closed line.
_MOST_NAMED = 3


@dataclass(frozen=True)
class Event:
    """One thing that happened. `lines` says it in words; an outing has `runs`. `otherwise` is where it is put right."""

    kind: str
    at: Moment
    title: str
    address: str
    lines: list[str]
    runs: list[RunLine]
    place: str = ""
    mark: str = ""
    fingerprint: str = ""
    otherwise: str = ""


@dataclass(frozen=True)
class Month:
    """What happened in one month, and in a few words what came of it."""

    events: list[Event]

    @property
    def name(self) -> str:
        """`October 2026`."""
        return self.events[0].at.day().partition(" ")[2]

    @property
    def runs(self) -> list[RunLine]:
        """Its runs."""
        return [run for event in self.events for run in event.runs]

    @property
    def gist(self) -> str:
        """What there was: outings and runs, and what else happened."""
        outings = sum(event.kind == "outing" for event in self.events)
        others = dict.fromkeys(event.title for event in self.events if event.kind != "outing")
        counts = [_counted(outings, "outing"), _counted(len(self.runs), "run")] if outings else []
        return " · ".join(part for part in (", ".join(counts), ", ".join([*others][:_MOST_NAMED])) if part)


@dataclass(frozen=True)
class History:
    """A stretch of a hull's history, newest first; `older` is the mark that the next stretch begins after."""

    events: list[Event]
    older: str

    @property
    def months(self) -> list[Month]:
        """The events month by month, in their order."""
        return [Month(list(found)) for _, found in groupby(self.events, key=lambda event: event.at.date()[:7])]


@dataclass(frozen=True)
class Stretch:
    """What of a history is to be told: ids by kind, marks in order, the runs of its outings."""

    marks: list[Mark]
    by_kind: dict[str, list[int]]
    runs: list[Run]
    older: str


def _counted(count: int, name: str) -> str:
    return f"{count} {name}" if count == 1 else f"{count} {name}s"


def read_stretch(session: Session, hull_id: int, before: Mark | None, limit: int) -> Stretch:
    """The latest `limit` things before a mark."""
    marks = store.marks(session, hull_id, before, limit + 1)
    shown = marks[:limit]
    by_kind: dict[str, list[int]] = defaultdict(list)
    for mark in shown:
        by_kind[mark.kind].append(mark.id)
    outings = by_kind["outing"]
    return Stretch(
        shown,
        by_kind,
        store.runs_of_outings(session, hull_id, outings, limit=_MOST_RUNS) if outings else [],
        shown[-1].text if len(marks) > limit else "",
    )


def history(session: Session, hull_id: int, before: Mark | None, units: DisplayUnits, limit: int) -> History:
    """The latest `limit` things before a mark, as they are told."""
    found = read_stretch(session, hull_id, before, limit)
    decided, ids = decided_by_id(session, found.by_kind["decision"]), found.by_kind["plan"]
    plans = list(modifications_by_ids(session, ids).values()) if ids else []
    return told(session, found, run_lines(session, found.runs), plans, status_of(session, plans), decided, units)


def told(
    session: Session,
    found: Stretch,
    lines: Sequence[RunLine],
    plans: Sequence[Modification],
    stands: Mapping[int, str],
    decided: Mapping[int, Decided],
    units: DisplayUnits,
) -> History:
    """A stretch as it is told, with the lines of its runs, its plans and how they stand, and its decisions."""
    ids = found.by_kind
    events = {
        **_outings(session, ids["outing"], lines, units),
        **_states(session, ids["state"], units),
        **_services(session, ids["service"]),
        **_plans(plans, stands),
        **_decisions(decided),
    }
    shown = [events[mark.kind, mark.id] for mark in found.marks if (mark.kind, mark.id) in events]
    return History(shown, found.older)


def _outings(
    session: Session, ids: list[int], lines: Sequence[RunLine], units: DisplayUnits
) -> dict[tuple[str, int], Event]:
    by_outing: dict[int, list[RunLine]] = defaultdict(list)
    for line in lines:
        by_outing[line.outing_id].append(line)
    rows = outings_by_id(session, set(ids)) if ids else {}
    return {("outing", outing_id): _outing(row, by_outing[outing_id], units) for outing_id, row in rows.items()}


def _outing(row: Outing, of_day: list[RunLine], units: DisplayUnits) -> Event:
    return Event(
        "outing",
        Moment(row.started_at, row.offset_min),
        f"Outing: {len(of_day)} run{'' if len(of_day) == 1 else 's'}",
        f"/outings/{row.id}",
        [words for words in (condition_words(row, units), row.notes) if words],
        of_day,
        of_day[0].water if of_day else "",
    )


def _states(session: Session, ids: list[int], units: DisplayUnits) -> dict[tuple[str, int], Event]:
    if not ids:
        return {}
    return {("state", row.id): _state(row, changes, units) for row, changes in states_with_changes(session, ids)}


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
        mark=row.mark,
        fingerprint=short(row.fingerprint),
        otherwise=f"/otherwise/state/{row.id}",
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
        for service_id, row in (store.services_by_id(session, ids) if ids else {}).items()
    }


def _plans(rows: Sequence[Modification], stands: Mapping[int, str]) -> dict[tuple[str, int], Event]:
    return {
        ("plan", row.id): Event(
            "plan",
            Moment(row.created_at, 0),
            f"{row.title}, written down as a plan",
            f"/modifications/{row.id}",
            [words for words in (f"now {stands.get(row.id, 'planned')}", row.purpose) if words],
            [],
        )
        for row in rows
    }


def _decisions(decided: Mapping[int, Decided]) -> dict[tuple[str, int], Event]:
    return {
        ("decision", decision_id): Event(
            "decision",
            one.at,
            f"Decided: {one.kind}, {one.title}",
            f"/findings/{one.finding_id}",
            [
                words
                for words in (
                    one.reason,
                    "As it stood: " + ", ".join(filter(None, (verdict_said(one.verdict), one.numbers))),
                )
                if words and words != "As it stood: "
            ],
            [],
        )
        for decision_id, one in decided.items()
    }
