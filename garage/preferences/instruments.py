"""What a person may be able to measure at the water and after it: what none of it is there for, nobody asks for."""

from collections.abc import Collection
from dataclasses import dataclass


@dataclass(frozen=True)
class Instrument:
    """One thing that can be measured. `hint` says by what; `costs` what a verdict loses where it is left out, as
    `findings/evidence` and `docs/effect.md` have it."""

    name: str
    label: str
    hint: str
    costs: str


INSTRUMENTS = (
    Instrument(
        "speed", "Top speed", "by GPS, a display, a log or by eye",
        "A run without a speed says nothing of what a change gained; ratings and temperatures are all that is left.",
    ),
    Instrument(
        "passes", "Of how many passes it is the best", "counted",
        "The best of many passes reads higher than the best of few. Where their number is known that is taken off; "
        "where it is not, it stays in.",
    ),
    Instrument(
        "duration", "How long a run lasts", "a watch, the timer of the radio",
        "No speed is judged by it. Without it there is no mean current, so nothing is said of how hard a pack was "
        "asked, and a guessed start may be further off.",
    ),
    Instrument(
        "rested", "Rested voltage at the start", "a voltmeter or the charger, before she goes in",
        "How full the pack was is only guessed. It moves the speed, so what it did stays among the scatter and the "
        "interval is wider.",
    ),
    Instrument(
        "pack_start", "Pack temperature at the start", "a thermometer, before she goes in",
        "A cold pack is a slower one. Without it what the cold did cannot be told from what the change did, and the "
        "interval is wider.",
    ),
    Instrument(
        "charge", "Charge put back", "as the charger says",
        "How far a run emptied its pack is only guessed, and energy for a km is known from a log with volts and "
        "current alone. Speeds are judged by what else is known of the pack.",
    ),
    Instrument(
        "volts", "Voltages after", "a voltmeter or the charger, cell by cell or whole",
        "A cell that falls behind the others is seen later. Speeds are judged without it.",
    ),
    Instrument(
        "motor", "Motor temperature after", "a thermometer at the end bell",
        "Whether a change makes the motor work harder cannot be asked, and a motor near its limit is not named.",
    ),
    Instrument(
        "controller", "Controller temperature after", "a thermometer within a minute",
        "Whether a change makes the controller work harder cannot be asked, and one near its limit is not named.",
    ),
    Instrument(
        "pack_after", "Pack temperature after", "a thermometer",
        "How warm packs get cannot be asked, and one that came back too hot is not kept from the next run.",
    ),
    Instrument(
        "resistance", "Internal resistance of packs", "a charger or meter that reads it",
        "How a pack ages is seen later, and pack against pack is told by their speeds alone: its own readings cannot "
        "say what is assumed of it.",
    ),
    Instrument(
        "ride", "How she rode", "five steps, by eye",
        "Nothing can be said of what a change did to ride, corners and acceleration; a speed alone does not tell.",
    ),
    Instrument(
        "air", "Temperature of the air", "a thermometer in the shade",
        "No reading can be shown as warmer than the air, and what the air does to her speed stays among the scatter.",
    ),
    Instrument(
        "water", "Temperature of the water", "a thermometer",
        "What the water does to her speed stays among the scatter of the days, and the interval is wider.",
    ),
    Instrument(
        "wind", "Wind", "a wind meter",
        "What the wind does to her speed stays among the scatter of the days; of runs one way only, the wind against "
        "her is not known, and can look like a change.",
    ),
)  # fmt: skip
BY_NAME = {one.name: one for one in INSTRUMENTS}
# The instrument for each place of a temperature after the run.
OF_SPOT = {"motor end bell": "motor", "speed controller": "controller", "pack": "pack_after"}


def any_measured(names: Collection[str], not_measured: Collection[str]) -> bool:
    """Whether at least one of some instruments is there."""
    return not set(names) <= set(not_measured)
