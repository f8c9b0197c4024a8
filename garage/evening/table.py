"""The evening table: a whole outing's runs on one page, and all of it saved at once or not at all."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

from sqlmodel import Session

from garage.evening.asking import ask_row_speed, ask_temperatures, happened_in
from garage.evening.columns import Column, asked_of, columns, in_line
from garage.evening.day import day_fields, day_values, day_words, save_day
from garage.evening.forms import PACK_CELLS, NewRow, cells, evening_values, long_texts, put_away_cells, read_new_row
from garage.evening.known import prop_places, read_known
from garage.fields.definition import Field, FormData, is_open
from garage.hulls.offer import offered
from garage.hulls.store import hull as hull_by_id
from garage.hulls.store import hull_names, hulls_by_ids
from garage.measures import Measure
from garage.moments import Moment
from garage.packs.store import packs_in_use
from garage.packs.verdict_store import retire_words, with_verdict
from garage.preferences.instruments import BY_NAME
from garage.preferences.store import not_measured
from garage.props.store import latest_of
from garage.runs.counting import SpeedStanding
from garage.runs.entry.asking import ask_pack
from garage.runs.entry.change_store import change_run, forms_of
from garage.runs.entry.forms import PackPick, PropPick
from garage.runs.entry.pick_store import Option
from garage.runs.entry.resolve_store import pack_uses, resolve_packs, resolve_props
from garage.runs.entry.sheets import CARRIED, USUAL_CELLS, carried
from garage.runs.entry.validate_store import BUILT_THEN, Looked, look_at
from garage.runs.entry.write import ask_after_retirement, ask_built_day, move_built_day, places_of
from garage.runs.fields import INCIDENTS, PACK_FIELDS, READING_SECTIONS, RunField
from garage.runs.form_data import PropUse, RunFormData
from garage.runs.lines.line import RunLine, line_of
from garage.runs.lines.missing import lacking_of
from garage.runs.lines.store import LineFacts, PackOn, line_facts
from garage.runs.not_known import NOT_KNOWN
from garage.runs.store import add_run, incidents_of, last_run_of_hull, props_of, runs_of_outing, so_far, start_of
from garage.runs.tables import Run
from garage.runs.waiting_store import asked_in_vain
from garage.runs.wiring import cells_in_series
from garage.shelf.lending import named_lent
from garage.shelf.loan_store import open_loans
from garage.units import DisplayUnits
from garage.waters.outing_store import began, outing
from garage.waters.store import water
from garage.web.fields import Reader

ROWS_A_PAGE = 30
NEW_ROWS = ("n1", "n2", "n3", "n4")
MOST_HULLS = 60
MOST_PACKS = 60


@dataclass(frozen=True)
class EveningRow:
    """A run already written: `row` is how its fields begin.

    `props` are its cells for a prop's code with the place, `packs` the beginnings of its packs' cells with the
    code of each; `retire` is the verdict on those packs that something speaks against, by code. `asked` are the columns
    that it lacks, `missing` the same in words; `gist` what else is known of it. `others` are the runs that it may be
    swapped with. `long_texts` do not fit into their cells, by the name of each.
    """

    row: str
    run_id: int
    number: int
    hull: str
    state_number: int
    top_speed: Measure
    props: list[tuple[str, str]]
    packs: list[tuple[str, str]]
    wiring: str
    retire: dict[str, str]
    asked: list[str]
    missing: list[str]
    gist: list[str]
    incidents: list[str]
    others: list[Option]
    speed: SpeedStanding
    long_texts: dict[str, str]


@dataclass(frozen=True)
class EveningSheet:
    """The table. `line` names the columns that stand in the line of each run; the others are in its fold. `pack_cells`:
    how many cells a pack has, by how its fields begin. `in_vain` are the instruments, by name and label, by which
    nothing was measured in the latest runs, though it was asked for."""

    outing_id: int
    started: Moment
    water: str
    rows: list[EveningRow]
    line: list[str]
    new_rows: tuple[str, ...]
    first_new: int
    hulls: list[Option]
    known_packs: list[Option]
    conditions: str
    not_measured: list[str]
    in_vain: list[tuple[str, str]]
    page: int
    more: bool
    values: dict[str, str]
    pack_cells: dict[str, int]
    fields: tuple[Field | RunField, ...] = field(default_factory=cells)
    pack_fields: tuple[Field | RunField, ...] = PACK_CELLS
    outing_fields: tuple[Field, ...] = field(default_factory=day_fields)
    put_away: tuple[Field, ...] = field(default_factory=put_away_cells)

    @property
    def columns(self) -> tuple[Column, ...]:
        """Everything that is asked of a run."""
        return columns()

    @property
    def incident_kinds(self) -> list[tuple[str, str]]:
        """What may have happened, each a tap away."""
        return [(kind, kind) for kind in INCIDENTS]

    @property
    def wanting(self) -> int:
        """How many runs lack something."""
        return sum(bool(row.asked) for row in self.rows)

    @property
    def proposes(self) -> frozenset[str]:
        """The boat of a new row is that of the last run: who fills the row in means the one that was shown."""
        return frozenset(_boat_cell(row) for row in self.new_rows)


def evening_sheet(session: Session, outing_id: int, page: int, units: DisplayUnits) -> EveningSheet:
    """The table of an outing, page by page. Raises NotFound."""
    day = outing(session, outing_id)
    runs = runs_of_outing(session, outing_id, limit=ROWS_A_PAGE + 1, offset=(page - 1) * ROWS_A_PAGE)
    shown = [one for one in runs[:ROWS_A_PAGE] if one.set_aside_at is None]
    never = not_measured(session)
    rows, values, cells_s = _rows(session, shown, units, never)
    boats = [Option(str(one.id), name) for one, name in offered(session, limit=MOST_HULLS)]
    usual = str(runs[-1].hull_id) if runs else boats[0].value if len(boats) == 1 else ""
    values |= {_boat_cell(row): usual for row in NEW_ROWS} | day_values(day, units)
    return EveningSheet(
        outing_id,
        began(day),
        water(session, day.water_id).name,
        rows,
        in_line(row.asked for row in rows),
        NEW_ROWS,
        so_far(session, outing_id).next_number,
        boats,
        _known_packs(session),
        day_words(day, units),
        sorted(never),
        [(name, BY_NAME[name].label) for name in asked_in_vain(session, never)],
        page,
        len(runs) > ROWS_A_PAGE,
        values,
        cells_s | dict.fromkeys((f"{row}_p0" for row in NEW_ROWS), max(cells_s.values(), default=USUAL_CELLS)),
    )


def _boat_cell(row: str) -> str:
    return f"{row}_hull"


def _known_packs(session: Session) -> list[Option]:
    """The codes to write into a row, each with what the pack is and the verdict on it."""
    found = packs_in_use(session, limit=MOST_PACKS)
    ids = [pack.id for pack in found]
    retire, lent = retire_words(session, ids), open_loans(session, "pack", ids)
    known = [Option(pack.code, named_lent(with_verdict(pack, retire), lent.get(pack.id))) for pack in found]
    return [*known, Option(NOT_KNOWN, "nobody knows any more")]


def _rows(
    session: Session, runs: list[Run], units: DisplayUnits, never: Collection[str]
) -> tuple[list[EveningRow], dict[str, str], dict[str, int]]:
    """The rows of some runs, the texts of their fields, and how many cells each of their packs has."""
    rows: list[EveningRow] = []
    values: dict[str, str] = {}
    cells_s: dict[str, int] = {}
    if not runs:
        return rows, values, cells_s
    forms, facts = forms_of(session, runs), line_facts(session, runs)
    boats = hulls_by_ids(session, {one.hull_id for one in runs})
    happened = incidents_of(session, [one.id for one in runs])
    for one in runs:
        form, on_board, line = forms[one.id], facts.packs[one.id], line_of(one, facts)
        lacking = lacking_of(form, never) if one.waiting else []
        others = [Option(str(other.id), f"run {other.number}") for other in runs if other is not one]
        kinds = [incident.kind for incident in happened[one.id] if incident.set_aside_at is None]
        places = prop_places(boats[one.hull_id], facts.props[one.id])
        asked = asked_of(lacking, never)
        found = _row(line, form, on_board, places, facts, asked, lacking, kinds, others)
        rows.append(found)
        values |= evening_values(found.row, form, units)
        lost = NOT_KNOWN if "prop" in form.not_known else ""
        values |= {name: lost for name, _ in found.props}
        values |= {f"{found.row}_prop_{on.place}": on.edition.code for on in facts.props[one.id]}
        values |= _pack_codes(found.row, form, on_board)
        cells_s |= {f"{found.row}_p{on.pack.id}": on.pack.cells_s for on in on_board}
    return rows, values, cells_s


def _pack_codes(row: str, form: RunFormData, on_board: Sequence[PackOn]) -> dict[str, str]:
    """The texts of the fields for the packs of a run."""
    if "pack" in form.not_known:
        return {f"{row}_pack_1": NOT_KNOWN}
    codes = {f"{row}_pack_{number}": on.pack.code for number, on in enumerate(on_board, 1)}
    return codes | ({f"{row}_wiring": on_board[0].use.wiring} if len(on_board) > 1 else {})


def _row(
    line: RunLine,
    form: RunFormData,
    on_board: Sequence[PackOn],
    places: tuple[str, ...],
    facts: LineFacts,
    asked: list[str],
    lacking: list[str],
    incidents: list[str],
    others: list[Option],
) -> EveningRow:
    row = f"r{line.id}"
    on_them = [f"on {line.packs_short}"] if line.packs else []
    gist = [*on_them, line.prop_short, *incidents, line.known, line.ride, line.note.partition("\n")[0]]
    return EveningRow(
        row,
        line.id,
        line.number,
        line.hull,
        line.state_number,
        line.speed,
        [(f"{row}_prop_{place}", place) for place in places],
        [(f"{row}_p{on.pack.id}", on.pack.code) for on in on_board],
        on_board[0].use.wiring if len(on_board) > 1 else "",
        {on.pack.code: facts.retire[on.pack.id] for on in on_board if on.pack.id in facts.retire},
        asked,
        lacking,
        [words for words in gist if words],
        incidents,
        others,
        facts.places[line.id].counting,
        long_texts(form.facts),
    )


@dataclass(frozen=True)
class Saved:
    """What a save of the table wrote: how many runs changed, how many are new, and whether the day's conditions did."""

    changed: int
    new: int
    day: bool


