"""Mending a slip in a build state: text to what should have stood there, or messages beside the fields."""

from dataclasses import dataclass
from typing import Any

from garage.hulls.tables import Hull
from garage.states.settings_list import asked_for, name_at
from garage.states.visit_forms import read_setting
from garage.web.fields import Reader

NOTE, OF_CHANGE, OF_SETTING = "note", "change:", "set:"


@dataclass(frozen=True)
class SlipFormData:
    """What should have stood: a setting's `value`, or the words `new` of a note of the state or a change."""

    setting: str
    place: str
    value: Any
    change_id: int | None
    new: str
    why: str


def slip_choices(hull: Hull, settings: set[str], changes: list[tuple[int, str]]) -> list[tuple[str, str]]:
    """What can be mended in a state: value of the choice and its words. `settings` by key and place."""
    chosen = [
        (f"{OF_SETTING}{setting.key}@{place}", name_at(setting.key, place))
        for setting, place in asked_for(hull.screws)
        if f"{setting.key}@{place}" in settings
    ]
    of_changes = [(f"{OF_CHANGE}{change_id}", f"note of: {words}") for change_id, words in changes]
    return [*chosen, (NOTE, "note of this state"), *of_changes]


def read_slip(reader: Reader, hull: Hull, choices: list[tuple[str, str]]) -> SlipFormData:
    """The slip typed into the form. Raises FormErrors."""
    chosen = reader.choice("what", [value for value, _ in choices], required=True)
    why = reader.text("why", required=True, most=400)
    if not chosen.startswith(OF_SETTING):
        new = reader.long_text("new", required=True, most=2000)
        reader.finish()
        change_id = int(chosen.removeprefix(OF_CHANGE)) if chosen.startswith(OF_CHANGE) else None
        return SlipFormData("", "single", None, change_id, new, why)
    key, _, place = chosen.removeprefix(OF_SETTING).rpartition("@")
    setting = next(known for known, at in asked_for(hull.screws) if (known.key, at) == (key, place))
    value = read_setting(reader, setting, hull, "new")
    if value is None:
        reader.fail("new", "Write what should have stood there.")
    reader.finish()
    return SlipFormData(key, place, value, None, "", why)
