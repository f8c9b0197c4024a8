"""The weather of the demo's world: drawn for each day from the seed, with seasons. Pure functions."""

import math
from dataclasses import dataclass
from datetime import date

from garage.demo.simulate import stream
from garage.demo.truth import Truth


@dataclass(frozen=True)
class Weather:
    """One morning at the water, as somebody with a thermometer and a small wind meter writes it down."""

    air_c: float
    water_c: float
    wind_ms: float
    gust_ms: float
    wind_from_deg: float
    wind_to_course: str
    surface: str
    sun: str


def weather(truth: Truth, day: str) -> Weather:
    """The weather of a day, `YYYY-MM-DD`; air to whole degrees, wind to 0.1 m/s."""
    draws = stream(truth, "weather", day)
    air_c = round(_seasonal(day, 13.5, 9.0, warmest_day=200) + draws.gauss(0, 3.0))
    water_c = round(_seasonal(day, 13.0, 8.5, warmest_day=222) + draws.gauss(0, 0.8), 1)
    wind_ms = round(abs(draws.gauss(2.4, 1.5)), 1)
    return Weather(
        air_c=float(air_c),
        water_c=max(water_c, 2.0),
        wind_ms=wind_ms,
        gust_ms=round(wind_ms * draws.uniform(1.3, 1.9) + 0.3, 1),
        wind_from_deg=float(draws.randrange(0, 360, 10)),
        wind_to_course=draws.choice(("along", "slanting", "across")),
        surface=_surface(wind_ms),
        sun=draws.choice(("sun", "some cloud", "some cloud", "overcast")),
    )


def head_wind_ms(wind_ms: float, wind_to_course: str, against: bool) -> float:
    """The part of the wind along a one-way run, plus against the boat, in m/s."""
    share = {"along": 1.0, "slanting": 0.7}.get(wind_to_course, 0.0)
    return wind_ms * share * (1 if against else -1)


def _seasonal(day: str, mean_c: float, swing_c: float, warmest_day: int) -> float:
    into_year = date.fromisoformat(day).timetuple().tm_yday
    return mean_c + swing_c * math.cos(2 * math.pi * (into_year - warmest_day) / 365)


def _surface(wind_ms: float) -> str:
    for limit_ms, name in ((1.0, "glass"), (2.8, "ripple"), (5.0, "light chop")):
        if wind_ms < limit_ms:
            return name
    return "rough"
