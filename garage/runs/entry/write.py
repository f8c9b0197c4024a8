"""From a run form to a run in the notebook: read, settle what was picked, look for clashes, write."""

from collections.abc import Sequence

from sqlmodel import Session

from garage.errors import NotFound
from garage.fields.definition import FormData
from garage.fields.forms import blank
from garage.hulls.store import hull as hull_by_id
from garage.hulls.tables import Hull
from garage.moments import Moment, day_text
from garage.packs.tables import Pack
from garage.preferences.store import not_measured
from garage.runs.entry import asking
from garage.runs.entry import forms as run_forms
from garage.runs.entry.resolve_store import pack_uses, resolve_packs, resolve_props
from garage.runs.entry.sheets import carried
from garage.runs.entry.usual_store import ran_before
from garage.runs.entry.validate_store import BUILT_THEN, Looked, look_at
from garage.runs.fields import FIELDS, READING_COLUMNS
from garage.runs.form_data import RunFormData
from garage.runs.store import SoFar, add_run, last_run_of_hull, so_far, start_of
from garage.runs.tables import Run
from garage.runs.wiring import cells_in_series
from garage.waters.forms import read_outing, read_water_choice
from garage.waters.outing_store import add_outing, outing
from garage.waters.store import begin_water, water, water_by_name
from garage.waters.tables import Outing
from garage.web.fields import Reader

TWO_SCREWS = 2


def places_of(hull: Hull) -> tuple[str, ...]:
    """Where a hull carries props: one place, or left and right."""
    return ("left", "right") if hull.screws == TWO_SCREWS else ("single",)


def write_run(session: Session, reader: Reader, now: Moment) -> Run:
    """Write down the run of the form, with its outing if that is new. Raises FormErrors."""
    # Asked before the first row is written, as long as what was read of it still holds (`db/unchanged.py`).
    not_measured(session)
    hull = _hull(session, reader)
    day, before = _outing(session, reader, now)
    places = places_of(hull) if hull else ("single",)
    pick = run_forms.read_pack_pick(reader)
    packs = resolve_packs(session, reader, pick)
    rows = [f"pack{number}" for number in range(1, run_forms.PACK_ROWS + 1)]
    readings = [run_forms.read_pack_readings(reader, row) for row in rows]
    picks = run_forms.read_prop_picks(reader, places)
    props = resolve_props(session, reader, picks)
    form = RunFormData(
        hull_id=hull.id if hull else 0,
        outing_id=day.id if day else 0,
        facts=_facts(session, reader, hull, day),
        started=run_forms.read_start(reader),
        props=tuple(props),
        packs=tuple(pack_uses(reader, packs, pick.wiring, readings, rows)),
        temperatures=tuple(run_forms.read_temperatures(reader, tuple(pack.id for pack in packs))),
        incidents=tuple(run_forms.read_incidents(reader)),
        not_known=run_forms.read_not_known(reader, picks, is_pack=pick.not_known),
        speed_typed=run_forms.read_speed_typed(reader),
    )
    _not_both(reader, form)
    looked = None
    if hull and day and not reader.errors:
        looked = note_problems(session, reader, form, now, bool(pick.codes), places, before=before)
        ask_after_retirement(reader, hull, looked.start)
        ask_about(session, reader, form, packs, rows, "pack_code" if pick.codes else "pack")
    reader.finish()
    return add_run(session, form, now, looked=looked, before=before)


def _not_both(reader: Reader, form: RunFormData) -> None:
    """A message where something is told and said to be not known at once."""
    told = {"speed": form.facts["speed_kmh"] is not None, "start": form.started is not None}
    for word in (word for word, is_told in told.items() if is_told and word in form.not_known):
        reader.fail(f"{word}_known", f"A {word} was typed, and it is said to be not known: which of the two?")


def _facts(session: Session, reader: Reader, hull: Hull | None, day: Outing | None) -> FormData:
    """What is written of the run itself, with what is taken over from the last one if that is asked for."""

    def of_last() -> FormData | None:
        last = last_run_of_hull(session, hull.id) if hull else None
        return carried(last) if last else None

    facts = run_forms.read_way(reader, run_forms.read_facts(reader), of_last)
    facts = run_forms.read_course_here(reader, facts, lambda: water(session, day.water_id).course_m if day else None)
    if facts["speed_kmh"] is None and run_forms.said_not_known(reader, "speed"):
        # Of a speed that nobody knows, nothing is taken over of how it was read.
        nothing = blank(FIELDS)
        return {**facts, **{name: nothing[name] for name in READING_COLUMNS}}
    return facts


