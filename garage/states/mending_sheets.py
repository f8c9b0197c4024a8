"""What the form of a mended slip shows, and how mended slips are put into words."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from garage.corrections.sheets import Mended, mended
from garage.corrections.tables import Correction
from garage.hulls.tables import Hull
from garage.states.fold import Content, split_place
from garage.states.mending_forms import OF_SETTING
from garage.states.mending_store import value_of
from garage.states.settings_list import name_at
from garage.states.tables import BuildState
from garage.states.wording import setting_text
from garage.units import DisplayUnits


@dataclass(frozen=True)
class SlipSheet:
    """The form: what can be mended, and what stands there now."""

    hull_id: int
    hull: str
    number: int
    choices: list[tuple[str, str]]
    stands: list[tuple[str, str]]
    values: dict[str, str]


def slip_sheet(
    hull: Hull,
    found: BuildState,
    content: Content,
    choices: list[tuple[str, str]],
    units: DisplayUnits,
    asked: Mapping[str, str],
) -> SlipSheet:
    """The form for a state; `asked` may choose what to mend."""
    stands = [
        (words, setting_text(split_place(key)[0], content.settings.get(key), units))
        for value, words in choices
        if value.startswith(OF_SETTING) and (key := value.removeprefix(OF_SETTING)) in content.settings
    ]
    return SlipSheet(hull.id, hull.name, found.number, choices, stands, {"what": asked.get("what", "")})


def mended_settings_in_words(rows: Mapping[str, Iterable[Correction]], units: DisplayUnits) -> dict[str, list[Mended]]:
    """Mistakes mended in settings, by key and place, with old and new values in words."""
    return {key: [_in_words(key, row, units) for row in listed] for key, listed in rows.items()}


def _in_words(key_at_place: str, row: Correction, units: DisplayUnits) -> Mended:
    key, place = split_place(key_at_place)
    old, new = (setting_text(key, value_of(kept), units) for kept in (row.old, row.new))
    return mended(row, name_at(key, place), old, new)
