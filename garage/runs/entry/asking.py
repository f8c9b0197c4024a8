"""What of a run is asked about before it is kept: figures far from what is usual, each while it can still be answered.

Nothing here refuses: what cannot be is refused elsewhere.
"""

from collections.abc import Callable, Collection, Mapping, Sequence

from garage.calc.usual import FEWEST, UsualRange, usual_range
from garage.fields.definition import FormData
from garage.packs.store import PackText
from garage.packs.tables import Pack
from garage.runs.entry.usual_store import Ran
from garage.runs.form_data import PackUse
from garage.units import KINDS, convert
from garage.web.asking import Alternative, Question, other_readings
from garage.web.fields import Reader

# Common practice, no source: a full LiPo cell rests at 4.15 V and more; after a run it stands between 3.0 V and 4.2 V.
LEAST_FULL_V, LOW_AFTER_V, HIGH_AFTER_V = 3.95, 3.0, 4.2
# Common practice, no source: what motor, controller and pack are read at after a run.
COOL_C, HOT_C = 0.0, 110.0
# Less than that share of what a pack holds is hardly a run; all of it is more than a run may take.
LEAST_SHARE, MOST_SHARE = 0.03, 1.0


def usual_speed(ran: Sequence[Ran], facts: FormData, cells_s: int | None) -> UsualRange | None:
    """What this boat does on these cells, read in this way; where that was done too seldom, read in any way. None for
    what is no speed run, or of fewer than five runs."""
    if facts["kind"] != "speed":
        return None
    same = [one for one in ran if one.speed_kmh and one.kind == "speed" and cells_s in (None, one.cells_s)]
    alike = [one for one in same if (one.speed_how, one.ways) == (facts["speed_how"], facts["ways"])]
    return usual_range([one.speed_kmh or 0.0 for one in (alike if len(alike) >= FEWEST else same)])


def ask_speed(
    reader: Reader,
    field: str,
    speed_kmh: float | None,
    usual: UsualRange | None,
    happened: Callable[[str, str], Mapping[str, str]],
) -> None:
    """Ask about a speed far from the `usual` one, or outside of it where another unit explains it. `happened` gives
    the fields that write down an incident of a kind and cause."""
    if speed_kmh is None or usual is None or usual.holds(speed_kmh):
        return
    typed, own = reader.written(field), reader.units.unit("speed")
    units = speeds_in_units(speed_kmh, own)
    others = other_readings(field, typed, speed_kmh, units, usual.holds, lambda value: reader.shown(value, "speed"))
    if not others and not usual.is_far(speed_kmh):
        return
    told = (
        Alternative("A flip", happened("flip", "")),
        Alternative("Weed", happened("other", "weed or debris")),
    )
    low, high = (reader.shown(end, "speed") for end in (usual.low, usual.high))
    words = f"she does {low} to {high}, by {usual.count} runs. What was it?"
    reader.ask(Question(field, reader.shown(speed_kmh, "speed"), words, others + told))


def speeds_in_units(speed_kmh: float, own: str) -> dict[str, float]:
    """How much a speed, typed as a bare number in the unit `own`, would be in km/h had it been meant in another."""
    number = convert(speed_kmh, "speed", "km/h", own)
    return {unit: convert(number, "speed", unit, "km/h") for unit in KINDS["speed"].units if unit != own}


def ask_cells(reader: Reader, field: str, cells_s: int | None, ran: Sequence[Ran]) -> None:
    """Ask about a number of cells that the boat never had, where she ran often enough to tell."""
    had = sorted({one.cells_s for one in ran if one.cells_s})
    if cells_s is None or cells_s in had or sum(one.cells_s is not None for one in ran) < FEWEST:
        return
    words = f"she ran on {' and '.join(f'{one}S' for one in had)} till now. Is it the right pack?"
    reader.ask(Question(field, f"{cells_s}S", words, keep=f"Yes, {cells_s}S"))


def ask_pack(reader: Reader, pack: Pack | PackText, use: PackUse, row: str, was: PackUse | None = None) -> None:
    """Ask about what was read off a pack, where it differs from what `was` written."""
    was, cells = was or PackUse(0), pack.cells_s
    if use.rested_v and use.rested_v != was.rested_v and use.rested_v < LEAST_FULL_V * cells:
        each = f"{use.rested_v / cells:.2f} V a cell"
        reader.ask(Question(f"{row}_rested", each, f"that is not full: {LEAST_FULL_V:g} V and more are usual."))
    if use.end_v and use.end_v != was.end_v and not LOW_AFTER_V <= use.end_v / cells <= HIGH_AFTER_V:
        each = f"{use.end_v / cells:.2f} V a cell after the run"
        usual = f"{LOW_AFTER_V:g} V to {HIGH_AFTER_V:g} V are usual."
        reader.ask(Question(f"{row}_volts", each, usual))
    if use.charge_mah and use.charge_mah != was.charge_mah:
        _ask_charge(reader, f"{row}_charge", use.charge_mah, pack.capacity_mah)


def _ask_charge(reader: Reader, field: str, charge_mah: float, capacity_mah: float) -> None:
    def fits(mah: float) -> bool:
        return LEAST_SHARE * capacity_mah <= mah <= MOST_SHARE * capacity_mah

    if fits(charge_mah):
        return
    own = reader.units.unit("charge")
    number = convert(charge_mah, "charge", "mAh", own)
    units = {unit: convert(number, "charge", unit, "mAh") for unit in KINDS["charge"].units if unit != own}
    typed = reader.written(field)
    others = other_readings(field, typed, charge_mah, units, fits, lambda mah: reader.shown(mah, "charge"))
    words = f"the pack holds {reader.shown(capacity_mah, 'charge')}."
    reader.ask(Question(field, f"{reader.shown(charge_mah, 'charge')} put back", words, others))


def ask_temperature(reader: Reader, field: str, reading_c: float, was: Collection[float] = ()) -> None:
    """Ask about a temperature after a run that is hardly one, unless it stood there already."""
    if COOL_C <= reading_c <= HOT_C or reading_c in was:
        return
    own = reader.units.unit("temperature")
    number = convert(reading_c, "temperature", "°C", own)
    units = {unit: convert(number, "temperature", unit, "°C") for unit in KINDS["temperature"].units if unit != own}
    low, high = (reader.shown(end, "temperature") for end in (COOL_C, HOT_C))
    others = other_readings(
        field, reader.written(field), reading_c, units, lambda value: COOL_C < value < HOT_C,
        lambda value: reader.shown(value, "temperature"),
    )  # fmt: skip
    reader.ask(
        Question(field, reader.shown(reading_c, "temperature"), f"{low} to {high} are usual after a run.", others)
    )
