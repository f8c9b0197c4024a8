"""Text to a hull or a line of her lists, or messages beside the fields."""

from dataclasses import dataclass

from garage.fields.definition import FormData
from garage.hulls.tables import CHECKLISTS
from garage.web.fields import Reader


@dataclass(frozen=True)
class ChecklistFormData:
    """A line for one of a hull's lists."""

    checklist: str
    text: str


def mind_size(reader: Reader, form: FormData) -> None:
    """Put a message beside a beam that is larger than the length. Does not raise."""
    length_mm, beam_mm = form["length_mm"], form["beam_mm"]
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
