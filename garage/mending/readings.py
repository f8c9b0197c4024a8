"""What the notebook says of runs, days, packs, boats and questions, in words that can be laid beside each other."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from sqlmodel import Session

from garage.fields.showing import facts
from garage.findings.gather import answer_sheet
from garage.findings.sheets import AnswerSheet
from garage.findings.store import findings_of
from garage.handed_down import MeasuredSlip
from garage.hulls.store import hulls_by_ids
from garage.logs.store import logs
from garage.measures import Measure
from garage.mending.run_steps import listed
from garage.moments import Moment
from garage.outings.store import run_counts
from garage.packs.ageing.sheets import ageing_sheet
from garage.packs.ageing.store import history
from garage.packs.store import counted_at, packs_by_ids
from garage.packs.verdict_store import verdicts
from garage.photos.store import attachments
from garage.records.board import board_of
from garage.runs.against_store import against_of
from garage.runs.gather import run_page
from garage.runs.lines.flags import Flag
from garage.runs.lines.line import RunLine, all_flags, line_of, run_lines
from garage.runs.lines.store import line_facts
from garage.runs.not_known import not_known_of
from garage.runs.service_due import due
from garage.runs.sheets import PackRow, RunSheet
from garage.runs.store import runs_by_ids
from garage.runs.tables import Run
from garage.states.query_store import changes_of, live_states_after, moment_of
from garage.states.wording import change_text
from garage.states.write_store import read_change
from garage.units import DisplayUnits, show
from garage.waters.fields import outing_fields
from garage.waters.outing_store import outings_by_id
from garage.waters.store import waters_by_id

# A boat has a few questions at a time; each may take the better part of a second.
_MOST_QUESTIONS = 12
# Between the entries of a list.
_BETWEEN = "; "


@dataclass(frozen=True)
class Subjects:
    """The things of which a mending may change what is said, by id; `runs` are those that are moved, `near` others of
    which something else may be said then. `histories` are boats with other build states."""

    runs: frozenset[int] = frozenset()
    near: frozenset[int] = frozenset()
    outings: frozenset[int] = frozenset()
    packs: frozenset[int] = frozenset()
    hulls: frozenset[int] = frozenset()
    histories: frozenset[int] = frozenset()


@dataclass(frozen=True)
class Thing:
    """One thing as it is named: `group` is the heading under which it stands, `url` its page. Of a run `part` tells
    what it is part of and which, so that several are named in one breath."""

    group: str
    url: str
    name: str = field(compare=False)
    part: tuple[str, str, int] | None = field(default=None, compare=False)


Readings = dict[Thing, dict[str, str]]


def readings(session: Session, of: Subjects, units: DisplayUnits, measured_slip: MeasuredSlip, now: Moment) -> Readings:
    """What is said of each of these things now, by what is said."""
    return {
        **_of_runs(session, of.runs, units, measured_slip),
        **_of_near_runs(session, of.near - of.runs, units),
        **_of_outings(session, of.outings, units),
        **_of_histories(session, of.histories, units),
        **_of_packs(session, of.packs, units, now),
        **_of_records(session, of.hulls, units, now),
        **_of_questions(session, of.hulls, units),
    }


def _of_runs(session: Session, ids: Iterable[int], units: DisplayUnits, slip: MeasuredSlip) -> Readings:
    found: Readings = {}
    rows = runs_by_ids(session, ids)
    days = outings_by_id(session, {one.outing_id for one in rows.values()})
    for run_id in sorted(ids):
        sheet = run_page(session, run_id, units, slip)
        reading = run_reading(sheet, units)
        day = days[rows[run_id].outing_id]
        began = Moment(day.started_at, day.offset_min)
        reading["of the outing"] = f"{began.day()}, {began.clock()}"
        reading["nobody knows any more"] = ", ".join(sorted(not_known_of(rows[run_id].not_known)))
        found[_run(sheet.line)] = reading
    return found


def _run(line: RunLine) -> Thing:
    day = line.started.day()
    return Thing("Runs", f"/runs/{line.id}", f"{line.hull}, run {line.number} of {day}", (line.hull, day, line.number))


def _of_near_runs(session: Session, ids: Iterable[int], units: DisplayUnits) -> Readings:
    """What is said of runs that stay as they are, but of which something else may be said then."""
    rows: list[Run] = sorted(runs_by_ids(session, ids).values(), key=lambda one: (one.started_at, one.id))
    if not rows:
        return {}
    known, told = line_facts(session, rows), against_of(session, [one.id for one in rows])
    found: Readings = {}
    for one in rows:
        told_against = told.get(one.id)
        line = line_of(one, known)
        due_then = [service.text for service in due(session, one.hull_id, one.started_at) if service.due]
        found[_run(line)] = {
            "water": line.water,
            "how the pack stood": "; ".join(f"{on.pack.code}: {on.standing.text}" for on in known.packs[one.id]),
            "flags": _flags(all_flags(one, known)),
            "against her best": _measured(told_against.over_best, units) if told_against else "",
            "against the run before": _measured(told_against.over_before, units) if told_against else "",
            "service that was due": _BETWEEN.join(due_then),
        }
    return found


def _flags(flags: Iterable[Flag]) -> str:
    return "; ".join(f"{flag.text}{f' ({flag.why})' if flag.why else ''}" for flag in flags)


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
        "what was read off it": "; ".join(_pack_read(pack, units, len(sheet.packs) > 1) for pack in sheet.packs),
        "pack now": "; ".join(pack.retire for pack in sheet.packs if pack.retire),
        "flags": _flags(sheet.flags),
        "against her best": _measured(against.over_best, units) if against else "",
        "against the run before": _measured(against.over_before, units) if against else "",
        "readings after": "; ".join(
            f"{row.spot}{f' {row.pack}' if row.pack else ''} {_measured(row.reading, units)}"
            for row in sheet.temperatures
        ),
        "warmer than the air": "; ".join(
            _measured(row.rise, units) for row in sheet.temperatures if row.rise.value is not None
        ),
        "worked out": "; ".join(f"{name} {_measured(measure, units)}" for name, measure in sheet.worked_out),
        "service": "; ".join(one.text for one in sheet.services),
        "still missing": ", ".join(sheet.missing),
    }


def _pack_read(pack: PackRow, units: DisplayUnits, is_one_of_two: bool) -> str:
    """What was read off a pack, and what follows from that."""
    read = (
        ("at the start", pack.start_temperature), ("rested", pack.rested), ("each cell", pack.rested_per_cell),
        ("put back", pack.charge), ("of its capacity", pack.share), ("mean current", pack.average_current),
        ("after", pack.voltage_after), ("cells apart", pack.spread),
    )  # fmt: skip
    words = [f"{name} {_measured(measure, units)}" for name, measure in read if measure.value is not None]
    words += [f"cells after {pack.volts_after}"] * bool(pack.volts_after)
    whose = f"{pack.code} " if is_one_of_two else ""
    return "; ".join(whose + one for one in words)


def _measured(measure: Measure, units: DisplayUnits) -> str:
    if measure.value is None:
        return "not known"
    words = str(show(measure.value, measure.kind, units.unit(measure.kind)))
    if measure.low is not None and measure.high is not None:
        low, high = (show(end, measure.kind, units.unit(measure.kind)) for end in (measure.low, measure.high))
        words += f" ({low} to {high})"
    return words + (f", {measure.caution}" if measure.caution else "")


def _of_outings(session: Session, ids: Iterable[int], units: DisplayUnits) -> Readings:
    found = outings_by_id(session, set(ids))
    waters = waters_by_id(session, {one.water_id for one in found.values()})
    counts = run_counts(session, set(found))
    said: Readings = {}
    for outing_id, one in sorted(found.items()):
        began = Moment(one.started_at, one.offset_min)
        counted = counts.get(outing_id)
        thing = Thing(
            "Outings", f"/outings/{outing_id}", f"{began.day()}, {began.clock()}, {waters[one.water_id].name}"
        )
        conditions = {
            fact.label.lower(): _measured(fact.measure, units) if fact.measure else fact.text
            for fact in facts(outing_fields(), one)
        }
        said[thing] = {
            "day": began.day(),
            "began": began.clock(),
            "water": waters[one.water_id].name,
            **{f"{name} as read" if name in ("water",) else name: text for name, text in conditions.items()},
            "notes": one.notes,
            "runs that count": str(counted.runs if counted else 0),
            "logs": str(len(logs(session, outing_id=outing_id))),
            "pictures and notes": str(len(attachments(session, "outing", outing_id))),
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


def _of_packs(session: Session, ids: Iterable[int], units: DisplayUnits, now: Moment) -> Readings:
    packs = packs_by_ids(session, ids)
    if not packs:
        return {}
    stands = counted_at(session, [(pack_id, now.utc) for pack_id in packs])
    judged = verdicts(session, packs)
    said: Readings = {}
    for pack_id, pack in sorted(packs.items()):
        aged = ageing_sheet(pack, history(session, pack, now), judged[pack_id], "0", now.date(), units)
        stand = stands[pack_id, now.utc]
        forecasts = [
            f"capacity {aged.capacity_reaches} {aged.capacity_about}".strip() if aged.capacity_reaches else "",
            *(f"cell {cell.number} {cell.reaches} {cell.about}".strip() for cell in aged.cells if cell.reaches),
        ]
        said[Thing("Packs", f"/packs/{pack_id}", f"Pack {pack.code}")] = {
            "discharges counted": str(stand.discharges),
            "how it stands": stand.text,
            "what speaks against it": judged[pack_id].words or "nothing",
            "forecast": _BETWEEN.join(words.replace(_BETWEEN, ", ") for words in forecasts if words),
        }
    return said


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
            answer = answer_sheet(session, asked, "speed", units)
            said[Thing("Findings", f"/findings/{asked.id}", answer.title)] = finding_reading(answer)
    return said


def finding_reading(answer: AnswerSheet) -> dict[str, str]:
    """What the page of a question says, line by line."""
    effect = answer.effect
    return {
        "answer": answer.verdict or answer.why,
        "effect": f"{effect.percent:+.1f} %, between {effect.low:+.1f} and {effect.high:+.1f} %" if effect else "",
        "rests on": answer.lede,
        "runs that speak": str(sum(one.weight > 0 for one in answer.spoken)),
        "next": " ".join([*answer.next_words, *answer.next_lines]),
        "plan": "; ".join(f"{row.words}{', made' if row.run_id else ''}" for row in answer.planned),
    }


@dataclass(frozen=True)
class Otherwise:
    """One line that reads otherwise: what, as it was, as it will be; '' where nothing is said."""

    what: str
    old: str
    new: str


@dataclass(frozen=True)
class ThingOtherwise:
    """A thing of which something reads otherwise, or several of which the same does: `urls` are the pages of all."""

    group: str
    name: str
    urls: list[str]
    lines: list[Otherwise]


def otherwise(
    before: Mapping[Thing, Mapping[str, str]], after: Mapping[Thing, Mapping[str, str]]
) -> list[ThingOtherwise]:
    """What reads otherwise, thing by thing, in the order of the groups; things of which nothing does are left out."""
    names: dict[Thing, Thing] = {thing: thing for thing in (*after, *before)}
    found: dict[Thing, list[Otherwise]] = {}
    for thing in names.values():
        old, new = before.get(thing, {}), after.get(thing, {})
        lines = [
            Otherwise(what, *_what_differs(old.get(what, ""), new.get(what, "")))
            for what in dict.fromkeys((*old, *new))
            if old.get(what, "") != new.get(what, "")
        ]
        if lines:
            found[thing] = lines
    return [one for group in GROUPS for one in _said_once({t: ls for t, ls in found.items() if t.group == group})]


def _what_differs(old: str, new: str) -> tuple[str, str]:
    """Of two lists those entries that are not in both."""
    olds, news = old.split(_BETWEEN), new.split(_BETWEEN)
    left = [_BETWEEN.join(one for one in mine if one not in other) for mine, other in ((olds, news), (news, olds))]
    return (left[0], left[1]) if any(left) else (old, new)


def _said_once(found: Mapping[Thing, Sequence[Otherwise]]) -> list[ThingOtherwise]:
    """The same change of several things is said once, before what is said of single ones."""
    of_line: dict[Otherwise, list[Thing]] = {}
    for thing, lines in found.items():
        for line in lines:
            of_line.setdefault(line, []).append(thing)
    together: dict[tuple[Thing, ...], list[Otherwise]] = {}
    for line, things in of_line.items():
        if len(things) > 1:
            together.setdefault(tuple(things), []).append(line)
    said = [
        ThingOtherwise(things[0].group, names_of(things), [one.url for one in things], lines)
        for things, lines in together.items()
    ]
    for thing, lines in found.items():
        if alone := [line for line in lines if len(of_line[line]) == 1]:
            said.append(ThingOtherwise(thing.group, thing.name, [thing.url], alone))
    return said


def names_of(things: Sequence[Thing]) -> str:
    """Several things in one breath: `6 runs: Brindle, runs 1, 2 and 4 of 18 October 2026`."""
    parts: dict[tuple[str, str], list[str]] = {}
    for thing in things:
        if thing.part is None:
            return f"{len(things)}: {'; '.join(one.name for one in things)}"
        hull, day, number = thing.part
        parts.setdefault((hull, day), []).append(str(number))
    words = [
        f"{hull}, run{'s' if len(numbers) > 1 else ''} {listed(numbers)} of {day}"
        for (hull, day), numbers in parts.items()
    ]
    return f"{len(things)} runs: {'; '.join(words)}"


GROUPS = ("Build states", "Outings", "Runs", "Packs", "Props", "Drives", "Waters", "Records", "Findings")
