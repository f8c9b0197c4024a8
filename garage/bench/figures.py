"""A figure of the garage as it is written into a calculator's field."""

from dataclasses import dataclass

from garage.bench.definition import plain_unit


@dataclass(frozen=True)
class Figure:
    """The text for a field, unit and all, and where it came from."""

    text: str
    origin: str


def figure(name: str, value: float | None, unit: str, of: str, how: str) -> dict[str, Figure]:
    """One figure under its name; nothing where there is no value."""
    if value is None:
        return {}
    text = f"{value:.10g} {plain_unit(unit)}".strip()
    return {name: Figure(text, f"{of}: {how}" if how else of)}
