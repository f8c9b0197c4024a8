"""Runs as they are about to be written down, in storage units."""

from dataclasses import dataclass

from garage.moments import Moment


@dataclass(frozen=True)
class PropUse:
    """The prop edition at one place of the boat."""

    edition_id: int
    place: str = "single"


@dataclass(frozen=True)
class PackUse:
    """One pack in a run, with what was read off it. `volts_after` is one voltage per cell."""

    pack_id: int
    wiring: str = "single"
    start_temperature_c: float | None = None
    rested_v: float | None = None
    charge_mah: float | None = None
    end_v: float | None = None
    volts_after: tuple[float, ...] = ()


@dataclass(frozen=True)
class TemperatureDraft:
    """One reading after the run."""

    spot: str
    temperature_c: float
    seconds_after: float | None = None
    place: str = "single"
    pack_id: int | None = None
    note: str = ""


@dataclass(frozen=True)
class IncidentDraft:
    """Something that happened in the run."""

    kind: str
    cause: str = ""
    recovered: str = ""
    damaged: bool = False
    spoiled_speed: bool = False
    note: str = ""


@dataclass(frozen=True)
class RunFacts:
    """What is written of a run beside boat, prop and packs. Names are those of the columns."""

    kind: str = "speed"
    speed_kmh: float | None = None
    speed_how: str = ""
    averaging_s: float | None = None
    ways: str = ""
    passes: int | None = None
    course_m: float | None = None
    duration_s: float | None = None
    full_throttle_s: float | None = None
    ride_rating: int | None = None
    straight_rating: int | None = None
    corner_rating: int | None = None
    acceleration_rating: int | None = None
    throttle_eased: str = ""
    rudder_trim: str = ""
    outlet: str = ""
    water_inside_ml: float | None = None
    depth_m: float | None = None
    sun: str = ""
    note: str = ""
    try_next: str = ""


@dataclass(frozen=True)
class RunDraft:
    """A run to be written down. `started` is None when nobody looked at the clock."""

    hull_id: int
    outing_id: int
    facts: RunFacts = RunFacts()
    started: Moment | None = None
    props: tuple[PropUse, ...] = ()
    packs: tuple[PackUse, ...] = ()
    temperatures: tuple[TemperatureDraft, ...] = ()
    incidents: tuple[IncidentDraft, ...] = ()