def save_evening(session: Session, outing_id: int, reader: Reader, typed: Mapping[str, str], now: Moment) -> Saved:
    """Write the whole table.

    Raises FormErrors, and then nothing is kept.
    """
    # Asked before the first row is written, as long as what was read of it still holds (`db/unchanged.py`).
    not_measured(session)
    kept = outing(session, outing_id)
    day = began(kept)
    changed = read_known(session, outing_id, reader, typed, day)
    new = [found for row in NEW_ROWS if (found := read_new_row(reader, typed, row, day))]
    forms = {found.row: _settle(session, outing_id, reader, found) for found in new}
    why = reader.text("why", most=300)
    is_other_day = save_day(session, kept, reader, why, now)
    reader.finish()
    for run_id, (was, form) in changed.items():
        change_run(session, run_id, form, why, now, was)
    # Only now: of two that are swapped, each is looked at beside the other as it is from now on.
    for run_id, (was, form) in changed.items():
        if _rests_on(form) != _rests_on(was):
            _note_problems(session, reader, form, f"r{run_id}", now, run_id)
    for row, settled in forms.items():
        _write_new(session, reader, row, settled, now)
    reader.finish()
    return Saved(len(changed), len(forms), is_other_day)


def _rests_on(form: RunFormData) -> tuple[object, ...]:
    """What of a run can go against another one."""
    return form.started, form.facts["duration_s"], {use.pack_id for use in form.packs}


