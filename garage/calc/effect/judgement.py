"""From what the numbers alone say to a verdict that holds: what keeps a question from being settled, and why.

Two things do, whatever the numbers: a run that is far off what the others say, and two sides that were never run in
turn, since whatever drifted meanwhile looks like the change.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from garage.calc.effect.design import Design
from garage.calc.effect.fits import Fits
from garage.calc.effect.sentences import listed, side_words
from garage.calc.effect.verdict import (
    CANNOT_TELL,
    GAIN,
    LOSS,
    NO_DIFFERENCE,
    PROBABLY_GAIN,
    PROBABLY_LOSS,
    Effect,
    percent,
    verdict,
)

# "No real difference" has no "probably" of its own.
_AT_MOST = {GAIN: PROBABLY_GAIN, LOSS: PROBABLY_LOSS, NO_DIFFERENCE: CANNOT_TELL}
_WAYS = {GAIN: 1, PROBABLY_GAIN: 1, LOSS: -1, PROBABLY_LOSS: -1}


@dataclass(frozen=True)
class Judgement:
    """A verdict, and what the numbers alone would say. `far_off` are the keys of runs that hold it back, `hangs` that
    it does not stand without them, `others` the effect without them; `came_first` is the side that was run first
    only, in words, where that holds it back."""

    verdict: str
    by_numbers: str
    far_off: tuple[str, ...] = ()
    hangs: bool = False
    others: Effect | None = None
    came_first: str = ""

    @property
    def is_held_back(self) -> bool:
        """Whether the verdict is weaker than the numbers alone."""
        return self.verdict != self.by_numbers

    @property
    def brief(self) -> str:
        """What holds the verdict back, in a few words; nothing where nothing does."""
        said = []
        if self.far_off:
            said.append("a run is far off" if len(self.far_off) == 1 else f"{len(self.far_off)} runs are far off")
        if self.came_first:
            said.append("never run in turn")
        return " and ".join(said)

    def reason(self, named: Callable[[str], str]) -> str:
        """What holds the verdict back, in sentences; `named` tells a run by its key."""
        return " ".join(filter(None, (self._far_off_sentence(named), self._never_in_turn_sentence())))

    def _far_off_sentence(self, named: Callable[[str], str]) -> str:
        if not self.far_off:
            return ""
        names = listed([named(key) for key in self.far_off])
        if self.others is None:
            return f"It hangs on {names}, far off what the rest says: nothing is left to compare without."
        are, them = ("is", "it") if len(self.far_off) == 1 else ("are", "them")
        low, high = (percent(end) for end in self.others.interval_90)
        rest = f"without {them} {self.others.percent:+.1f} %, between {low:+.1f} and {high:+.1f}"
        if self.hangs:
            return f"It hangs on {names}, far off what the others say: {rest}."
        return f"Not settled, for {names} {are} far off what the others say: {rest}."

    def _never_in_turn_sentence(self) -> str:
        if not self.came_first:
            return ""
        return f"Not settled, for the two sides were never run in turn: all runs {self.came_first} came first."


def judgement(made: Design, fits: Fits, default: Effect, doubtful: Effect, smallest_percent: float) -> Judgement:
    """The verdict on one question, held back where it cannot be settled."""
    by_numbers = verdict(default, doubtful, smallest_percent)
    if by_numbers == CANNOT_TELL:
        return Judgement(by_numbers, by_numbers)
    held, others, hangs = by_numbers, None, False
    if fits.far_off:
        others, left = _others(made, fits, smallest_percent)
        hangs = _WAYS.get(left) != _WAYS.get(by_numbers)
        held = CANNOT_TELL if hangs else _AT_MOST.get(held, held)
    if made.came_first:
        held = _AT_MOST.get(held, held)
    if held == by_numbers:
        return Judgement(by_numbers, by_numbers)
    keys = tuple(made.runs[row].key for row in fits.far_off)
    words = side_words(made.question)
    first = {"with": words.having, "without": words.lacking}.get(made.came_first, "")
    return Judgement(held, by_numbers, keys, hangs, others, first)


def _others(made: Design, fits: Fits, smallest_percent: float) -> tuple[Effect | None, str]:
    """The effect and the verdict without the runs far off; no effect where they leave nothing on one of the sides."""
    if any(set(side) <= set(fits.far_off) for side in (made.with_rows, made.without_rows)):
        return None, CANNOT_TELL
    others, doubtful = fits.without_far_off(made.contrast)
    return others, verdict(others, doubtful, smallest_percent)
