"""A run's edit form: what stands in it, and from what was typed back to the run."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from sqlmodel import Session

from garage.fields.definition import Field, FormData, in_row
from garage.fields.forms import fill
from garage.hulls.store import hull as hull_by_id
from garage.moments import Moment
from garage.packs.store import pack_texts
from garage.packs.verdict_store import retire_words
from garage.props.store import edition_texts
from garage.runs.counting import SpeedStanding
from garage.runs.entry import forms as run_forms
from garage.runs.entry.change_store import change_run, form_of
from garage.runs.entry.pick_store import Option, prop_options
from garage.runs.entry.resolve_store import pack_uses, resolve_packs, resolve_props
from garage.runs.entry.sheets import USUAL_CELLS, fact_values, form_fields
from garage.runs.entry.write import ask_about, ask_after_retirement, note_problems, places_of
from garage.runs.fields import INCIDENT_FIELDS, PACK_FIELDS, TEMPERATURE_FIELDS, RunField, run_fields
from garage.runs.form_data import PackUse, RunFormData, TemperatureFormData
from garage.runs.lines.store import standing_of_run
from garage.runs.store import run, run_with_place
from garage.runs.tables import Run
from garage.states.store import moment_of, states
from garage.units import DisplayUnits, entry_text
from garage.web.fields import Reader

MOST_STATES = 40


@dataclass(frozen=True)
class RunEditSheet:
    """The form of a run already written. `pack_rows` are the beginnings of fields and whose they are."""

    run_id: int
    number: int
    hull_id: int
    hull: str
    places: tuple[str, ...]
    prop_options: list[Option]
    pack_rows: list[tuple[str, str]]
    cells: int
    states: list[Option]
    values: dict[str, str]
    speed: SpeedStanding
    temperature_rows: tuple[str, ...]
    incident_rows: tuple[str, ...] = ("i1",)
    fields: tuple[Field | RunField, ...] = field(default_factory=form_fields)
    pack_fields: tuple[Field | RunField, ...] = PACK_FIELDS
    temperature_fields: tuple[Field | RunField, ...] = TEMPERATURE_FIELDS
    incident_fields: tuple[Field | RunField, ...] = INCIDENT_FIELDS


def edit_sheet(session: Session, run_id: int, units: DisplayUnits) -> RunEditSheet:
    """The form of a run. Raises NotFound."""
    kept = run(session, run_id)
    hull = hull_by_id(session, kept.hull_id)
    form = form_of(session, kept)
    codes = {found.id: found.code for found in pack_texts(session, {use.pack_id for use in form.packs}).values()}
    made = edition_texts(session, {use.edition_id for use in form.props})
    options = prop_options(session, kept.hull_id, list(made.values()))
    retire = retire_words(session, codes)
    titles = [f"Pack {codes[use.pack_id]}" + _but(retire.get(use.pack_id, "")) for use in form.packs]
    rows = [(f"pack{n}", title) for n, title in enumerate(titles, 1)]
    offered = states(session, kept.hull_id, limit=MOST_STATES)
    return RunEditSheet(
        run_id,
        kept.number,
        kept.hull_id,
        hull.name,
        places_of(hull),
        [Option(str(one.id), one.text) for one in options],
        rows or [("pack1", "Pack")],
        max(1, (kept.cells_s or USUAL_CELLS) // (len(form.packs) if _in_series(form) else 1)),
        [Option(str(one.number), f"{one.number}, of {moment_of(one).day()}") for one in offered],
        edit_values(form, codes, units),
        standing_of_run(session, kept),
        tuple(f"t{n}" for n in range(1, _temperature_rows(form) + 1)),
    )


def _in_series(form: RunFormData) -> bool:
    return len(form.packs) > 1 and form.packs[0].wiring == "series"


def _but(words: str) -> str:
    return f" · {words}" if words else ""


def _temperature_rows(form: RunFormData) -> int:
    """Every reading has its row, and two are blank."""
    return min(run_forms.MOST_TEMPERATURES, max(run_forms.TEMPERATURE_ROWS, len(form.temperatures) + 2))


def edit_values(form: RunFormData, codes: dict[int, str], units: DisplayUnits) -> dict[str, str]:
    """The texts that stand in the form of a run already written."""
    values = fact_values(run_fields(), form.facts, units)
    values["started"] = form.started.local_text() if form.started else ""
    values |= {f"pack_code_{number}": codes[use.pack_id] for number, use in enumerate(form.packs, 1)}
    values["wiring"] = form.packs[0].wiring if len(form.packs) > 1 else ""
    values |= {f"prop_{use.place}": str(use.edition_id) for use in form.props}
    for number, use in enumerate(form.packs, 1):
        values |= pack_values(use, f"pack{number}", units) | cell_values(use, f"pack{number}")
    order = {use.pack_id: str(number) for number, use in enumerate(form.packs, 1)}
    for number, reading in enumerate(form.temperatures, 1):
        values |= temperature_values(reading, f"t{number}", order, units)
    return values


def pack_values(use: PackUse, row: str, units: DisplayUnits, fields: Iterable[Field] = PACK_FIELDS) -> dict[str, str]:
    """The texts of what was read off a pack."""
    named = in_row(fields, row)
    volts = {field.name: volts_text(use) for field in named if field.column == "volts_after"}
    return fill([field for field in named if field.name not in volts], use, units) | volts


def cell_values(use: PackUse, row: str) -> dict[str, str]:
    """Voltages that were read cell by cell, each in its own field; the one for the whole pack is open then."""
    volts = enumerate(use.volts_after, 1)
    cells = {f"{row}_volts_{number}": entry_text(volt, "voltage") for number, volt in volts}
    return {f"{row}_volts": "", **cells} if cells else {}


def volts_text(use: PackUse) -> str:
    """Voltages after a run as they are typed: cell by cell, or of the whole pack."""
    return " ".join(entry_text(volt, "voltage") for volt in use.volts_after or (use.end_v,))


def temperature_values(
    reading: TemperatureFormData, row: str, order: dict[int, str], units: DisplayUnits
) -> dict[str, str]:
    """The texts of a reading."""
    return fill(in_row(TEMPERATURE_FIELDS, row), reading, units) | {
        f"{row}_place": "" if reading.place == "single" else reading.place,
        f"{row}_pack": order.get(reading.pack_id or 0, ""),
    }


def _facts(reader: Reader, was: RunFormData) -> FormData:
    """What is written of the run itself; the form has no question of whether the speed counts where there is none."""
    facts = run_forms.read_facts(reader)
    return facts if reader.holds("speed_counts") else {**facts, "speed_counts": was.facts["speed_counts"]}


def save_run(session: Session, run_id: int, reader: Reader, now: Moment) -> Run:
    """Write the run anew as typed. Raises FormErrors, NotFound."""
    kept, hull, _ = run_with_place(session, run_id)
    places = places_of(hull)
    pick = run_forms.read_pack_pick(reader)
    was = form_of(session, kept)
    stay = {use.pack_id for use in was.packs}
    packs = resolve_packs(session, reader, pick, kept_ids=stay)
    if not pick.codes and stay:
        reader.fail("pack_code", "Which pack? A run keeps at least one.")
    rows = [f"pack{number}" for number in range(1, max(len(stay), 1) + 1)]
    readings = [run_forms.read_pack_readings(reader, row) for row in rows]
    ids = tuple(pack.id for pack in packs)
    form = RunFormData(
        hull_id=kept.hull_id,
        outing_id=kept.outing_id,
        facts=_facts(reader, was),
        started=run_forms.read_start(reader, was.started) or was.started,
        props=tuple(resolve_props(session, reader, run_forms.read_prop_picks(reader, places), kept=was.props)),
        packs=tuple(pack_uses(reader, packs, pick.wiring, readings, rows)),
        temperatures=tuple(run_forms.read_temperatures(reader, ids)),
        incidents=tuple(run_forms.read_incidents(reader)),
    )
    why = reader.text("why", most=300)
    if not reader.errors:
        looked = note_problems(session, reader, form, now, True, places, run_id)
        # A run that stands on its day was asked about before.
        if was.started is None or looked.start.date() != was.started.date():
            ask_after_retirement(reader, hull, looked.start)
        ask_about(session, reader, form, packs, rows, "pack_code", was, run_id)
    reader.finish()
    return change_run(session, run_id, form, why, now, was)
