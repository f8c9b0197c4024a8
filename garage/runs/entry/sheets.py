"""The form of a new run: as the last run of that boat, except for what is new."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from types import SimpleNamespace
from typing import Any

from garage.fields.definition import Field, FormData
from garage.fields.forms import blank, fill, held
from garage.measures import Measure
from garage.moments import Moment
from garage.preferences.instruments import OF_SPOT
from garage.props.store import EditionText
from garage.runs.entry.forms import INCIDENT_ROWS, PACK_ROWS, TEMPERATURE_ROWS
from garage.runs.entry.pick_store import Option
from garage.runs.fields import (
    AVERAGING_WAY,
    FIELDS,
    INCIDENT_FIELDS,
    INCIDENTS,
    PACK_FIELDS,
    READING_COLUMNS,
    TEMPERATURE_FIELDS,
    RunField,
    run_fields,
)
from garage.runs.lines.speed_words import reading_words
from garage.runs.tables import Run
from garage.units import DisplayUnits
from garage.waters.fields import OUTING_FIELDS
from garage.waters.rules import rules_of
from garage.waters.tables import Outing, Water

CARRIED = tuple(field for field in FIELDS if field.carried)
FIRST_SPOTS = ("motor end bell", "speed controller", "pack", "wires and plugs")
# The readings that are asked for beside each other, and what they are called there.
MOST_QUICK = 4
# How many cells are asked for one by one, while it is not known how many the boat runs on.
USUAL_CELLS = 3
# What is as usual with a pack, and not said beside its code.
USUAL = ("in service", "broken in")
QUICK_SPOTS = (("t1", "Motor"), ("t2", "Controller"), ("t3", "Pack"))


def spots_in_sight(not_measured: Collection[str]) -> tuple[tuple[str, str], ...]:
    """The readings asked for beside each other, without those that nobody takes; they are among the further ones."""
    both = zip(QUICK_SPOTS, FIRST_SPOTS, strict=False)
    return tuple(quick for quick, spot in both if OF_SPOT[spot] not in not_measured)


def form_fields() -> tuple[Field, ...]:
    """What the form of a run asks of the run itself."""
    return (*run_fields(), AVERAGING_WAY)


@dataclass(frozen=True)
class OutingBrief:
    """An outing as the run form names it."""

    id: int
    started: Moment
    water: str
    is_today: bool
    rules: list[str]


@dataclass(frozen=True)
class Kept:
    """What carries over from the last run: what it is, how it reads, and what is new about it."""

    name: str
    label: str
    text: str
    flag: str = ""


@dataclass(frozen=True)
class RunFormSheet:
    """The form of a new run. Without a hull it asks for one; without an outing it begins one. `not_measured` are the
    instruments whose fields are out of sight."""

    hull_id: int | None
    hull: str
    hulls: list[Option]
    outing: OutingBrief | None
    older_open: OutingBrief | None
    waters: list[Option]
    number: int
    as_run: int | None
    as_day: Moment | None
    state: Kept | None
    places: tuple[str, ...]
    props: list[Kept]
    prop_options: list[Option]
    pack_options: list[Option]
    only_left: str
    reading: str
    is_first: bool
    kind: str
    course: Measure
    values: dict[str, str]
    temperature_rows: tuple[str, ...] = tuple(f"t{number}" for number in range(1, TEMPERATURE_ROWS + 1))
    incident_rows: tuple[str, ...] = tuple(f"i{number}" for number in range(1, INCIDENT_ROWS + 1))
    cells: int = USUAL_CELLS
    pack_rows: tuple[str, ...] = tuple(f"pack{number}" for number in range(1, PACK_ROWS + 1))
    fields: tuple[Field | RunField, ...] = field(default_factory=form_fields)
    outing_fields: tuple[Field | RunField, ...] = OUTING_FIELDS
    pack_fields: tuple[Field | RunField, ...] = PACK_FIELDS
    temperature_fields: tuple[Field | RunField, ...] = TEMPERATURE_FIELDS
    incident_fields: tuple[Field | RunField, ...] = INCIDENT_FIELDS
    quick_spots: tuple[tuple[str, str], ...] = QUICK_SPOTS
    not_measured: tuple[str, ...] = ()

    def quick_packs(self, pressed: str) -> list[tuple[str, str, str]]:
        """The packs a tap away: value, code, and what is not as usual with it.

        The one that was `pressed` stays among them, though others come first since the form was opened.
        """
        also = [option for option in self.further_packs if option.value in (pressed, self.only_left)]
        return [_quick_pack(option, self.only_left) for option in (*self.pack_options[:MOST_QUICK], *also)]

    @property
    def incident_kinds(self) -> list[tuple[str, str]]:
        """What may have happened, each a tap away."""
        return [(kind, kind) for kind in INCIDENTS]

    @property
    def further_packs(self) -> list[Option]:
        """The packs in the longer list."""
        return self.pack_options[MOST_QUICK:]


def _quick_pack(option: Option, only_left: str) -> tuple[str, str, str]:
    code, *words = option.text.split(" · ")
    said = ["the only one left"] if option.value == only_left else []
    return option.value, code, " · ".join(said + [word for word in words[1:] if word not in USUAL])


def outing_brief(outing: Outing, water: Water, today: str, units: DisplayUnits) -> OutingBrief:
    """An outing by its day and water, with that water's own rules."""
    started = Moment(outing.started_at, outing.offset_min)
    return OutingBrief(outing.id, started, water.name, started.date() == today, rules_of(water, units))


