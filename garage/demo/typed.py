"""Story texts through the same door as a person's: the forms' own readers, so that nothing odd gets in."""

from collections.abc import Mapping

from garage.demo.clock import moment
from garage.units import DisplayUnits
from garage.web.fields import Reader

UNITS = DisplayUnits.metric()
# The story ends before this day; nothing in it may be later.
TOLD_ON = moment("2026-11-25 08:00")


def typed(texts: Mapping[str, object], **more: str) -> Reader:
    """A reader of what the story types into a form; entries that are no text are for the code."""
    words = {name: value for name, value in texts.items() if isinstance(value, str)}
    return Reader(words | more, UNITS, TOLD_ON.local())
