"""The columns of runs and outings in words, and what stood in them before a correction."""

import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType

from garage.corrections.sheets import Mended, mended
from garage.corrections.tables import Correction
from garage.fields.definition import Field
from garage.fields.showing import by_column, in_words
from garage.moments import Moment
from garage.own_fields.at_hand import own
from garage.runs.entry.convert_units import in_units
from garage.runs.fields import FIELDS, PACK_FIELDS
from garage.runs.not_known import called, not_known_of
from garage.units import DisplayUnits
from garage.waters.fields import OUTING_FIELDS

# A reading after the run, kept whole in words.
_READING = re.compile(r"temperature \d+")

_FIELDS = by_column((*OUTING_FIELDS, *PACK_FIELDS, *FIELDS))
# What is called otherwise in a sentence, and columns that no list has.
_NAMES = {
    "started_at": "start", "water_id": "water", "water_c": "water temperature", "rudder_trim": "rudder trim",
    "not_known": "said to be not known",
}  # fmt: skip


def stored_text(value: object) -> str:
    """A value as the text a correction keeps, in the storage unit."""
    return "" if value is None else str(value)


def mended_words(
    corrections: Iterable[Correction], units: DisplayUnits, waters: Mapping[int, str] = MappingProxyType({})
) -> list[Mended]:
    """Corrections of a run or an outing, each figure with its unit; `waters` are the names of those that are told."""
    return [_words(correction, units, waters) for correction in corrections]


def waters_told(corrections: Iterable[Correction]) -> set[int]:
    """The waters that corrections of an outing tell of."""
    texts = {text for one in corrections if one.field == "water_id" for text in (one.old, one.new)}
    return {int(text) for text in texts if text.isdigit()}


def _words(correction: Correction, units: DisplayUnits, waters: Mapping[int, str]) -> Mended:
    owner, _, column = correction.field.rpartition(": ")
    field = _FIELDS.get(column) or by_column((*own("run"), *own("outing"))).get(column)
    name = _NAMES.get(column) or (field.in_sentence if field else column.replace("_", " "))
    what = f"{owner}, {name}" if owner else name
    stood = [_shown(text, field, units) for text in (correction.old, correction.new)]
    if column == "water_id":
        stood = [waters.get(int(text), text) if text.isdigit() else text for text in stood]
    elif column == "started_at":
        stood = [_day_and_clock(text) for text in stood]
    elif column == "not_known":
        stood = [", ".join(called(not_known_of(text))) or "nothing" for text in (correction.old, correction.new)]
    if _READING.fullmatch(column):
        stood = [in_units(text, units) for text in stood]
    return mended(correction, what, *stood)


def _day_and_clock(text: str) -> str:
    """A stored moment by the clocks of here; any other text as it is."""
    try:
        at = Moment.here(text)
    except ValueError:
        return text
    return f"{at.day()}, {at.clock()}"


def _shown(text: str, field: Field | None, units: DisplayUnits) -> str:
    if not text or field is None:
        return text or "nothing"
    try:
        return in_words(field, text, units)
    except ValueError:
        return text