def _settle(session: Session, outing_id: int, reader: Reader, new: NewRow) -> RunFormData | None:
    """A new row as a run; what is blank is as in the last run of that boat."""
    if not hull_names(session, {new.hull_id}):
        reader.fail(f"{new.row}_hull", "Which boat?")
        return None
    hull = hull_by_id(session, new.hull_id)
    last = last_run_of_hull(session, new.hull_id)
    pick = PackPick(codes=new.pack_codes, anyway=new.anyway)
    packs = resolve_packs(session, reader, pick, field=f"{new.row}_pack")
    _move_errors(reader, new.row)
    read = {field.column: getattr(new.reading, field.column) for field in PACK_FIELDS if field.column != "wiring"}
    uses = pack_uses(reader, packs, "", [read], [f"{new.row}_p0"]) if packs or "pack" in new.not_known else []
    facts = new.facts if last is None else {**new.facts, **_as_last(new.facts, last, outing_id)}
    props = _props(session, reader, new, last, places_of(hull))
    readings = tuple(
        replace(one, pack_id=packs[0].id) if one.spot == "pack" and len(packs) == 1 else one for one in new.temperatures
    )
    form = RunFormData(
        new.hull_id, outing_id, facts, new.started, tuple(props), tuple(uses), readings, (), new.not_known,
        new.speed_typed,
    )  # fmt: skip
    if packs:
        ask_pack(reader, packs[0], uses[0], f"{new.row}_p0")
    ask_temperatures(reader, new.row)
    cells_s = cells_in_series([(use.wiring, pack.cells_s) for use, pack in zip(uses, packs, strict=False)])
    ask_row_speed(session, reader, new.row, form, cells_s, {})
    return replace(form, incidents=happened_in(reader, new.row))


