"""What the notebook says of runs, days, packs, boats and questions, in words that can be laid beside each other."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from sqlmodel import Session

from garage.findings.gather import numbers_words, verdict_words
from garage.findings.judge import Judged, judge
from garage.findings.plan.gather import kept_widths
from garage.findings.plan.planned_gather import planned_rows
from garage.findings.store import findings_of, planned_runs
from garage.findings.tables import Finding
from garage.handed_down import MeasuredSlip
from garage.hulls.store import hulls_by_ids
from garage.measures import Measure
from garage.moments import Moment
from garage.outings.store import run_counts
from garage.packs.store import discharges_before, pack_standings, pack_texts
from garage.packs.verdict_store import retire_words
from garage.records.board import board_of
from garage.runs.gather import run_page
from garage.runs.lines.line import run_lines
from garage.runs.sheets import RunSheet
from garage.runs.store import runs_by_ids
from garage.states.query_store import changes_of, live_states_after, moment_of
from garage.states.wording import change_text
from garage.states.write_store import read_change
from garage.units import DisplayUnits, show
from garage.waters.outing_store import outings_by_id
from garage.waters.store import waters_by_id

# A boat has a few questions at a time; each may take the better part of a second.
_MOST_QUESTIONS = 12


@dataclass(frozen=True)
class Subjects:
    """The things of which a mending may change what is said, by id; `histories` are boats with other build states."""

    runs: frozenset[int] = frozenset()
    outings: frozenset[int] = frozenset()
    packs: frozenset[int] = frozenset()
    hulls: frozenset[int] = frozenset()
    histories: frozenset[int] = frozenset()


@dataclass(frozen=True)
class Thing:
    """One thing as it is named: `group` is the heading under which it stands, `url` its page."""

    group: str
    url: str
    name: str = field(compare=False)


Readings = dict[Thing, dict[str, str]]


def readings(session: Session, of: Subjects, units: DisplayUnits, measured_slip: MeasuredSlip, now: Moment) -> Readings:
    """What is said of each of these things now, by what is said."""
    return {
        **_of_runs(session, of.runs, units, measured_slip),
        **_of_outings(session, of.outings),
        **_of_histories(session, of.histories, units),
        **_of_packs(session, of.packs, now),
        **_of_records(session, of.hulls, units, now),
        **_of_questions(session, of.hulls, units),
    }


def _of_runs(session: Session, ids: Iterable[int], units: DisplayUnits, slip: MeasuredSlip) -> Readings:
    found: Readings = {}
    for run_id in sorted(ids):
        sheet = run_page(session, run_id, units, slip)
        found[Thing("Runs", f"/runs/{run_id}", _run_name(sheet))] = run_reading(sheet, units)
    return found


def _run_name(sheet: RunSheet) -> str:
    return f"{sheet.line.hull}, run {sheet.line.number} of {sheet.line.started.day()}"


def run_reading(sheet: RunSheet, units: DisplayUnits) -> dict[str, str]:
    """What a run's page says, line by line."""
    line = sheet.line
    clock = line.started.clock() if sheet.start_known else f"about {line.started.clock()}, start not known"
    against = sheet.against
    return {
        "boat": line.hull,
        "day": line.started.day(),
        "start": clock,
        "water": line.water,
        "place in the order": f"run {line.number}",
        "build state": f"{line.state_number}, {line.mark}",
        "prop": line.prop or "not known",
        "packs": line.packs or "not known",
        "cells": f"{line.cells_s}S" if line.cells_s else "not known",
        "how the pack stood": "; ".join(f"{pack.code}: {pack.standing}" for pack in sheet.packs),
        "of its capacity": "; ".join(_measured(pack.share, units) for pack in sheet.packs),
        "pack now": "; ".join(pack.retire for pack in sheet.packs if pack.retire),
        "flags": "; ".join(f"{flag.text}{f' ({flag.why})' if flag.why else ''}" for flag in sheet.flags),
        "against her best": _measured(against.over_best, units) if against else "",
        "against the run before": _measured(against.over_before, units) if against else "",
        "warmer than the air": "; ".join(_measured(row.rise, units) for row in sheet.temperatures),
        "worked out": "; ".join(f"{name} {_measured(measure, units)}" for name, measure in sheet.worked_out),
        "service": "; ".join(one.text for one in sheet.services),
        "still missing": ", ".join(sheet.missing),
    }


def _measured(measure: Measure, units: DisplayUnits) -> str:
    if measure.value is None:
        return "not known"
    words = str(show(measure.value, measure.kind, units.unit(measure.kind)))
    if measure.low is not None and measure.high is not None:
        low, high = (show(end, measure.kind, units.unit(measure.kind)) for end in (measure.low, measure.high))
        words += f" ({low} to {high})"
    return words + (f", {measure.caution}" if measure.caution else "")


