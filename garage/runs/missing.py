"""What a run still lacks of what the evening asks for."""

from collections.abc import Sequence
from typing import Protocol


class _Facts(Protocol):
    @property
    def kind(self) -> str: ...

    @property
    def speed_kmh(self) -> float | None: ...

    @property
    def speed_how(self) -> str: ...

    @property
    def ways(self) -> str: ...

    @property
    def passes(self) -> int | None: ...

    @property
    def duration_s(self) -> float | None: ...

    @property
    def ride_rating(self) -> int | None: ...

    @property
    def straight_rating(self) -> int | None: ...

    @property
    def corner_rating(self) -> int | None: ...

    @property
    def acceleration_rating(self) -> int | None: ...


class _Pack(Protocol):
    @property
    def start_temperature_c(self) -> float | None: ...

    @property
    def rested_v(self) -> float | None: ...

    @property
    def charge_mah(self) -> float | None: ...

    @property
    def end_v(self) -> float | None: ...


def missing(run: _Facts, packs: Sequence[_Pack], temperatures: int, props: int) -> list[str]:
    """What is not written yet, in words, in the order of the evening table; empty when all is there.

    `temperatures` is how many readings after the run there are, `props` how many props are known. A speed is
    asked of speed runs only, ways and passes only of a speed that was measured.
    """
    ratings = (run.ride_rating, run.straight_rating, run.corner_rating, run.acceleration_rating)
    is_measured = run.speed_kmh is not None and run.speed_how != "by eye"
    asked = (
        ("the speed", run.kind == "speed" and run.speed_kmh is None),
        ("how the speed was read", run.speed_kmh is not None and not run.speed_how),
        ("one way or both", is_measured and not run.ways),
        ("of how many passes", is_measured and run.passes is None),
        ("the prop", not props),
        ("the pack", not packs),
        ("pack temperature at the start", any(pack.start_temperature_c is None for pack in packs)),
        ("rested voltage at the start", any(pack.rested_v is None for pack in packs)),
        ("charge put back", any(pack.charge_mah is None for pack in packs)),
        ("voltages after", any(pack.end_v is None for pack in packs)),
        ("how long it lasted", run.duration_s is None),
        ("temperatures after", temperatures == 0),
        ("how she rode", all(rating is None for rating in ratings)),
    )
    return [words for words, is_missing in asked if is_missing]
