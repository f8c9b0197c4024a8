"""Rows of a spreadsheet made into runs, one by one: those that cannot be are refused in words, the others stay."""

from collections.abc import Sequence
from datetime import time

from sqlalchemy import func
from sqlmodel import Session, select

from garage.errors import GarageError
from garage.fields.definition import FormData
from garage.hulls.tables import Hull
from garage.moments import Moment, day_text
from garage.packs.store import pack_by_code
from garage.past_runs.forms import Choices
from garage.past_runs.reading import SheetOfRows
from garage.past_runs.row import PastRow, Refused, local_moment, read_row
from garage.past_runs.tables import PastImportLine
from garage.props.store import edition_by_code, editions
from garage.runs.entry.change_store import wave_away
from garage.runs.entry.write import move_built_day, retired_before
from garage.runs.fields import FIELDS as RUN_FIELDS
from garage.runs.fields import PACK_FIELDS, READING_SECTIONS, run_fields
from garage.runs.form_data import PackUse, PropUse, RunFormData, TemperatureFormData, run_facts
from garage.runs.store import add_run
from garage.units import DisplayUnits, show
from garage.waters.fields import OUTING_FIELDS
from garage.waters.form_data import outing_form
from garage.waters.outing_store import add_outing, close_outing, outings_by_id, outings_of_day
from garage.waters.store import add_water, water_by_name
from garage.waters.tables import Outing

_SPOTS = {
    "pack_temperature": "pack",
    "motor_temperature": "motor end bell",
    "controller_temperature": "speed controller",
}
_NOON = time(12, 0)
_OF_READING = {field.column for field in RUN_FIELDS if READING_SECTIONS & {*field.sections}}


class PastRuns:
    """Takes in the rows of one spreadsheet, within a transaction that the caller keeps or drops."""

    def __init__(self, session: Session, import_id: int, choices: Choices, now: Moment, units: DisplayUnits) -> None:
        self._session, self._import_id, self._choices, self._now = session, import_id, choices, now
        self._units = units
        self.new_outings: set[int] = set()

    def take_in(self, table: SheetOfRows) -> list[PastImportLine]:
        """What became of every row."""
        rules = self._choices.rules(len(table.headings))
        lines = []
        for number, cells in table.rows:
            line = PastImportLine(import_id=self._import_id, row=number)
            try:
                row = read_row(cells, rules)
                with self._session.begin_nested():
                    line.run_id, line.said = self._add(row)
            except (Refused, GarageError) as error:
                line.refused = str(error)
            lines.append(line)
        return lines

    def _add(self, row: PastRow) -> tuple[int, str]:
        hull = self._hull(row)
        start = Moment.of(local_moment(row.day, row.clock)) if row.clock else None
        noon = Moment.of(local_moment(row.day, row.clock or _NOON))
        if noon.utc > self._now.utc:
            raise Refused(f"{day_text(row.day.isoformat())} is still to come.")
        if not self._choices.retired_too and (words := retired_before(hull, noon)):
            raise Refused(f"{words} Tick above that she really ran, if so.")
        if hull.built_on and noon.date() < hull.built_on and not self._choices.built_then:
            raise Refused(f"{hull.name} was built on {day_text(hull.built_on)}. Tick above that she was there, if so.")
        move_built_day(self._session, hull, noon, self._now)
        props, packs, temperatures = self._props(row, start or noon), self._packs(row), _temperatures(row)
        day, is_new = self._outing(row, noon)
        form = RunFormData(
            hull.id, day.id, self._facts(row), start, props, packs, temperatures, speed_typed=row.speed_typed
        )
        new = add_run(self._session, form, self._now, written_later=True)
        wave_away(self._session, new.id, self._now.utc)
        if is_new and day.id is not None:
            self.new_outings.add(day.id)
        speed = row.measures.get("speed")
        shown = "" if speed is None else f", {show(speed, 'speed', self._units.unit('speed'))}"
        return new.id, f"{hull.name}, {day_text(row.day.isoformat())}{shown}"

    def _hull(self, row: PastRow) -> Hull:
        name = row.text("hull")
        if not name and self._choices.hull_id is not None:
            found = self._session.get(Hull, self._choices.hull_id)
        else:
            found = self._session.exec(select(Hull).where(func.lower(Hull.name) == name.lower())).first()
        if found is None:
            words = f"There is no hull called “{name[:60]}”: write it down first."
            raise Refused(words if name else "Hull: this is needed.")
        return found

    def _outing(self, row: PastRow, noon: Moment) -> tuple[Outing, bool]:
        """The outing of that day at that water; a new one, and a new water, if there is none."""
        name = row.text("water") or self._choices.water
        if not name:
            raise Refused("Water: this is needed.")
        water = water_by_name(self._session, name) or add_water(self._session, {"name": name}, self._now)
        of_day = outings_by_id(self._session, set(outings_of_day(self._session, noon)))
        for found in of_day.values():
            if found.water_id == water.id and found.set_aside_at is None:
                return found, False
        form = outing_form(water.id, noon, **row.told(OUTING_FIELDS))
        new = add_outing(self._session, form, self._now)
        return close_outing(self._session, new.id, self._now.utc), True

    def _facts(self, row: PastRow) -> FormData:
        told = row.told(run_fields())
        if "speed_kmh" not in told:
            return run_facts(**{name: value for name, value in told.items() if name not in _OF_READING})
        return run_facts(**{"speed_how": self._choices.speed_how, "ways": self._choices.ways} | told)

    def _packs(self, row: PastRow) -> tuple[PackUse, ...]:
        code, told = row.text("pack"), row.told(PACK_FIELDS)
        if not code:
            if told:
                label = next(field.label for field in PACK_FIELDS if field.column in told)
                raise Refused(f"{label}: {'into' if 'charge_mah' in told else 'of'} which pack?")
            return ()
        pack = pack_by_code(self._session, code)
        if pack is None or pack.id is None:
            raise Refused(f"There is no pack “{code[:40]}”: write it down first.")
        return (PackUse(pack.id, **told),)

    def _props(self, row: PastRow, start: Moment) -> tuple[PropUse, ...]:
        """The prop as it was on that day: its last edition made by then, or its first."""
        code = row.text("prop")
        if not code:
            return ()
        latest = edition_by_code(self._session, code)
        if latest is None:
            raise Refused(f"There is no prop “{code[:40]}”: write it down first.")
        made = editions(self._session, latest.prop_id)
        then = next((edition for edition in made if edition.made_at <= start.utc), made[-1])
        return (PropUse(then.id),)


def _temperatures(row: PastRow) -> tuple[TemperatureFormData, ...]:
    return tuple(TemperatureFormData(spot, row.measures[name]) for name, spot in _SPOTS.items() if name in row.measures)


def offered_hulls(session: Session) -> Sequence[Hull]:
    """The hulls that rows may be of, by name."""
    return session.exec(select(Hull).order_by(Hull.name).limit(300)).all()
