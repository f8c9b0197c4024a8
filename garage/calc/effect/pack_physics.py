"""What a pack's resistance at 25 °C says of the speed, to be assumed before any run is looked at.

A pack of resistance R that gives the current I at V volts loses the share s = I R / V of its volts inside itself. Speed
goes with what is left, and the current with the speed: d ln v = -s / (1 + s) d ln R (own derivation; the resistance of
motor and wires would make it a little less). Half of its size is taken for how far it may be off.
"""

from collections.abc import Mapping, Sequence
from math import log, sqrt
from statistics import fmean

from garage.calc.effect.priors import Prior, Priors

# However small the effect, readings do not tell it nearer than that: common practice, no source.
_LEAST_SD = 0.005


def speed_by_resistance(current_a: float, pack_mohm: float, volts: float) -> float:
    """d ln v / d ln R of a pack, below 0. ValueError unless all are above 0."""
    if min(current_a, pack_mohm, volts) <= 0:
        raise ValueError("current, resistance and volts are more than nothing")
    lost = current_a * pack_mohm / 1000 / volts
    return -lost / (1 + lost)


def gained_by_settling(slope: float, fell: float) -> Prior:
    """How much slower a pack was on its first discharge, whose resistance was the share `fell` higher then."""
    gained = -slope * log(1 + fell)
    return Prior(gained, max(abs(gained) / 2, _LEAST_SD))


def with_readings(
    priors: Priors,
    settling: Mapping[str, Prior],
    breaking_in: Sequence[str],
    slopes: Mapping[str, tuple[float, float]],
) -> Priors:
    """The priors with those that follow from readings, by column of the model.

    `settling` holds, by pack, what it gains by breaking in; `breaking_in` the packs that some run saw breaking in;
    `slopes`, by pack, d ln v / d ln R and the resistance at 25 °C in any unit, read in the same way for all. What one
    pack does against the mean of the others keeps the usual spread on top: packs differ in more than resistance.
    """
    own: dict[str, Prior] = {}
    known = {pack: settling[pack] for pack in breaking_in if pack in settling}
    if len(breaking_in) == 1 and known:
        own["break-in"] = known[breaking_in[0]]
    else:
        # The common part is assumed as usual; each pack's own part makes up the difference.
        own |= {f"break-in:{pack}": Prior(prior.mean - priors.break_in.mean, prior.sd) for pack, prior in known.items()}
    if len(slopes) > 1:
        middle = fmean(log(mohm) for _, mohm in slopes.values())
        for pack, (slope, mohm) in slopes.items():
            mean = slope * (log(mohm) - middle)
            own[f"pack:{pack}"] = Prior(mean, sqrt(priors.pack.sd**2 + (mean / 2) ** 2))
    return priors.with_own(own)
