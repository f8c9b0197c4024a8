"""Gathers what an outing's page shows."""

from collections.abc import Sequence

from sqlmodel import Session

from garage.corrections.store import corrections_of
from garage.fields.forms import held
from garage.fields.showing import values
from garage.measures import Measure
from garage.moments import Moment
from garage.outings import sheets
from garage.outings.store import OutingCount, run_counts
from garage.photos.sheets import attached
from garage.photos.store import attachments
from garage.preferences.store import not_measured
from garage.runs.entry.written import mended_words, waters_told
from garage.runs.fields import FIELDS
from garage.runs.lines.line import RunLine, run_lines
from garage.runs.lines.missing import missing
from garage.runs.not_known import not_known_of
from garage.runs.store import packs_of, props_of, runs_of_outing, temperatures_of
from garage.runs.tables import Run, RunTemperature
from garage.units import DisplayUnits
from garage.waters.fields import outing_fields
from garage.waters.outing_store import outing
from garage.waters.rules import rules_of
from garage.waters.store import water, waters_by_id
from garage.waters.tables import Outing

NO_RUNS = OutingCount(0, 0)


def outing_lines(session: Session, outings: Sequence[Outing]) -> list[sheets.OutingLine]:
    """Outings as lines, in their order."""
    ids = {one.id for one in outings}
    counts = run_counts(session, ids)
    waters = waters_by_id(session, {one.water_id for one in outings})
    return [sheets.outing_line(one, waters[one.water_id].name, counts.get(one.id, NO_RUNS)) for one in outings]


def outing_page(
    session: Session, outing_id: int, units: DisplayUnits, *, page: int, limit: int, offset: int
) -> sheets.OutingSheet:
    """Everything about one outing. Raises NotFound."""
    found = outing(session, outing_id)
    place = water(session, found.water_id)
    runs = runs_of_outing(session, outing_id, limit=limit + 1, offset=offset)
    mended = corrections_of(session, "outing", [outing_id]).get(outing_id, [])
    return sheets.OutingSheet(
        outing_id=outing_id,
        started=Moment(found.started_at, found.offset_min),
        water_id=place.id,
        water=place.name,
        water_rules=rules_of(place, units),
        closed=Moment(found.closed_at, found.offset_min) if found.closed_at else None,
        set_aside=found.set_aside_at is not None,
        conditions=sheets.conditions_of(found),
        words=sheets.words_of(found),
        notes=found.notes,
        rows=_rows(session, runs[:limit], found.air_c),
        page=page,
        more=len(runs) > limit,
        corrections=mended_words(mended, units, _water_names(session, waters_told(mended))),
        attached=attached("outing", outing_id, attachments(session, "outing", outing_id)),
        values={},
        fields=values(outing_fields(), found),
    )


def _water_names(session: Session, ids: set[int]) -> dict[int, str]:
    return {one: found.name for one, found in waters_by_id(session, ids).items()} if ids else {}


def _rows(session: Session, runs: Sequence[Run], air_c: float | None) -> list[sheets.OutingRun]:
    ids = [run.id for run in runs]
    packs, temperatures, props = packs_of(session, ids), temperatures_of(session, ids), props_of(session, ids)
    rows: list[sheets.OutingRun] = []
    before: dict[int, RunLine] = {}
    for run, line in zip(runs, run_lines(session, runs), strict=True):
        read = temperatures.get(line.id, [])
        known = (packs.get(line.id, []), len(read), len(props.get(line.id, [])))
        answered = (not_known_of(run.not_known), not_measured(session))
        asked = run.waiting and not run.set_aside_at
        lacking = missing(held(FIELDS, run), *known, *answered) if asked else []
        changed = _changed(before.get(line.hull_id), line)
        rows.append(sheets.OutingRun(line, changed, _pack_rise(read, air_c), lacking))
        before[line.hull_id] = line
    return rows


def _changed(before: RunLine | None, line: RunLine) -> list[str]:
    """What is different from the run of this boat before it, on the same day."""
    if before is None:
        return []
    both_known = "state" not in {*before.not_known, *line.not_known}
    asked = (
        ("state", both_known and before.state_number != line.state_number, f"state {line.state_number}"),
        ("prop", bool(line.prop) and before.prop != line.prop, f"prop {line.prop}"),
        (
            "packs",
            bool(line.packs) and before.packs != line.packs,
            f"{'packs' if ' + ' in line.packs else 'pack'} {line.packs}",
        ),
        ("reading", before.known != line.known and bool(line.known), "another way of reading"),
    )
    return [words for _, is_new, words in asked if is_new]


def _pack_rise(read: Sequence[RunTemperature], air_c: float | None) -> Measure:
    """The hottest reading of a pack over the air."""
    packs = [one.temperature_c for one in read if one.spot == "pack"]
    rise = max(packs) - air_c if packs and air_c is not None else None
    return Measure(rise, "temperature_rise", "pack after the run less the air of the outing")
