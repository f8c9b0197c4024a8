"""When a run began, if nobody looked at the clock: only the order of the runs has to be right."""

from datetime import datetime, timedelta

from garage.moments import Moment


def later(moment: Moment, seconds: float) -> Moment:
    """`moment` moved by so many seconds, at least one."""
    utc = datetime.fromisoformat(moment.utc.replace("Z", "+00:00")) + timedelta(seconds=max(1, int(seconds)))
    return Moment(utc.strftime("%Y-%m-%dT%H:%M:%SZ"), moment.offset_min)


def guessed_start(outing_started: Moment, last_end: Moment | None, at: Moment, *, written_later: bool) -> Moment:
    """A start for a run of the outing: after its last run so far, and now if it is written at the water.

    `last_end` is when the last run of the outing ended, `at` is now. `written_later` is for runs that are
    copied into the notebook in the evening, or for an outing of another day.
    """
    on_the_day = at.date() == outing_started.date()
    earliest = at if on_the_day and not written_later else outing_started
    return max(earliest, last_end) if last_end else earliest
