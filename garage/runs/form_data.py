"""Runs as they are about to be written down, in storage units."""

from dataclasses import dataclass, field, replace
from typing import Any

from garage.fields.definition import FormData, own_number
from garage.fields.forms import blank
from garage.moments import Moment
from garage.runs.fields import FIELDS
from garage.runs.not_known import still_unknown


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
class TemperatureFormData:
    """One reading after the run; `row_id` is the number of its row where it is written already."""

    spot: str
    temperature_c: float
    seconds_after: float | None = None
    place: str = "single"
    pack_id: int | None = None
    note: str = ""
    row_id: int = field(default=0, compare=False)

    @property
    def columns(self) -> dict[str, Any]:
        """What is kept of it, by column."""
        return {name: value for name, value in vars(self).items() if name != "row_id"}


@dataclass(frozen=True)
class IncidentFormData:
    """Something that happened in the run."""

    kind: str
    cause: str = ""
    recovered: str = ""
    damaged: bool = False
    spoiled_speed: bool = False
    note: str = ""


def run_facts(**told: Any) -> FormData:
    """What is written of a run beside boat, prop and packs, by column: as told, everything else open."""
    open_facts = blank(FIELDS)
    if unknown := {name for name in told.keys() - open_facts.keys() if not own_number(name)}:
        raise TypeError(f"no facts of a run: {', '.join(sorted(unknown))}")
    return open_facts | told


@dataclass(frozen=True)
class RunFormData:
    """A run to be written down. `started` is None when nobody looked at the clock.

    `not_known` is what was said to be known by nobody (`runs/not_known.py`), `speed_typed` the speed as it was typed,
    where that was in another unit than it is kept in.
    """

    hull_id: int
    outing_id: int
    facts: FormData = field(default_factory=run_facts)
    started: Moment | None = None
    props: tuple[PropUse, ...] = ()
    packs: tuple[PackUse, ...] = ()
    temperatures: tuple[TemperatureFormData, ...] = ()
    incidents: tuple[IncidentFormData, ...] = ()
    not_known: frozenset[str] = frozenset()
    speed_typed: str = ""

    @property
    def answered(self) -> "RunFormData":
        """The same without what was said to be not known where it is told after all."""
        left = still_unknown(
            self.not_known,
            packs=self.packs,
            prop_places=[use.place for use in self.props],
            speed_kmh=self.facts["speed_kmh"],
            start_known=self.started is not None,
        )
        return replace(self, not_known=left)
