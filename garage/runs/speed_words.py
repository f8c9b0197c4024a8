"""How a speed is known, and how a boat rode, in words."""

from typing import Protocol

from garage.units import show

_RATINGS = (
    ("ride_rating", "wet", "dry"),
    ("straight_rating", "loose", "steady"),
    ("corner_rating", "spins out", "planted"),
    ("acceleration_rating", "lazy", "snappy"),
)


class _Reading(Protocol):
    @property
    def speed_kmh(self) -> float | None: ...

    @property
    def speed_how(self) -> str: ...

    @property
    def averaging_s(self) -> float | None: ...

    @property
    def ways(self) -> str: ...

    @property
    def passes(self) -> int | None: ...

    @property
    def course_m(self) -> float | None: ...


def known_words(run: _Reading) -> str:
    """Like `log, best 2 s, both ways over 100.58 m, best of 3 passes`; empty without a speed."""
    return reading_words(run) if run.speed_kmh is not None else ""


def reading_words(run: _Reading) -> str:
    """The same for a speed that is still to be written."""
    words = [run.speed_how or "reading not known"]
    if run.speed_how != "by eye":
        words.append(averaging_words(run.averaging_s))
    ways = run.ways or "ways not known"
    words.append(f"{ways} over {show(run.course_m, 'distance')}" if run.course_m else ways)
    words.append(passes_words(run.passes))
    return ", ".join(word for word in words if word)


def averaging_words(averaging_s: float | None) -> str:
    """`best 2 s` for a window, `single reading` for 0, nothing if not known."""
    if averaging_s is None:
        return ""
    return f"best {show(averaging_s, 'duration')}" if averaging_s else "single reading"


def passes_words(passes: int | None) -> str:
    """`best of 3 passes`."""
    if passes is None:
        return "passes not known"
    return "one pass" if passes == 1 else f"best of {passes} passes"


def ride_words(run: object) -> str:
    """How she rode, like `rather dry, steady`: five plain steps between two words for each rating."""
    said = []
    for column, low, high in _RATINGS:
        step = getattr(run, column)
        if step is not None:
            said.append((low, f"rather {low}", f"between {low} and {high}", f"rather {high}", high)[step - 1])
    return ", ".join(said)
