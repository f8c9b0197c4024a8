"""From two posteriors to a verdict in words that the numbers carry."""

import math
from dataclasses import dataclass

from garage.calc.effect.posterior import Mixture

GAIN, LOSS = "gain", "loss"
PROBABLY_GAIN, PROBABLY_LOSS = "probably a gain", "probably a loss"
NO_DIFFERENCE, CANNOT_TELL = "no real difference", "cannot tell yet"
# What these say stays said; every other verdict leaves its question open.
SETTLED = (GAIN, LOSS, NO_DIFFERENCE)
# How pages say it; the words above are those of the data.
_SAID = {
    GAIN: "Faster, settled",
    LOSS: "Slower, settled",
    PROBABLY_GAIN: "Probably faster",
    PROBABLY_LOSS: "Probably slower",
    NO_DIFFERENCE: "No difference that matters",
    CANNOT_TELL: "Cannot tell yet",
}
SURE, SURE_WIDE = 0.975, 0.95
SMALLEST_PERCENT = 1.0
# Odds that people use, as chances to compare with.
_ODDS = ((1, 2), (3, 5), (2, 3), (3, 4), (4, 5), (5, 6), (9, 10))


def verdict_said(verdict: str) -> str:
    """A verdict as pages say it: `gain` is `Faster, settled`; `confirmed: gain` ends with that word. What it is
    tangled with stays behind it, and then nothing is settled."""
    head, but, tail = verdict.removeprefix("confirmed: ").partition(", but")
    said = _SAID.get(head, head[:1].upper() + head[1:])
    if but:
        said = said.partition(",")[0] + but + tail
    return f"{said}, confirmed" if verdict.startswith("confirmed: ") else said


@dataclass(frozen=True)
class Effect:
    """The effect in log points: its distribution summed up. `interval_90` holds the 5 % and 95 % points."""

    ln: float
    ln_sd: float
    interval_90: tuple[float, float]
    probability_gain: float
    cost_if_left_on: float
    cost_if_taken_off: float

    @property
    def percent(self) -> float:
        """The mean effect in percent."""
        return percent(self.ln)


def percent(ln: float) -> float:
    """Log points as percent: 100 (exp(x) - 1)."""
    return 100 * math.expm1(ln)


def effect_of(mixture: Mixture) -> Effect:
    """Sum up a distribution of an effect. Costs are means in log points of what is lost by the wrong guess."""
    above = mixture.expected_above_zero()
    return Effect(
        ln=mixture.mean,
        ln_sd=mixture.sd,
        interval_90=(mixture.quantile(0.05), mixture.quantile(0.95)),
        probability_gain=1 - mixture.below(0.0),
        cost_if_left_on=above - mixture.mean,
        cost_if_taken_off=above,
    )


def verdict(default: Effect, wide: Effect, smallest_percent: float = SMALLEST_PERCENT) -> str:
    """The verdict; `smallest_percent` (above 0) is the smallest difference that matters to the person."""
    if default.probability_gain >= SURE:
        return GAIN if wide.probability_gain >= SURE_WIDE else PROBABLY_GAIN
    if default.probability_gain <= 1 - SURE:
        return LOSS if wide.probability_gain <= 1 - SURE_WIDE else PROBABLY_LOSS
    low, high = (percent(end) for end in default.interval_90)
    if -smallest_percent <= low and high <= smallest_percent:
        return NO_DIFFERENCE
    return CANNOT_TELL


def odds(probability_gain: float, better: str = "faster", worse: str = "slower") -> str:
    """The chance in words: "about 4 in 5 that it is faster"."""
    word = better if probability_gain >= 0.5 else worse
    chance = max(probability_gain, 1 - probability_gain)
    if chance >= 0.995:
        return f"more than 99 in 100 that it is {word}"
    if chance >= 0.93:
        return f"about {round(100 * chance)} in 100 that it is {word}"
    of, in_all = min(_ODDS, key=lambda pair: abs(pair[0] / pair[1] - chance))
    return f"about {of} in {in_all} that it is {word}"
