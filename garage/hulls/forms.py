"""Text to a hull, or messages beside the fields."""

from dataclasses import dataclass

from garage.fields.definition import FormData
from garage.fields.forms import read
from garage.hulls.fields import FIELDS
from garage.hulls.tables import CHECKLISTS
from garage.web.fields import Reader


@dataclass(frozen=True)
class ChecklistFormData:
    """A line for one of a hull's lists."""

    checklist: str
    text: str


def read_hull(reader: Reader) -> FormData:
    """The hull typed into the form, by column. Raises FormErrors."""
    form = read(FIELDS, reader)
    _refuse_beam_above_length(reader, form["length_mm"], form["beam_mm"])
    reader.finish()
    return form


def _refuse_beam_above_length(reader: Reader, length_mm: float | None, beam_mm: float | None) -> None:
    if length_mm and beam_mm and beam_mm > length_mm:
        reader.fail("beam", "The beam is larger than the length: have they changed places?")


def read_checklist_line(reader: Reader) -> ChecklistFormData:
    """A line for a list. Raises FormErrors."""
    form = ChecklistFormData(
        checklist=reader.choice("checklist", CHECKLISTS, required=True),
        text=reader.text("text", required=True, most=200),
    )
    reader.finish()
    return form
