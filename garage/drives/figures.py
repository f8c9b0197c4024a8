"""Which figures each kind of hardware has, by the names of their fields: what no kind names here, all have."""

FIGURES: dict[str, tuple[str, ...]] = {
    "motor": (
        "kv_stated", "kv_measured", "poles", "resistance", "no_load_current", "timing", "diameter", "length", "mass",
    ),
    "speed controller": ("max_current", "max_cells", "cut_off", "timing", "throttle_calibrated_on", "mass"),
    "shaft": ("diameter", "length", "mass"),
    "strut": ("length", "mass"),
    "stuffing tube": ("diameter", "length", "mass"),
    "rudder": ("length", "mass"),
    "turn fin": ("length", "mass"),
    "trim tab": ("length", "mass"),
    "cooling": ("diameter", "length", "mass"),
    "capacitor bank": ("capacitance", "mass"),
    "receiver": ("mass",),
    "servo": ("mass",),
    "GPS unit": ("mass",),
    "other": ("diameter", "length", "mass"),
}  # fmt: skip
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
PART_KINDS = tuple(FIGURES)
assert set(FIGURES) == set(PREFIXES)
