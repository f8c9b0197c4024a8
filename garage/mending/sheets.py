"""What the pages show on which something is put right."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from garage.mending.about import About
from garage.mending.operation import Ask
from garage.mending.preview import Ahead
from garage.mending.readings import ThingOtherwise
from garage.moments import Moment


@dataclass(frozen=True)
class Way:
    """One way in which the thing may have been otherwise; `refused` says why it is not open now, `url` is where it is
    said, `elsewhere` on a page of its own."""

    name: str
    title: str
    hint: str
    refused: str
    url: str
    elsewhere: bool


@dataclass(frozen=True)
class WaysSheet:
    """All that may have been otherwise with a thing."""

    about: About
    ways: list[Way]


@dataclass(frozen=True)
class OtherwiseSheet:
    """One way: its form, or what would come of what was typed. `typed` is sent along, and `wrong` is what is wrong with
    it, by field; `stands_against` says why it cannot be done as it is, `helps` where that is put right."""

    about: About
    way: Way
    asks: list[Ask]
    ahead: Ahead | None
    stands_against: str
    typed: list[tuple[str, str]]
    edit: str
    values: dict[str, str | list[str]]
    wrong: Mapping[str, str] = field(default_factory=dict)
    helps: list[tuple[str, str]] = field(default_factory=list)

    @property
    def groups(self) -> list[tuple[str, list[ThingOtherwise]]]:
        """What would read otherwise, by heading."""
        return grouped(self.ahead)


@dataclass(frozen=True)
class MendingSheet:
    """Something that was put right; while it can be taken back, what would come of that."""

    id: int
    said: str
    why: str
    who: str
    at: Moment
    takes_back: int | None
    taken_back_by: int | None
    ahead: Ahead | None
    stands_against: str
    values: dict[str, str]
    helps: list[tuple[str, str]] = field(default_factory=list)

    @property
    def groups(self) -> list[tuple[str, list[ThingOtherwise]]]:
        """What would read otherwise, by heading."""
        return grouped(self.ahead)


def grouped(ahead: Ahead | None) -> list[tuple[str, list[ThingOtherwise]]]:
    """The things of which something reads otherwise, under their headings."""
    groups: dict[str, list[ThingOtherwise]] = {}
    for thing in ahead.things if ahead else ():
        groups.setdefault(thing.group, []).append(thing)
    return list(groups.items())
