"""What the pages about the data show: the addresses, and the fields of each thing."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby

from garage.addresses import examples
from garage.addresses.columns import Column, columns_of, fields_of
from garage.addresses.description import Address
from garage.addresses.schemas import component_name, first_words


@dataclass(frozen=True)
class AddressLine:
    """One address: what stands there, which thing its answer is, and what may be asked. `open` where it needs no
    number in its path, so that it can be followed."""

    path: str
    words: str
    thing: str
    open: bool
    asks: dict[str, str]


@dataclass(frozen=True)
class AddressGroup:
    """The addresses of one part of the notebook."""

    name: str
    lines: list[AddressLine]


@dataclass(frozen=True)
class TableLine:
    """One list that is to be had as a table, with its columns."""

    path: str
    words: str
    open: bool
    columns: list[Column]


@dataclass(frozen=True)
class DataSheet:
    """Every address of data, the columns of every table, and how to read them from elsewhere."""

    base: str
    curl: str
    python: str
    frames: str
    tables: list[TableLine]
    groups: list[AddressGroup]
    calculators: list[str]


@dataclass(frozen=True)
class FieldsSheet:
    """The fields of one thing that answers are made of; without a name, all `things` by their names."""

    name: str
    title: str
    words: str
    fields: list[Column]
    things: dict[str, str]

    @property
    def rooms(self) -> list[tuple[str, list[tuple[str, str]]]]:
        """The things by the room that they are of, which is how their names begin."""
        by_room = groupby(self.things.items(), key=lambda thing: thing[0].partition(".")[0])
        return [(room, list(things)) for room, things in by_room]


def data_sheet(found: Iterable[Address], calculators: Iterable[str], base: str) -> DataSheet:
    """The page of the addresses `found`; the notebook answers at `base`."""
    known = list(found)
    by_room = groupby((one for one in known if not one.represents.is_table), key=lambda one: one.room)
    return DataSheet(
        base=base,
        curl=examples.CURL.replace("{base}", base),
        python=examples.PYTHON.replace("{base}", base),
        frames=examples.FRAMES.replace("{base}", base),
        tables=[_table(one) for one in known if one.represents.is_table],
        groups=[AddressGroup(room, [_line(one) for one in some]) for room, some in by_room],
        calculators=[f"/bench/{name}.json" for name in calculators],
    )


def fields_sheet(thing: type) -> FieldsSheet:
    """The page of one thing."""
    return FieldsSheet(component_name(thing), thing.__name__, first_words(thing), fields_of(thing), {})


def things_sheet(things: Mapping[str, type]) -> FieldsSheet:
    """The page of all things, by name and in words."""
    return FieldsSheet("", "", "", [], {name: first_words(thing) for name, thing in sorted(things.items())})


def _line(one: Address) -> AddressLine:
    name = component_name(one.sheet)
    return AddressLine(one.path, first_words(one.sheet), name, not one.values, dict(one.asks))


def _table(one: Address) -> TableLine:
    return TableLine(one.path, first_words(one.sheet), not one.values, columns_of(one.row))
