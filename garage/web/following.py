"""An edit form that comes back after somebody else wrote: what was left alone in it follows what stands there now."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from fastapi import Request

from garage.db.last_action import action_since
from garage.moments import Moment
from garage.web.desk import Desk, Typed
from garage.web.fields import FormErrors
from garage.web.shown import FormShown, Meanwhile, Texts, shown, standing

BOTH_WROTE = "Something else was written here meanwhile. Saving once more keeps yours."
# Of a row that is gone the page has perhaps no field any more: the words alone keep what was typed into it.
TAKEN_OUT = "What stood here was taken out meanwhile. You typed “{}”: look whether it still has a place."


class ChangedMeanwhile(FormErrors):
    """Two wrote into the same field: the person says which stands. `typed` is the form with all the rest as it stands
    now, `meanwhile` what stands against it."""

    def __init__(self, typed: Typed, meanwhile: Meanwhile) -> None:
        super().__init__({name: _words(typed.all(name), stands) for name, stands in meanwhile.values.items()})
        self.typed = typed
        self.meanwhile = meanwhile


def _words(mine: Texts, stands: Texts) -> str:
    return TAKEN_OUT.format(", ".join(mine)) if mine and not stands else BOTH_WROTE


class Written:
    """The numbers of the newest actions of people: `done` is committed, `begun` perhaps not yet. What is read after
    `done` was asked holds at least that; who writes and asks `begun` misses none."""

    def __init__(self, newest: int) -> None:
        """`newest` is the number of the last action in the file."""
        self.done = self.begun = newest

    def begin(self, number: int) -> None:
        """The action of that number is about to be committed."""
        self.begun = max(self.begun, number)

    def end(self, number: int) -> None:
        """The action of that number is committed. Of another that was begun meanwhile this says nothing."""
        self.done = max(self.done, number)


def follow(desk: Desk, form: Callable, path_values: Mapping[str, Any]) -> Desk:
    """The desk with what its form says now; `form` gives the sheet of the form as it would be opened now.

    Raises ChangedMeanwhile where a field was changed on both sides.
    """
    was = desk.typed.shown
    if was is None:
        return desk
    typed, both = desk.typed.merged(was.values, _now(desk, was, form, path_values))
    if both:
        raise ChangedMeanwhile(typed, _told(desk, was, both))
    return replace(desk, typed=typed)


def _now(desk: Desk, was: FormShown, form: Callable, path_values: Mapping[str, Any]) -> Mapping[str, Texts]:
    """What the form would show if it were opened now: the same, as long as nothing was written since."""
    if was.mark == mark(desk.request, desk.request.app.state.written.begun):
        return was.values
    untouched = Typed()
    untouched.units = desk.typed.units
    return shown(was.mark, standing(form(replace(desk, typed=untouched), **path_values))).values


def _told(desk: Desk, was: FormShown, both: Mapping[str, Texts]) -> Meanwhile:
    """Who wrote that, as far as it is known: of what was done before the program was started, only that it was."""
    start, _, number = was.mark.partition(":")
    of_now = start == desk.request.app.state.start
    found = action_since(desk.session, int(number), desk.request.url.path) if of_now else None
    return Meanwhile(both, found.who if found else "", Moment.here(found.at).clock() if found else "")


def mark(request: Request, newest: int) -> str:
    """Stands for all that was written up to the action of number `newest`."""
    # What was written by a command while the program stood still is no action: another start is another mark.
    return f"{request.app.state.start}:{newest}"


def mark_now(request: Request) -> str:
    """Stands for all that is read from now on; to be asked before anything is read."""
    return mark(request, request.app.state.written.done)
