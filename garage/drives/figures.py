"""Which figures each kind of hardware has; all that asks for, keeps or shows them goes by this list."""

from dataclasses import dataclass

from garage.drives.tables import PART_KINDS


@dataclass(frozen=True)
class Figure:
    """One figure of a part: its field in the form, its column, and how it is read and shown.

    `kind` is the kind of measure, or "whole" for a plain count and "date" for a day.
    """

    field: str
    column: str
    kind: str
    label: str
    origin: str = ""
    hint: str = ""
    low: float | None = None
    high: float | None = None


KV_STATED = Figure("kv_stated", "kv_stated", "kv", "Kv stated", "stated by the maker", "no load", 10, 20000)
KV_MEASURED = Figure(
    "kv_measured", "kv_measured", "kv", "Kv measured", "measured",
    "the label is often 5 to 10 % off (from memory)", 10, 20000,
)  # fmt: skip
POLES = Figure("poles", "poles", "whole", "Poles", "", "an even number", 2, 40)
RESISTANCE = Figure(
    "resistance", "resistance_mohm", "resistance", "Resistance", "measured or stated", "between two leads",
    0.01, 10000,
)  # fmt: skip
NO_LOAD = Figure(
    "no_load_current", "no_load_current_a", "current", "No-load current", "measured or stated",
    "spinning free; write the voltage under notes", 0, 200,
)  # fmt: skip
TIMING = Figure("timing", "timing_deg", "angle", "Timing", "as set or recommended", "", -10, 40)
DIAMETER = Figure("diameter", "diameter_mm", "length", "Diameter", "measured or stated", "", 0.1, 1000)
LENGTH = Figure("length", "length_mm", "length", "Length", "measured or stated", "", 0.1, 5000)
MASS = Figure("mass", "mass_g", "mass", "Mass", "weighed or stated", "", 0.01, 20000)
MAX_CURRENT = Figure(
    "max_current", "max_current_a", "current", "Most current", "stated by the maker", "continuous", 0.1, 2000
)
MAX_CELLS = Figure(
    "max_cells", "max_cells", "whole", "Most cells in series", "stated by the maker", "", 1, 20
)
CUT_OFF = Figure(
    "cut_off", "cut_off_v_per_cell", "voltage", "Cut-off, per cell", "as set",
    "some controllers count cells when plugged in: plug in full packs", 2, 4.2,
)  # fmt: skip
CALIBRATED = Figure(
    "throttle_calibrated_on", "throttle_calibrated_on", "date", "Throttle calibrated on", "as written down"
)
CAPACITANCE = Figure(
    "capacitance", "capacitance_uf", "capacitance", "Capacitance, all together", "stated by the maker", "",
    1, 1000000,
)  # fmt: skip

_SIZE = (LENGTH, DIAMETER, MASS)
FIGURES: dict[str, tuple[Figure, ...]] = {
    "motor": (KV_STATED, KV_MEASURED, POLES, RESISTANCE, NO_LOAD, TIMING, DIAMETER, LENGTH, MASS),
    "speed controller": (MAX_CURRENT, MAX_CELLS, CUT_OFF, TIMING, CALIBRATED, MASS),
    "shaft": (DIAMETER, LENGTH, MASS),
    "strut": (LENGTH, MASS),
    "stuffing tube": (DIAMETER, LENGTH, MASS),
    "rudder": (LENGTH, MASS),
    "turn fin": (LENGTH, MASS),
    "trim tab": (LENGTH, MASS),
    "cooling": (DIAMETER, LENGTH, MASS),
    "capacitor bank": (CAPACITANCE, MASS),
    "receiver": (MASS,),
    "servo": (MASS,),
    "GPS unit": (MASS,),
    "other": _SIZE,
}
# The letter on a part's label; the person may write any other code.
PREFIXES: dict[str, str] = {
    "motor": "M",
    "speed controller": "E",
    "shaft": "S",
    "strut": "T",
    "stuffing tube": "U",
    "rudder": "R",
    "turn fin": "F",
    "trim tab": "B",
    "cooling": "W",
    "capacitor bank": "C",
    "receiver": "X",
    "servo": "V",
    "GPS unit": "G",
    "other": "O",
}
ALL_COLUMNS = tuple(dict.fromkeys(figure.column for figures in FIGURES.values() for figure in figures))
assert set(FIGURES) == set(PREFIXES) == set(PART_KINDS)
