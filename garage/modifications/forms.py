"""Text to a modification, or messages beside the fields."""

from dataclasses import dataclass

from garage.fields.definition import FormData
from garage.fields.forms import read
from garage.modifications.fields import all_fields
from garage.moments import Moment
from garage.web.fields import Reader


@dataclass(frozen=True)
class FitFormData:
    """Fitting, reworking or taking off: when, which open steps were done by then, and a word on it."""

    at: Moment
    done_step_ids: frozenset[int]
    note: str


def read_modification(reader: Reader) -> FormData:
    """The modification typed into the form, by column. Raises FormErrors."""
    form = read(all_fields(), reader)
    if form["trial"] and form["permanence"] == "permanent":
        reader.fail("permanence", "A test piece comes off again: choose removable, or untick the trial.")
    reader.finish()
    return form


def read_fit(reader: Reader, done: list[str]) -> FitFormData:
    """When something was fitted or taken off; `done` are the ticked steps' numbers. Raises FormErrors."""
    at = reader.moment("at", required=True)
    note = reader.long_text("note", most=1000)
    reader.finish()
    assert at is not None
    ids = frozenset(int(text) for text in done if text.isascii() and text.isdigit() and len(text) < 16)
    return FitFormData(at, ids, note)


def read_reason(reader: Reader) -> str:
    """Why a modification is dropped. Raises FormErrors."""
    reason = reader.text("reason", most=300)
    reader.finish()
    return reason
