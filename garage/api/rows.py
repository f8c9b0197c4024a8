"""What the library gives: rows of plain values, ready for a data frame. Units stand at the end of the names.

None is what is not known, '' what was not written. Moments are ISO 8601 with the offset of the clocks on the spot.
A row of a thing with a list of fields has them all: those that it does not name itself stand at its end. It names what
scripts and the type checker go by, in the order in which a table shows it.
`own` is a JSON object of what stands in the fields that a person added, by the names that the page “Your own fields”
tells, in storage units; what is open is left out. Of a hull they are settings, as she is now.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import TypeVar, dataclass_transform

from garage.fields.definition import Field
from garage.hulls.fields import FIELDS as HULL_FIELDS
from garage.packs.fields import FIELDS as PACK_FIELDS
from garage.props.fields import EDITION_FIELDS
from garage.props.fields import FIELDS as PROP_FIELDS
from garage.runs.fields import FIELDS as RUN_FIELDS
from garage.waters.fields import OUTING_FIELDS

_Row = TypeVar("_Row")


@dataclass_transform(frozen_default=True)
def _row_of(*lists: Sequence[Field]) -> Callable[[type[_Row]], type[_Row]]:
    """A row of a thing with these lists of fields."""

    def made(row: type[_Row]) -> type[_Row]:
        listed = {field.column: _type_of(field) for field in chain(*lists)}
        named = row.__annotations__
        row.__annotations__ = {**named, **{name: kind for name, kind in listed.items() if name not in named}}
        return dataclass(frozen=True)(row)

    return made


def _type_of(field: Field) -> type:
    """What stands in the column of a field."""
    if field.kind == "yes/no":
        return bool
    if field.is_measure or field.kind == "number":
        return float | None  # type: ignore[return-value]
    return int | None if field.kind in ("whole", "rating") else str  # type: ignore[return-value]


@_row_of(HULL_FIELDS)
class HullRow:
    """One hull, in use or retired."""

    id: int
    name: str
    kind: str
    length_mm: float | None
    beam_mm: float | None
    deadrise_deg: float | None
    bare_mass_g: float | None
    material: str
    own_design: bool
    screws: int
    built_on: str
    notes: str
    retired_on: str
    retired_how: str
    retired_reason: str
    own: str


@dataclass(frozen=True)
class StateRow:
    """One build state of a hull: what made it, what is fitted in it, and how many runs were made with it.

    `replaced_by` is the number of the state that took its place, if one did.
    """

    hull_id: int
    hull: str
    number: int
    made: str
    mark: str
    fingerprint: str
    changes: str
    fitted: str
    note: str
    replaced_by: int | None
    runs: int


@_row_of(PACK_FIELDS)
class PackRow:
    """One pack, in use or retired. `standing` is fresh, breaking in and so on; `verdict` what speaks against it."""

    id: int
    code: str
    name: str
    cells_s: int
    cells_p: int
    capacity_mah: float
    capacity_measured_mah: float | None
    stated_c: float | None
    full_v_per_cell: float
    mass_g: float | None
    connector: str
    bought_on: str
    first_charged_on: str
    standing: str
    discharges: int
    damage: str
    verdict: str
    notes: str
    retired_on: str
    retired_how: str
    retired_reason: str
    own: str


@_row_of(PROP_FIELDS, EDITION_FIELDS)
class PropRow:
    """One prop, in use or retired, as it is since its latest rework. `diameter_from` and `pitch_from` say how each is
    known."""

    id: int
    code: str
    printed_name: str
    blades: int
    material: str
    hand: str
    edition: int
    reworks: str
    diameter_mm: float | None
    diameter_from: str
    pitch_mm: float | None
    pitch_from: str
    mass_g: float | None
    condition: str
    notes: str
    retired_on: str
    retired_how: str
    retired_reason: str
    own: str


@_row_of(OUTING_FIELDS)
class OutingRow:
    """One day at the water. `waiting` runs lack something that the evening asks for."""

    id: int
    started: str
    day: str
    water: str
    air_c: float | None
    water_c: float | None
    wind_ms: float | None
    gust_ms: float | None
    wind_from_deg: float | None
    wind_to_course: str
    surface: str
    sun: str
    runs: int
    waiting: int
    is_open: bool
    notes: str
    own: str


@_row_of(RUN_FIELDS)
class RunRow:
    """One run with what it was made with and in. `known` says how its speed is known, `flags` what to bear in mind.

    `pack_cycle`, which discharge of the pack it was, and the figures of the prop are of a run with one of each;
    `pack_start_c` is of the coldest pack. `not_known` has what was said to be known by nobody, parted by blanks; a
    start that is not known is a guess. `speed_typed` is the speed as typed, where that was not in km/h.
    """

    id: int
    outing_id: int
    number: int
    started: str
    day: str
    water: str
    hull_id: int
    hull: str
    state_number: int
    mark: str
    fingerprint: str
    kind: str
    cells_s: int | None
    prop: str
    prop_diameter_mm: float | None
    prop_pitch_mm: float | None
    packs: str
    pack_cycle: int | None
    pack_start_c: float | None
    speed_kmh: float | None
    speed_how: str
    averaging_s: float | None
    ways: str
    passes: int | None
    course_m: float | None
    known: str
    speed_typed: str
    not_known: str
    start_known: bool
    flags: str
    duration_s: float | None
    full_throttle_s: float | None
    air_c: float | None
    water_c: float | None
    wind_ms: float | None
    ride_rating: int | None
    straight_rating: int | None
    corner_rating: int | None
    acceleration_rating: int | None
    note: str
    set_aside: bool
    own: str


@dataclass(frozen=True)
class RecordRow:
    """One of the fastest runs of a way of measuring; `rank` counts within that way, which is never mixed with
    another."""

    way: str
    rank: int
    run_id: int
    started: str
    water: str
    hull: str
    state_number: int
    cells_s: int | None
    prop: str
    packs: str
    speed_kmh: float | None
    known: str
    flags: str


@dataclass(frozen=True)
class EffectRow:
    """What one thing really gained on one hull, from the runs of closed outings.

    `percent` and `kmh` are the mean, between `low_percent` and `high_percent` with a chance of 90 in 100;
    `probability_gain` is from 0 to 1. Without an answer they are None, and `why` says why there is none.
    """

    hull: str
    about: str
    subject: str
    verdict: str
    percent: float | None
    low_percent: float | None
    high_percent: float | None
    kmh: float | None
    probability_gain: float | None
    runs: int
    why: str
