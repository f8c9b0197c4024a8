"""Putting a forgotten change in at its date: what would come of it, worked out before anything is written."""

from collections.abc import Sequence
from dataclasses import dataclass

from garage.builds.state import ChangeDraft, Content, DoesNotFit, at_place, fingerprint, fold
from garage.moments import Moment


@dataclass(frozen=True)
class Written:
    """A build state as it is written down, with the changes that made it."""

    id: int
    number: int
    made: Moment
    note: str
    changes: tuple[ChangeDraft, ...]
    content: Content


@dataclass(frozen=True)
class Rewritten:
    """A state to be written: the one put in (`old` is None), or one that takes the place of `old`."""

    old: Written | None
    made: Moment
    note: str
    changes: tuple[ChangeDraft, ...]
    content: Content

    @property
    def mark(self) -> str:
        """The fingerprint it will have."""
        return fingerprint(self.content)


@dataclass(frozen=True)
class PastPlan:
    """What putting changes in after state `base`, or taking `withdrawn` out after it, would lead to.

    With any `problems` it cannot be done.
    """

    base: Written
    states: tuple[Rewritten, ...]
    problems: tuple[str, ...]
    withdrawn: Written | None = None


def plan_past(
    base: Written, later: Sequence[Written], drafts: Sequence[ChangeDraft], at: Moment, note: str = ""
) -> PastPlan:
    """The states that would stand if `drafts` had been made at `at`, after `base` and before `later`."""
    try:
        content = fold(drafts, base.content)
    except DoesNotFit as error:
        return PastPlan(base, (), (f"On {at.day()}: {error}",))
    first = Rewritten(None, at, note, tuple(drafts), content)
    states, problems = _replayed(content, later)
    return PastPlan(base, (first, *states), problems)


def plan_without(base: Written, withdrawn: Written, later: Sequence[Written]) -> PastPlan:
    """The states that would stand if `withdrawn`, made after `base` and before `later`, had not been."""
    states, problems = _replayed(base.content, later)
    return PastPlan(base, states, problems, withdrawn)


def _replayed(content: Content, later: Sequence[Written]) -> tuple[tuple[Rewritten, ...], tuple[str, ...]]:
    """`later` states made anew from `content` on, up to the first one that does not fit."""
    states: list[Rewritten] = []
    for old in later:
        changes = tuple(_seen_from(content, change) for change in old.changes)
        try:
            content = fold(changes, content)
        except DoesNotFit as error:
            return tuple(states), (f"Build state {old.number} of {old.made.day()}: {error}",)
        states.append(Rewritten(old, old.made, old.note, changes, content))
    return tuple(states), ()


def _seen_from(content: Content, change: ChangeDraft) -> ChangeDraft:
    """A change of a setting with what stood there before it, which may be another now."""
    if change.kind != "set":
        return change
    was = content.settings.get(at_place(change.setting, change.place))
    detail = {"value": change.detail.get("value"), "was": was}
    return ChangeDraft("set", change.place, setting=change.setting, detail=detail, note=change.note)
