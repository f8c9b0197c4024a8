"""What stood in a modification before it was put right, in words."""

from collections.abc import Iterable, Mapping

from garage.corrections.sheets import Mended, mended
from garage.corrections.tables import Correction
from garage.fields.showing import by_column, in_words
from garage.modifications.fields import all_fields
from garage.moments import Moment
from garage.units import DisplayUnits

_NAMES = {"dropped_at": "dropped on", "dropped_reason": "why it was dropped"}
NOTHING = "nothing"


def slips_in_words(rows: Iterable[Correction], boats: Mapping[int, str], units: DisplayUnits) -> list[Mended]:
    """Corrections of a modification as they are read; `boats` are the names of those it was of, by id."""
    return [_in_words(row, boats, units) for row in rows]


def _in_words(row: Correction, boats: Mapping[int, str], units: DisplayUnits) -> Mended:
    if row.field == "hull_id":
        return mended(row, "boat", *(boats.get(int(text), text) for text in (row.old, row.new)))
    if row.field == "dropped_at":
        days = (Moment.here(text).day() if text else NOTHING for text in (row.old, row.new))
        return mended(row, _NAMES[row.field], *days)
    field = by_column(all_fields()).get(row.field)
    texts = (in_words(field, text, units) if field else text for text in (row.old, row.new))
    return mended(row, field.in_sentence if field else _NAMES.get(row.field, ""), *(text or NOTHING for text in texts))


def boats_in(rows: Iterable[Correction]) -> set[int]:
    """The boats that corrections speak of, by id."""
    return {int(text) for row in rows if row.field == "hull_id" for text in (row.old, row.new)}