def ask_about(
    session: Session,
    reader: Reader,
    form: RunFormData,
    packs: Sequence[Pack],
    rows: Sequence[str],
    pack_field: str,
    was: RunFormData | None = None,
    run_id: int = 0,
) -> None:
    """Ask about what is far from usual in a run's own form, as far as it `was` not written so already."""
    before = {use.pack_id: use for use in was.packs} if was else {}
    read = {reading.temperature_c for reading in was.temperatures} if was else set()
    for pack, use, row in zip(packs, form.packs, rows, strict=False):
        asking.ask_pack(reader, pack, use, row, before.get(use.pack_id))
    for row, reading in zip(run_forms.temperature_rows(reader), form.temperatures, strict=False):
        asking.ask_temperature(reader, f"{row}_temperature", reading.temperature_c, read)
    is_new_speed = was is None or was.facts["speed_kmh"] != form.facts["speed_kmh"]
    is_new_pack = set(before) != {use.pack_id for use in form.packs}
    if not ((is_new_speed and form.facts["speed_kmh"]) or is_new_pack):
        return
    ran = [one for one in ran_before(session, form.hull_id) if one.id != run_id]
    cells_s = cells_in_series([(use.wiring, pack.cells_s) for use, pack in zip(form.packs, packs, strict=False)])
    if is_new_pack:
        asking.ask_cells(reader, pack_field, cells_s, ran)
    if is_new_speed:
        usual = asking.usual_speed(ran, form.facts, cells_s)
        asking.ask_speed(reader, "speed", form.facts["speed_kmh"], usual, _happened)


def _happened(kind: str, cause: str) -> dict[str, str]:
    """The fields of the form that write an incident down."""
    return {"i1_kind": kind, "i1_cause": cause} if cause else {"i1_kind": kind}


def ask_after_retirement(reader: Reader, hull: Hull, start: Moment, field: str = "hull_anyway") -> None:
    """Put a message at a tick beside a run of a hull that was retired before it, unless that is ticked."""
    if (words := retired_before(hull, start)) and not reader.flag(field):
        reader.fail(field, f"{words} Tick this if she really ran.")


def retired_before(hull: Hull, start: Moment) -> str:
    """That a hull was retired before a run, in words; '' if she was not."""
    if not hull.retired_on or start.date() <= hull.retired_on:
        return ""
    return f"{hull.name} is retired since {day_text(hull.retired_on)}, before this run."


def note_problems(
    session: Session,
    reader: Reader,
    form: RunFormData,
    now: Moment,
    by_code: bool,
    places: tuple[str, ...],
    run_id: int | None = None,
    before: SoFar | None = None,
) -> Looked:
    """Put what the form goes against beside the fields it came from."""
    start = start_of(session, form, now, before)
    if reader.flag(BUILT_THEN):
        move_built_day(session, hull_by_id(session, form.hull_id), start, now)
    looked = look_at(session, form, start, now, run_id)
    fields = {"pack": "pack_code" if by_code else "pack", "prop": f"prop_{places[0]}"}
    for name, words in looked.problems.items():
        reader.fail(fields.get(name, name), words + (ask_built_day(looked.start) if name == BUILT_THEN else ""))
    return looked


def ask_built_day(start: Moment) -> str:
    """What is said at the tick that moves the day on which a boat was built."""
    return f" Tick this if she was there on {start.day()} already: “built or bought on” is moved to then."


def move_built_day(session: Session, hull: Hull, start: Moment, now: Moment) -> None:
    """Move the day a boat was built to that of a run before it; her notes say so."""
    if not hull.built_on or start.date() >= hull.built_on:
        return
    said = (
        f"“Built or bought on” was moved from {day_text(hull.built_on)} to {start.day()} on {now.day()}, "
        "for a run of that day."
    )
    hull.notes = f"{hull.notes}\n{said}" if hull.notes else said
    hull.built_on = start.date()
    session.add(hull)
    session.flush()


def _hull(session: Session, reader: Reader) -> Hull | None:
    written = reader.text("hull", most=12)
    if written.isascii() and written.isdigit():
        try:
            return hull_by_id(session, int(written))
        except NotFound:
            pass
    reader.fail("hull", "Which hull? Choose one from the list.")
    return None


def _outing(session: Session, reader: Reader, now: Moment) -> tuple[Outing | None, SoFar]:
    """The outing of the run and how far it is written: the one the form belongs to, or a new one at the water chosen or
    named."""
    written = reader.text("outing", most=12)
    if written.isascii() and written.isdigit():
        try:
            found = outing(session, int(written))
            if found.set_aside_at:
                reader.fail("outing", "That outing was set aside meanwhile: choose another, or bring it back.")
            return found, so_far(session, found.id)
        except NotFound:
            reader.fail("outing", "That outing is not in the notebook.")
            return None, SoFar()
    return begin_outing(session, reader, now), SoFar()


def begin_outing(session: Session, reader: Reader, now: Moment) -> Outing | None:
    """A new outing as typed; None when something is wrong with it, which stands in the reader then."""
    # All is read before a new water is written.
    form = read_outing(reader, now, 0)
    water_id = water_of(session, reader, now)
    return None if reader.errors or water_id is None else add_outing(session, {**form, "water_id": water_id}, now)


def water_of(session: Session, reader: Reader, now: Moment) -> int | None:
    """The water chosen, or a new one of which only the name is known; a name already there means that one."""
    picked, name = read_water_choice(reader)
    if picked is not None:
        try:
            return water(session, picked).id
        except NotFound:
            reader.fail("water", "Choose one from the list.")
            return None
    if not name or reader.errors:
        return None
    known = water_by_name(session, name) or begin_water(session, {"name": name}, now)
    return known.id