def _of_outings(session: Session, ids: Iterable[int]) -> Readings:
    found = outings_by_id(session, set(ids))
    waters = waters_by_id(session, {one.water_id for one in found.values()})
    counts = run_counts(session, set(found))
    said: Readings = {}
    for outing_id, one in sorted(found.items()):
        began = Moment(one.started_at, one.offset_min)
        counted = counts.get(outing_id)
        thing = Thing("Outings", f"/outings/{outing_id}", f"{began.day()}, {waters[one.water_id].name}")
        said[thing] = {
            "day": began.day(),
            "began": began.clock(),
            "water": waters[one.water_id].name,
            "runs that count": str(counted.runs if counted else 0),
            "set aside": "yes" if one.set_aside_at else "no",
        }
    return said


def _of_histories(session: Session, ids: Iterable[int], units: DisplayUnits) -> Readings:
    hulls = hulls_by_ids(session, ids)
    said: Readings = {}
    for hull_id in sorted(ids):
        found = live_states_after(session, hull_id, "")
        changes = changes_of(session, [one.id for one in found])
        lines: dict[str, str] = {}
        for one in found:
            made = moment_of(one)
            words = [change_text(read_change(change), units) for change in changes.get(one.id, [])]
            when = f"{made.day()}, {made.clock()}"
            told = f"build state {one.number}: {'; '.join(words) or 'as first written down'}"
            lines[when] = f"{lines[when]}; then {told}" if when in lines else told
        said[Thing("Build states", f"/hulls/{hull_id}/states", hulls[hull_id].name)] = lines
    return said


def _of_packs(session: Session, ids: Iterable[int], now: Moment) -> Readings:
    texts, wanted = pack_texts(session, ids), set(ids)
    if not wanted:
        return {}
    counted = discharges_before(session, wanted, now.utc)
    stands, retire = pack_standings(session, wanted, now.utc), retire_words(session, wanted)
    return {
        Thing("Packs", f"/packs/{pack_id}", f"Pack {texts[pack_id].code}"): {
            "discharges counted": str(counted.get(pack_id, 0)),
            "how it stands": stands[pack_id].text,
            "what speaks against it": retire.get(pack_id, "") or "nothing",
        }
        for pack_id in sorted(wanted)
    }


def _of_records(session: Session, ids: Iterable[int], units: DisplayUnits, now: Moment) -> Readings:
    known = board_of(session, hulls_by_ids(session, ids).values())
    runs = runs_by_ids(session, known.run_ids)
    lines = {line.id: line for line in run_lines(session, list(runs.values()))}
    said: Readings = {}
    for row in known.rows(lines, now.date(), units):
        thing = Thing("Records", f"/records?hull={row.hull_id}", row.hull)
        of_boat = said.setdefault(thing, {})
        for cell in row.cells:
            speed = show(cell.run.speed.value or 0, "speed", units.unit("speed"))
            cells = f"{row.cells_s}S" if row.cells_s else "cells not known"
            of_boat[f"best on {cells}, {cell.way}"] = f"{speed}, run {cell.run.number} of {cell.run.started.day()}"
    return said


def _of_questions(session: Session, ids: Iterable[int], units: DisplayUnits) -> Readings:
    said: Readings = {}
    for hull_id in sorted(ids):
        for asked in findings_of(session, hull_id, limit=_MOST_QUESTIONS):
            found = judge(session, asked, units)
            answer = found.answer
            said[Thing("Findings", f"/findings/{asked.id}", found.title)] = {
                "answer": f"{verdict_words(answer.verdict, found.outcome)}: {numbers_words(answer)}"
                if answer
                else found.why,
                "runs that speak": str(len(answer.weights)) if answer else "none",
                **_of_plan(session, asked, found),
            }
    return said


def _of_plan(session: Session, asked: Finding, found: Judged) -> dict[str, str]:
    """What stands of the day that was planned for a question: its runs, the widths kept with it, and that of now."""
    kept = planned_runs(session, asked.id)
    rows = planned_rows(kept, found.gathered) if kept else []
    said = {
        f"planned run {place}, {row.words}": "made" if row.ticked else "still to make"
        for place, row in enumerate(rows, 1)
    }
    return said | ({"forecast of the plan": kept_widths(kept, found) or found.why} if kept else {})


@dataclass(frozen=True)
class Otherwise:
    """One line that reads otherwise: what, as it was, as it will be; '' where nothing is said."""

    what: str
    old: str
    new: str


@dataclass(frozen=True)
class ThingOtherwise:
    """A thing of which something reads otherwise."""

    group: str
    name: str
    url: str
    lines: list[Otherwise]


def otherwise(
    before: Mapping[Thing, Mapping[str, str]], after: Mapping[Thing, Mapping[str, str]]
) -> list[ThingOtherwise]:
    """What reads otherwise, thing by thing, in the order of the groups; things of which nothing does are left out."""
    order = {group: place for place, group in enumerate(GROUPS)}
    names: dict[Thing, Any] = {thing: thing.name for thing in (*after, *before)}
    found = []
    for thing in sorted(names, key=lambda one: order[one.group]):
        old, new = before.get(thing, {}), after.get(thing, {})
        lines = [
            Otherwise(what, old.get(what, ""), new.get(what, ""))
            for what in dict.fromkeys((*old, *new))
            if old.get(what, "") != new.get(what, "")
        ]
        if lines:
            found.append(ThingOtherwise(thing.group, names[thing], thing.url, lines))
    return found


GROUPS = ("Build states", "Outings", "Runs", "Packs", "Records", "Findings")