def _as_last(facts: FormData, last: Run, outing_id: int) -> FormData:
    """The kind of run, and of how the speed was read what is blank, as in the run before; how another day's was read
    says nothing of this one."""
    before = carried(last)
    asked = [field for field in CARRIED if READING_SECTIONS & {*field.sections} and last.outing_id == outing_id]
    return {"kind": before["kind"]} | {
        one.column: before[one.column] if is_open(facts[one.column]) else facts[one.column] for one in asked
    }


def _props(session: Session, reader: Reader, new: NewRow, last: Run | None, places: tuple[str, ...]) -> list[PropUse]:
    if new.prop_code:
        picks = [PropPick(place, code=new.prop_code) for place in places[:1]]
        props = resolve_props(session, reader, picks, prefix=f"{new.row}_prop")
        words = reader.errors.pop(f"{new.row}_prop_{places[0]}_code", "")
        if words:
            reader.fail(f"{new.row}_prop", words)
        return props
    if "prop" in new.not_known:
        return []
    was = props_of(session, [last.id])[last.id] if last and last.id else []
    latest = latest_of(session, [use.edition_id for use in was])
    return [PropUse(latest[use.edition_id].id, use.place) for use in was]


def _move_errors(reader: Reader, row: str) -> None:
    """The table has one cell for the packs: a message about a code stands there; the tick has its own."""
    words = reader.errors.pop(f"{row}_pack_code", "")
    if words:
        reader.fail(f"{row}_pack", words)


def _write_new(session: Session, reader: Reader, row: str, form: RunFormData | None, now: Moment) -> None:
    if form is None:
        return
    looked = _note_problems(session, reader, form, row, now, None)
    ask_after_retirement(reader, hull_by_id(session, form.hull_id), looked.start, f"{row}_hull_anyway")
    if not reader.errors:
        add_run(session, form, now, written_later=True, looked=looked)


def _note_problems(
    session: Session, reader: Reader, form: RunFormData, row: str, now: Moment, run_id: int | None
) -> Looked:
    start, tick = start_of(session, form, now, written_later=True), f"{row}_{BUILT_THEN}"
    if reader.flag(tick):
        move_built_day(session, hull_by_id(session, form.hull_id), start, now)
    looked = look_at(session, form, start, now, run_id)
    known = run_id is not None
    cells = {"started": "clock", "pack": "pack_1" if known else "pack", "prop": "clock" if known else "prop"}
    for name, words in looked.problems.items():
        if name == BUILT_THEN:
            reader.fail(tick, words + ask_built_day(start))
        else:
            reader.fail(f"{row}_{cells.get(name, 'clock')}", words)
    return looked
