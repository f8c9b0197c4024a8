"""What the evening asks of a run, thing by thing: which of it stands in its line, and which of it is missing."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from garage.evening.forms import PACK_CELLS, SPOT_CELLS, cells
from garage.fields.definition import Field
from garage.preferences.instruments import OF_SPOT
from garage.runs.fields import AFTER, FIELDS, PACK_FIELDS, READING

RUN, PACK, SPOT = "run", "pack", "spot"
# What is asked of which there is a cell for each place that can be warm, and how it is called in `missing`.
_TEMPERATURES = "temperatures after"
_SPOT_LABELS = {"motor": "Motor", "controller": "Controller", "pack": "Pack, warm"}
# So much room there is in a line at the desk, in cells for a figure; words picked from a list take more, steps less.
_ROOM = 12.8
_WIDTHS = {"how": 1.6, "ways": 1.6, "volts": 1.4}
_STEP_WIDTH = 0.8


@dataclass(frozen=True)
class Column:
    """One thing that is asked: `of` the run itself, of each of its packs, or of a warm spot. `missed` is what is said
    of it while it is missing, '' for what nobody misses; `instrument` what it is measured with."""

    name: str
    of: str
    field: Field
    missed: str = ""
    instrument: str = ""

    @property
    def is_words(self) -> bool:
        """Whether it takes a line of words."""
        return "evening words" in self.field.sections


def columns() -> tuple[Column, ...]:
    """Everything that is asked of a run beside its packs, its props and its start, in order."""
    missed = {one.column: one.missed for one in (*FIELDS, *PACK_FIELDS)} | {"volts_after": "voltages after"}
    spots = [
        Column(f"t_{spot}", SPOT, _spot(spot), _TEMPERATURES, OF_SPOT[place]) for spot, place in SPOT_CELLS.items()
    ]
    of_run = [Column(one.name, RUN, one, missed.get(one.column, ""), one.instrument) for one in cells()]
    return (
        *[one for one in of_run if "evening" in one.field.sections],
        *[Column(one.name, PACK, one, missed.get(one.column, ""), one.instrument) for one in PACK_CELLS],
        *spots,
        Column("after", SPOT, AFTER),
        *[one for one in of_run if "evening ride" in one.field.sections],
        *[one for one in of_run if one.is_words],
    )


def asked_of(lacking: Sequence[str], not_measured: Collection[str]) -> list[str]:
    """The names of the columns that a run lacks; `lacking` is what `missing` says of it."""
    found = [
        one.name for one in columns() if one.missed in lacking and one.missed and one.instrument not in not_measured
    ]
    warm = any(name.startswith("t_") for name in found)
    return [*found, *(["after"] if warm else []), *(word for word in ("prop", "pack") if f"the {word}" in lacking)]


def in_line(asked: Iterable[Collection[str]]) -> list[str]:
    """The columns that stand in the line of every run at the desk: those that any of the runs lacks, as far as there is
    room for them."""
    wanted: set[str] = set().union(*asked)
    room, found = _ROOM, []
    for one in columns():
        if one.name in wanted and _width(one) <= room:
            room -= _width(one)
            found.append(one.name)
    return found


def _width(column: Column) -> float:
    return _STEP_WIDTH if column.field.kind == "rating" else _WIDTHS.get(column.name, 1.0)


def _spot(name: str) -> Field:
    return Field(name, _SPOT_LABELS[name], READING.kind, low=READING.low, high=READING.high)
