"""What a pack wants between outings: storage, a look at its resting volts; and whether it may be picked."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from garage.reference import temperature_limits

# A pack should not stay full for longer; a page on charge and storage, read in an excerpt.
DAYS_AT_FULL = 2
FULL_SOURCE = "page on charge, use and storage, read in an excerpt"
# So often a pack that lies is looked at; common practice, no source.
DAYS_BETWEEN_LOOKS = 90
# Resting volts of a cell from which a pack counts as still full, and under which as left low: well off storage
# volts; common practice, no source.
STILL_FULL_V, LEFT_LOW_V = 3.95, 3.6


@dataclass(frozen=True)
class LastKnown:
    """The newest entry of a pack's log that did something to it: kind, local date, whether a run's charge was put
    back, and the mean resting volts of a cell read since, None if nobody looked."""

    kind: str
    day: str
    put_back: bool = False
    seen_v: float | None = None


@dataclass(frozen=True)
class Reminder:
    """What is due, in words; `doubtful` if it rests on something not written down."""

    text: str
    source: str
    doubtful: bool = False


def reminders(last: LastKnown | None, last_look: str, today: str) -> list[Reminder]:
    """What is due for a pack in use. `last_look` is the date of its last resting volts, '' for none."""
    found = []
    if last is not None:
        days = _days(last.day, today)
        if days > DAYS_AT_FULL:
            found += _by_its_volts(last, days) if last.seen_v is not None else _by_what_was_done(last, days)
        latest = max(last_look, last.day)
        if _days(latest, today) > DAYS_BETWEEN_LOOKS:
            words = f"Nobody looked at its resting volts for {_days(latest, today)} days."
            found.append(Reminder(words, "common practice, no source"))
    return found


def _by_what_was_done(last: LastKnown, days: int) -> list[Reminder]:
    if last.kind == "charge":
        return [Reminder(f"Full for {days} days: bring it to storage volts.", FULL_SOURCE)]
    if last.kind == "run" and last.put_back:
        words = f"Charged after a run {days} days ago, no storage charge since: if it is full, bring it down."
        return [Reminder(words, FULL_SOURCE, doubtful=True)]
    if last.kind in ("run", "bench", "capacity"):
        words = f"Emptied {days} days ago, no charge written since: do not leave it low."
        return [Reminder(words, FULL_SOURCE, doubtful=True)]
    return []


def _by_its_volts(last: LastKnown, days: int) -> list[Reminder]:
    volts = last.seen_v or 0.0
    if volts >= STILL_FULL_V:
        words = f"Still full, {volts:.2f} V a cell when last looked at, for {days} days: bring it to storage volts."
        return [Reminder(words, FULL_SOURCE)]
    if volts < LEFT_LOW_V:
        words = f"Low, {volts:.2f} V a cell when last looked at, for {days} days: do not leave it so."
        return [Reminder(words, "common practice, no source")]
    return []


def why_blocked(damage: str, last_temperature_c: float | None) -> str:
    """Why a pack is not to be picked without a second thought; '' if nothing is known against it.

    `last_temperature_c` is what it came back with from its last discharge, None if it was looked at since.
    """
    if damage:
        return damage
    limit_c = temperature_limits()["pack"].limit_c
    if last_temperature_c is not None and last_temperature_c > limit_c:
        return f"came back at {last_temperature_c:g} °C, over {limit_c:g} °C, and was not looked at since"
    return ""


def imbalance_v(volts: Sequence[float]) -> float | None:
    """The highest less the lowest resting cell; None for fewer than two."""
    return round(max(volts) - min(volts), 4) if len(volts) > 1 else None


def _days(sooner: str, later: str) -> int:
    return (date.fromisoformat(later) - date.fromisoformat(sooner)).days if sooner else 0
