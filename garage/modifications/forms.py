"""Text to a modification, or messages beside the fields."""

from dataclasses import dataclass

from garage.modifications.tables import Modification
from garage.moments import Moment
from garage.web.fields import Reader

PERMANENCES = ("removable", "permanent")


@dataclass(frozen=True)
class ModificationDraft:
    """A modification as typed."""

    title: str
    purpose: str
    expected: str
    permanence: str
    trial: bool
    notes: str


@dataclass(frozen=True)
class FitDraft:
    """Fitting, reworking or taking off: when, which open steps were done by then, and a word on it."""

    at: Moment
    done_step_ids: frozenset[int]
    note: str


def read_modification(reader: Reader) -> ModificationDraft:
    """The modification typed into the form. Raises FormErrors."""
    draft = ModificationDraft(
        title=reader.text("title", required=True, most=120),
        purpose=reader.long_text("purpose", most=2000),
        expected=reader.long_text("expected", most=2000),
        permanence=reader.choice("permanence", PERMANENCES, required=True),
        trial=reader.flag("trial"),
        notes=reader.long_text("notes"),
    )
    if draft.trial and draft.permanence == "permanent":
        reader.fail("permanence", "A test piece comes off again: choose removable, or untick the trial.")
    reader.finish()
    return draft


def modification_values(modification: Modification) -> dict[str, str]:
    """The texts that stand in the form of a modification already written down."""
    return {
        "title": modification.title,
        "purpose": modification.purpose,
        "expected": modification.expected,
        "permanence": modification.permanence,
        "trial": "yes" if modification.trial else "",
        "notes": modification.notes,
    }


def read_fit(reader: Reader, done: list[str]) -> FitDraft:
    """When something was fitted or taken off; `done` are the ticked steps' numbers. Raises FormErrors."""
    at = reader.moment("at", required=True)
    note = reader.long_text("note", most=1000)
    reader.finish()
    assert at is not None
    ids = frozenset(int(text) for text in done if text.isascii() and text.isdigit() and len(text) < 16)
    return FitDraft(at, ids, note)


def read_reason(reader: Reader) -> str:
    """Why a modification is dropped. Raises FormErrors."""
    reason = reader.text("reason", most=300)
    reader.finish()
    return reason
