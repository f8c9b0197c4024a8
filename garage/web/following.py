"""An edit form that comes back after somebody else wrote: what was left alone in it follows what stands there now."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from garage.db.last_action import action_since, newest_action
from garage.moments import Moment
from garage.web.desk import Desk, Typed
from garage.web.fields import FormErrors
from garage.web.shown import FormShown, Meanwhile, Texts, shown

BOTH_WROTE = "Something else was written here meanwhile. Saving once more keeps yours."


class ChangedMeanwhile(FormErrors):
    """Two wrote into the same field: the person says which stands. `typed` is the form with all the rest as it stands
    now, `meanwhile` what stands against it."""

    def __init__(self, typed: Typed, meanwhile: Meanwhile) -> None:
        super().__init__(dict.fromkeys(meanwhile.values, BOTH_WROTE))
        self.typed = typed
        self.meanwhile = meanwhile


def shown_now(desk: Desk, values: Mapping[str, Any]) -> FormShown:
    """What an edit form with these `values` shows at this moment."""
    return shown(mark(desk, newest_action(desk.session)), values)


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
    if was.mark == mark(desk, newest_action(desk.session)):
        return was.values
    untouched = Typed()
    untouched.units = desk.typed.units
    return shown(was.mark, form(replace(desk, typed=untouched), **path_values).values).values


def _told(desk: Desk, was: FormShown, both: Mapping[str, Texts]) -> Meanwhile:
    """Who wrote that, as far as it is known: of what was done before the program was started, only that it was."""
    start, _, number = was.mark.partition(":")
    found = action_since(desk.session, int(number), desk.request.url.path) if start == _start(desk) else None
    return Meanwhile(both, found.who if found else "", Moment.here(found.at).clock() if found else "")


def mark(desk: Desk, newest: int) -> str:
    """Stands for all that was written up to the action of number `newest`."""
    # What was written by a command while the program stood still is no action: another start is another mark.
    return f"{_start(desk)}:{newest}"


def _start(desk: Desk) -> str:
    return desk.request.app.state.start
