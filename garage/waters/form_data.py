"""Outings as they are about to be written down, in storage units."""

from dataclasses import dataclass

from garage.moments import Moment


@dataclass(frozen=True)
class OutingDraft:
    """A day at the water."""

    water_id: int
    started: Moment
    air_c: float | None = None
    water_c: float | None = None
    wind_ms: float | None = None
    gust_ms: float | None = None
    wind_from_deg: float | None = None
    wind_to_course: str = ""
    surface: str = ""
    sun: str = ""
    weed: str = ""
    notes: str = ""
