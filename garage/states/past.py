"""Putting a forgotten change in at its date: what would come of it, worked out before anything is written."""

from collections.abc import Sequence
from dataclasses import dataclass

from garage.moments import Moment
from garage.states.fold import EMPTY, ChangeFormData, Content, DoesNotFit, apply, at_place, fingerprint, fold


@dataclass(frozen=True)
class Written:
    """A build state as it is written down, with the changes that made it."""

    id: int
    number: int
    made: Moment
    note: str
    changes: tuple[ChangeFormData, ...]
    content: Content


@dataclass(frozen=True)
class Rewritten:
    """A state to be written: the one put in (`old` is None), or one that takes the place of `old`."""

    old: Written | None
    made: Moment
    note: str
    changes: tuple[ChangeFormData, ...]
    content: Content

    @property
    def mark(self) -> str:
        """The fingerprint it will have."""
        return fingerprint(self.content)


# Stand-ins for ids of states that are yet to be written.
BEGINNING, PUT_IN = 0, -1


@dataclass(frozen=True)
class PastPlan:
    """What putting changes in after state `base`, or taking `withdrawn` out after it, would lead to.

    With any `problems` it cannot be done. A base with the id BEGINNING is yet to be written: a boat with
    nothing on it, before all that is written down.
    """

    base: Written
    states: tuple[Rewritten, ...]
    problems: tuple[str, ...]
    withdrawn: Written | None = None

    @property
    def begins_anew(self) -> bool:
        """Whether a new first state comes before all others."""
        return self.base.id == BEGINNING


def beginning(made: Moment) -> Written:
    """A boat with nothing on it, from `made` on, before all that is written down."""
    return Written(BEGINNING, 0, made, "", (), EMPTY)


def plan_past(
    base: Written, later: Sequence[Written], forms: Sequence[ChangeFormData], at: Moment, note: str = ""
) -> PastPlan:
    """The states that would stand if `forms` had been made at `at`, after `base` and before `later`."""
    try:
        content = fold(forms, base.content)
    except DoesNotFit as error:
        return PastPlan(base, (), (f"On {at.day()}: {error}",))
    first = Rewritten(None, at, note, tuple(forms), content)
    states, problems = _replayed(content, base.content, later)
    return PastPlan(base, (first, *states), problems)


def plan_without(base: Written, withdrawn: Written, later: Sequence[Written]) -> PastPlan:
    """The states that would stand if `withdrawn`, made after `base` and before `later`, had not been."""
    states, problems = _replayed(base.content, withdrawn.content, later)
    return PastPlan(base, states, problems, withdrawn)


def _replayed(
    content: Content, before: Content, later: Sequence[Written]
) -> tuple[tuple[Rewritten, ...], tuple[str, ...]]:
    """`later` states, made from `before`, made anew from `content` on, up to the first that does not fit."""
    states: list[Rewritten] = []
    for old in later:
        changes = []
        try:
            for change in old.changes:
                changes.append(_seen_from(content, before, change))
                content, before = apply(content, change), apply(before, change)
        except DoesNotFit as error:
            return tuple(states), (f"Build state {old.number} of {old.made.day()}: {error}",)
        states.append(Rewritten(old, old.made, old.note, tuple(changes), content))
    return tuple(states), ()


def _seen_from(content: Content, before: Content, change: ChangeFormData) -> ChangeFormData:
    """A change of a setting with what it found there, if that is another now than it was `before`.

    Otherwise it keeps what it says it found: a slip mended in that is then still told as mended.
    """
    key = at_place(change.setting, change.place)
    if change.kind != "set" or content.settings.get(key) == before.settings.get(key):
        return change
    detail = {"value": change.detail.get("value"), "was": content.settings.get(key)}
    return ChangeFormData("set", change.place, setting=change.setting, detail=detail, note=change.note)
