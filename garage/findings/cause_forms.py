"""Which of a person's own fields may be causes, or a message beside them."""

from collections.abc import Sequence

from garage.findings.evidence.causes import MOST_CAUSES, possible_causes
from garage.web.fields import Reader


def read_causes(reader: Reader, ticked: Sequence[str]) -> list[int]:
    """The numbers of the own fields that were ticked. Raises FormErrors."""
    known = {str(one.number) for one in possible_causes()}
    if set(ticked) - known:
        reader.fail("causes", "Choose from the list.")
    if len(set(ticked)) > MOST_CAUSES:
        reader.fail("causes", f"At most {MOST_CAUSES}: with more of them the runs could not tell one from another.")
    reader.finish()
    return [int(number) for number in dict.fromkeys(ticked)]
