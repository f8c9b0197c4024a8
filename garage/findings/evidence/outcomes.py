"""What can be asked about besides the speed, by the same model with assumptions stretched to its size."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from garage.calc.effect.priors import Prior, Priors, meanings


@dataclass(frozen=True)
class Outcome:
    """One outcome. `spread` is how many times wider than of the speed its effects and scatter are assumed to be
    (common practice, no source); `kind` its kind of measure."""

    key: str
    title: str
    kind: str
    more: str
    less: str
    spread: float
    spot: str = ""

    @property
    def more_is_better(self) -> bool:
        """Whether more of it is wanted: of heat and energy, less is."""
        return self.key in ("speed", "corners")


# Heat goes about with the cube of the speed at a given prop, and readings of it scatter widely; energy for a km goes
# about with its square, and the charge put back is known to a few percent; corners are never driven twice alike.
OUTCOMES: Mapping[str, Outcome] = {
    outcome.key: outcome
    for outcome in (
        Outcome("speed", "Speed", "speed", "faster", "slower", 1.0),
        Outcome("pack", "Pack, warmer than the air by", "temperature_rise", "hotter", "cooler", 6.0, "pack"),
        Outcome(
            "motor", "Motor, warmer than the air by", "temperature_rise", "hotter", "cooler", 6.0, "motor end bell"
        ),
        Outcome(
            "controller",
            "Speed controller, warmer than the air by",
            "temperature_rise",
            "hotter",
            "cooler",
            6.0,
            "speed controller",
        ),
        Outcome("energy", "Energy for a km", "energy_per_distance", "thirstier", "thriftier", 4.0),
        Outcome("corners", "Speed kept in corners", "percent", "quicker in corners", "slower in corners", 3.0),
    )
}
RATINGS: Mapping[str, str] = {
    "ride_rating": "Ride, from wet to dry",
    "straight_rating": "Straight line, from loose to steady",
    "corner_rating": "Corners, from spins out to planted",
    "acceleration_rating": "Acceleration, from lazy to snappy",
}


def stretched(priors: Priors, spread: float) -> Priors:
    """The assumptions for an outcome other than the speed: nothing expected on average, everything `spread` wider."""
    if spread == 1.0:
        return priors
    changed: dict[str, Any] = {}
    for name in meanings():
        prior = getattr(priors, name)
        if name in ("sigma", "tau"):
            changed[name] = Prior(prior.mean * spread, prior.sd)
        else:
            changed[name] = Prior(0.0, prior.sd * spread)
    return Priors(**changed)