def carried_values(last: Run | None, props: dict[str, int], is_first: bool, units: DisplayUnits) -> dict[str, str]:
    """The texts that stand in the form: as in the last run; `props` names an edition for each place.

    How the speed is read is asked anew for the first run of a day: what held months ago is no reading of today.
    """
    nothing = blank(CARRIED)
    facts = carried(last) if last else nothing
    asked_anew = {name: nothing[name] for name in READING_COLUMNS if is_first}
    values = fact_values(CARRIED, facts | asked_anew, units)
    values |= {f"prop_{place}": str(edition) for place, edition in props.items()}
    return values | {f"t{number}_spot": spot for number, spot in enumerate(FIRST_SPOTS, 1)}


def carried(last: Run) -> dict[str, Any]:
    """What a boat's next run begins with, by column. Its maiden run was its only one."""
    facts = held(CARRIED, last)
    return facts | {"kind": "speed" if facts["kind"] == "maiden" else facts["kind"]}


def fact_values(fields: Iterable[Field], facts: FormData, units: DisplayUnits) -> dict[str, str]:
    """The texts of a run's own facts; how it was averaged stands in two fields."""
    told = SimpleNamespace(**{**facts, "averaging_s": facts["averaging_s"] or None})
    return fill(fields, told, units) | {AVERAGING_WAY.name: averaging_way(facts["averaging_s"])}


def averaging_way(averaging_s: float | None) -> str:
    """What stands in the choice of how a speed was averaged."""
    single, window = AVERAGING_WAY.values
    return "" if averaging_s is None else window if averaging_s else single


def kept_props(
    places: Sequence[str], props: dict[str, int], last: dict[str, int], texts: dict[int, EditionText]
) -> list[Kept]:
    """The prop at each place, and whether it was reworked since the last run."""
    kept = []
    for place in places:
        edition = texts.get(props.get(place, 0))
        reworked = place in last and last[place] != props.get(place)
        label = "Prop" if place == "single" else f"Prop, {place}"
        text = edition.text if edition else "not chosen yet"
        kept.append(Kept(place, label, text, "new edition since then" if reworked else ""))
    return kept


def kept_state(number: int | None, last: Run | None, last_state: int | None) -> Kept:
    """The build state the run will be pinned to."""
    if number is None:
        return Kept("state", "State", "1, as she stands", "her first" if last is None else "")
    if last is None or last_state == number:
        return Kept("state", "State", str(number))
    began = Moment(last.started_at, last.offset_min)
    return Kept("state", "State", str(number), f"new since run {last.number} of {began.day()}")


def reading_text(last: Run | None, units: DisplayUnits, is_first: bool = False) -> str:
    """How the speed of the last run was read; '' if that is not known. The first of a day takes no course from it."""
    if last is None or not last.speed_how:
        return ""
    read = held((*CARRIED, *(field for field in FIELDS if field.column == "speed_kmh")), last)
    return reading_words(SimpleNamespace(**read | ({"course_m": None} if is_first else {})), units)
