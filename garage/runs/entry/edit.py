"""A run's edit form: what stands in it, and from what was typed back to the run."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from sqlmodel import Session

from garage.fields.definition import Field, FormData, in_row
from garage.fields.forms import fill
from garage.measures import Measure
from garage.moments import Moment
from garage.packs.store import pack_texts
from garage.packs.tables import Pack
from garage.packs.verdict_store import retire_words
from garage.preferences.store import not_measured
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
from garage.runs.not_known import NOT_KNOWN
from garage.runs.store import run_with_place
from garage.runs.tables import Run
from garage.states.store import state_texts
from garage.units import DisplayUnits, entry_text, shortest_entry
from garage.waters.store import water
from garage.web.fields import Reader


@dataclass(frozen=True)
class RunEditSheet:
    """The form of a run already written. `pack_rows` are the beginnings of fields and whose they are."""

    run_id: int
    number: int
    started: Moment
    hull_id: int
    hull: str
    places: tuple[str, ...]
    prop_options: list[Option]
    pack_rows: list[tuple[str, str]]
    cells: int
    state_number: int
    course: Measure
    values: dict[str, str]
    speed: SpeedStanding
    temperature_rows: tuple[str, ...]
    incident_rows: tuple[str, ...] = ("i1",)
    not_measured: tuple[str, ...] = ()
    fields: tuple[Field | RunField, ...] = field(default_factory=form_fields)
    pack_fields: tuple[Field | RunField, ...] = PACK_FIELDS
    temperature_fields: tuple[Field | RunField, ...] = TEMPERATURE_FIELDS
    incident_fields: tuple[Field | RunField, ...] = INCIDENT_FIELDS


def edit_sheet(session: Session, run_id: int, units: DisplayUnits) -> RunEditSheet:
    """The form of a run. Raises NotFound."""
    kept, hull, day = run_with_place(session, run_id)
    form = form_of(session, kept)
    codes = {found.id: found.code for found in pack_texts(session, {use.pack_id for use in form.packs}).values()}
    made = edition_texts(session, {use.edition_id for use in form.props})
    options = prop_options(session, kept.hull_id, list(made.values()))
    retire = retire_words(session, codes)
    titles = [f"Pack {codes[use.pack_id]}" + _but(retire.get(use.pack_id, "")) for use in form.packs]
    rows = [(f"pack{n}", title) for n, title in enumerate(titles, 1)]
    return RunEditSheet(
        run_id,
        kept.number,
        Moment(kept.started_at, kept.offset_min),
        kept.hull_id,
        hull.name,
        places_of(hull),
        [Option(str(one.id), one.text) for one in options],
        rows or [("pack1", "Pack")],
        max(1, (kept.cells_s or USUAL_CELLS) // (len(form.packs) if _in_series(form) else 1)),
        state_texts(session, [kept.state_id])[kept.state_id][0],
        Measure(water(session, day.water_id).course_m, "distance", "of this water"),
        edit_values(form, codes, units, places_of(hull)),
        standing_of_run(session, kept),
        tuple(f"t{n}" for n in range(1, _temperature_rows(form) + 1)),
        not_measured=tuple(sorted(not_measured(session))),
    )


def _in_series(form: RunFormData) -> bool:
    return len(form.packs) > 1 and form.packs[0].wiring == "series"


def _but(words: str) -> str:
    return f" · {words}" if words else ""


def _temperature_rows(form: RunFormData) -> int:
    """Every reading has its row, and two are blank."""
    return min(run_forms.MOST_TEMPERATURES, max(run_forms.TEMPERATURE_ROWS, len(form.temperatures) + 2))


def edit_values(
    form: RunFormData, codes: dict[int, str], units: DisplayUnits, places: Iterable[str] = ()
) -> dict[str, str]:
    """The texts that stand in the form of a run already written."""
    values = fact_values(run_fields(), form.facts, units)
    values["speed"] = speed_text(form, units)
    values["started"] = form.started.local_text() if form.started else ""
    values |= {f"{word}_known": NOT_KNOWN for word in sorted(form.not_known - {"prop"})}
    values |= {f"pack_code_{number}": codes[use.pack_id] for number, use in enumerate(form.packs, 1)}
    values["wiring"] = form.packs[0].wiring if len(form.packs) > 1 else ""
    if "prop" in form.not_known:
        values |= {f"prop_{place}": NOT_KNOWN for place in places}
    values |= {f"prop_{use.place}": str(use.edition_id) for use in form.props}
    for number, use in enumerate(form.packs, 1):
        values |= pack_values(use, f"pack{number}", units) | cell_values(use, f"pack{number}")
    order = {use.pack_id: str(number) for number, use in enumerate(form.packs, 1)}
    for number, reading in enumerate(form.temperatures, 1):
        values |= temperature_values(reading, f"t{number}", order, units)
    return values


def speed_text(form: RunFormData, units: DisplayUnits) -> str:
    """The speed as it was typed."""
    return form.speed_typed or shortest_entry(form.facts["speed_kmh"], "speed", units.unit("speed"))


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
    # Asked before the first row is written, as long as what was read of it still holds (`db/unchanged.py`).
    not_measured(session)
    kept, hull, day = run_with_place(session, run_id)
    places = places_of(hull)
    was = form_of(session, kept)
    rows = [f"pack{number}" for number in range(1, max(len(was.packs), 1) + 1)]
    packs, uses = _packs(session, reader, was, rows)
    picks = run_forms.read_prop_picks(reader, places)
    form = RunFormData(
        hull_id=kept.hull_id,
        outing_id=kept.outing_id,
        facts=run_forms.read_course_here(reader, _facts(reader, was), lambda: water(session, day.water_id).course_m),
        started=run_forms.read_start(reader, was.started) or was.started,
        props=tuple(resolve_props(session, reader, picks, kept=was.props)),
        packs=uses,
        temperatures=tuple(run_forms.read_temperatures(reader, tuple(pack.id for pack in packs))),
        incidents=tuple(run_forms.read_incidents(reader)),
        not_known=run_forms.read_not_known(reader, picks, is_pack=run_forms.said_not_known(reader, "pack")),
        speed_typed=run_forms.read_speed_typed(reader),
    )
    form = _without_unknown(reader, form, was)
    why = reader.text("why", most=300)
    if not reader.errors:
        looked = note_problems(session, reader, form, now, True, places, run_id)
        # A run that stands on its day was asked about before.
        if was.started is None or looked.start.date() != was.started.date():
            ask_after_retirement(reader, hull, looked.start)
        ask_about(session, reader, form, packs, rows, "pack_code", was, run_id)
    reader.finish()
    return change_run(session, run_id, form, why, now, was)


def _packs(
    session: Session, reader: Reader, was: RunFormData, rows: Sequence[str]
) -> tuple[list[Pack], tuple[PackUse, ...]]:
    """The packs as typed, with what was read off each; none where nobody knows them any more."""
    pick = run_forms.read_pack_pick(reader)
    stay = {use.pack_id for use in was.packs}
    packs = resolve_packs(session, reader, pick, kept_ids=stay)
    readings = [run_forms.read_pack_readings(reader, row) for row in rows]
    if is_given_up(run_forms.said_not_known(reader, "pack"), [pack.id for pack in packs], [*stay]):
        # What was read off them stays in the ledger, as it stands; anything newer would belong to no pack.
        told = zip(rows, readings, was.packs or (PackUse(0),), strict=True)
        for row in (row for row, read, use in told if any(getattr(use, name) != read[name] for name in read)):
            reader.fail(f"{row}_charge", "This was changed, and the pack is said to be not known: which of the two?")
        return [], ()
    if not pick.codes and stay:
        reader.fail("pack_code", "Which pack? If nobody knows any more, say so beside it.")
    return packs, tuple(pack_uses(reader, packs, pick.wiring, readings, rows))


def is_given_up(said: bool, typed: Any, stood: Any) -> bool:
    """Whether an answer goes, since it was said that nobody knows it: it stands in the form as it was, or is gone. One
    that was typed anew stays."""
    return said and typed in (stood, None, [])


def _without_unknown(reader: Reader, form: RunFormData, was: RunFormData) -> RunFormData:
    """The run as typed without what is said to be not known. A message where both were said just now."""
    said, speed = form.not_known, form.facts["speed_kmh"]
    if "speed" in said and is_given_up(True, speed, was.facts["speed_kmh"]):
        form = replace(form, facts={**form.facts, "speed_kmh": None}, speed_typed="")
    if "start" in said and is_given_up(True, form.started, was.started):
        form = replace(form, started=None)
    both = {"speed": form.facts["speed_kmh"] is not None, "start": form.started is not None, "pack": bool(form.packs)}
    for word in (word for word, typed in both.items() if typed and word in said - was.not_known):
        reader.fail(f"{word}_known", f"Another {word} was typed, and it is said to be not known: which of the two?")
    return form
