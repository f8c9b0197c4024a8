"""What was written down after the runs: greasing, mistakes mended, runs set aside, a change put in late."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from sqlmodel import Session

from garage.demo.clock import after, moment
from garage.demo.names import Names
from garage.demo.season import Season
from garage.demo.work import typed_changes
from garage.outings.insertion import insert_in_past
from garage.outings.store import wave_runs_away
from garage.runs.entry.change_store import change_run, form_of, set_run_aside
from garage.runs.next.store import mark_tried
from garage.runs.store import run
from garage.services.store import add_service


def write_aftermath(session: Session, season: Season, story: Mapping[str, Any], names: Names) -> None:
    """Everything that could only be written once the runs were."""
    _grease(session, season, story["greasing"], names)
    for (day, number), event in season.events.items():
        run_id = names.runs[f"{day} {number}"]
        if "try_next_done" in event:
            mark_tried(session, run_id, moment(event["try_next_done"]).utc)
        if "set_aside" in event:
            set_run_aside(session, run_id, moment(f"{day} 20:00").utc, event["set_aside"])
        if "correction" in event:
            _correct_speed(session, run_id, day, event["correction"])
    waved = story["waved_away"]
    for day, outing_id in names.outings.items():
        if day <= waved["until"]:
            wave_runs_away(session, outing_id, moment(waved["at"]).utc)
    session.flush()
    for row in story["forgotten"]:
        hull_id, written = names.hulls[row["hull"]], moment(row["written"])
        changes = typed_changes(session, row, hull_id)
        insert_in_past(session, hull_id, changes, moment(row["at"]), row["why"], written)


def _grease(session: Session, season: Season, story: Mapping[str, Any], names: Names) -> None:
    """Each boat that ran is greased in the evening, but for the days when it was forgotten."""
    for outing in season.outings[:-1]:
        if outing.day in story["forgotten"]:
            continue
        for order, hull in enumerate(sorted({planned.hull for planned in outing.runs})):
            at = after(moment(f"{outing.day} {story['at']}"), 10 * order)
            form = {"kind": "greased", "at": at.utc, "offset_min": at.offset_min}
            add_service(session, names.hulls[hull], form, at)


def _correct_speed(session: Session, run_id: int, day: str, correction: Mapping[str, Any]) -> None:
    """Write the speed anew as it should have been, as a person does on the run's own form."""
    written = form_of(session, run(session, run_id))
    typed_kmh = written.facts["speed_kmh"]
    assert typed_kmh is not None
    facts = {**written.facts, "speed_kmh": round(typed_kmh - correction["typed_more_kmh"], 1)}
    change_run(session, run_id, replace(written, facts=facts), correction["why"], moment(f"{day} 21:00"))
