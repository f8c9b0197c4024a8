"""The columns of runs and outings in words, and what stood in them before a correction."""

import re
from collections.abc import Iterable

from garage.corrections.sheets import Mended, mended
from garage.corrections.tables import Correction
from garage.runs.convert_units import in_units
from garage.units import KINDS, DisplayUnits, show

# A reading after the run, kept whole in words.
_READING = re.compile(r"temperature \d+")

# column -> what it is called, and its kind of measure ('' for words and plain numbers)
COLUMNS: dict[str, tuple[str, str]] = {
    "kind": ("kind of run", ""),
    "started_at": ("start", ""),
    "speed_kmh": ("top speed", "speed"),
    "speed_how": ("read by", ""),
    "averaging_s": ("window", "duration"),
    "ways": ("ways", ""),
    "passes": ("passes", ""),
    "course_m": ("course", "distance"),
    "duration_s": ("duration", "duration"),
    "full_throttle_s": ("at full throttle", "duration"),
    "ride_rating": ("ride", ""),
    "straight_rating": ("straight line", ""),
    "corner_rating": ("corners", ""),
    "acceleration_rating": ("acceleration", ""),
    "throttle_eased": ("throttle eased", ""),
    "rudder_trim": ("rudder trim", ""),
    "outlet": ("water at the outlet", ""),
    "water_inside_ml": ("water inside", "volume"),
    "depth_m": ("depth", "distance"),
    "sun": ("sky", ""),
    "note": ("note", ""),
    "try_next": ("try next", ""),
    "water_id": ("water", ""),
    "air_c": ("air", "temperature"),
    "water_c": ("water temperature", "temperature"),
    "wind_ms": ("wind", "wind"),
    "gust_ms": ("gusts", "wind"),
    "wind_from_deg": ("wind from", "angle"),
    "wind_to_course": ("wind to the course", ""),
    "surface": ("surface", ""),
    "weed": ("weed", ""),
    "notes": ("notes", ""),
    "start_temperature_c": ("temperature at the start", "temperature"),
    "rested_v": ("rested voltage", "voltage"),
    "charge_mah": ("charge put back", "charge"),
    "end_v": ("voltage after", "voltage"),
    "volts_after": ("voltages after", ""),
}


def stored_text(value: object) -> str:
    """A value as the text a correction keeps, in the storage unit."""
    return "" if value is None else str(value)


def mended_words(corrections: Iterable[Correction], units: DisplayUnits) -> list[Mended]:
    """Corrections of a run or an outing, each figure with its unit."""
    return [_words(correction, units) for correction in corrections]


def _words(correction: Correction, units: DisplayUnits) -> Mended:
    owner, _, column = correction.field.rpartition(": ")
    name, kind = COLUMNS.get(column, (column.replace("_", " "), ""))
    what = f"{owner}, {name}" if owner else name
    stood = [_shown(text, kind, units) for text in (correction.old, correction.new)]
    if _READING.fullmatch(column):
        stood = [in_units(text, units) for text in stood]
    return mended(correction, what, *stood)


def _shown(text: str, kind: str, units: DisplayUnits) -> str:
    if not text:
        return "nothing"
    if kind not in KINDS:
        return text
    try:
        return str(show(float(text), kind, units.unit(kind)))
    except ValueError:
        return text
