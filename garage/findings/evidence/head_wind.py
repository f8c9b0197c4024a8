"""The wind against a run that went one way only, from what the notebook knows of wind and course."""

from math import cos, radians

from garage.runs.tables import Run
from garage.waters.tables import Outing


def head_wind_ms(row: Run, day: Outing, heading_deg: float | None) -> float | None:
    """Head wind in m/s, negative from behind; None where it is not known or, both ways, nothing of it is left.

    `heading_deg` is where she went while the speed was made. Wind from a known direction counts by its share along
    the course; wind across the course has none; along or slanting without a direction, its sign is not known.
    """
    if row.ways != "one way" or day.wind_ms is None:
        return None
    if day.wind_ms == 0 or day.wind_to_course == "across":
        return 0.0
    if day.wind_from_deg is None or heading_deg is None or row.speed_how != "log":
        return None
    return day.wind_ms * cos(radians(day.wind_from_deg - heading_deg))
