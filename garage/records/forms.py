"""The filters of records, as they stand in the address."""

from dataclasses import dataclass

from garage.hulls.fields import HULL_KINDS
from garage.records.ways import AVERAGING_ORDER, HOW_ORDER, MINIMUMS, WAYS_ORDER
from garage.web.fields import Reader

# What stands in the address for "not written", since an empty value means "any".
NOT_WRITTEN = "not written"
MOST_CELLS = 28


@dataclass(frozen=True)
class Filters:
    """What the records shown have in common; None or '' leaves it open.

    `hull`, `prop`, `pack` and `modification` are as typed: a name or code, or a number that is an id.
    """

    cells: int | None = None
    hull: str = ""
    hull_kind: str = ""
    prop: str = ""
    blades: int | None = None
    pack: str = ""
    modification: str = ""
    since: str = ""
    until: str = ""
    course_m: float | None = None
    no_course: bool = False
    how: str = ""
    at_least: str = ""
    ways: str = ""
    averaging: str = ""

    @property
    def one_way(self) -> bool:
        """Whether only one way of measuring is asked for, so that its list can be long and have pages."""
        course_is_set = self.no_course or self.course_m is not None
        return bool(self.how and self.ways and self.averaging and course_is_set)

    @property
    def any(self) -> bool:
        """Whether anything is filtered."""
        return self != Filters()


def _choices(order: tuple[str, ...]) -> list[str]:
    return [choice or NOT_WRITTEN for choice in order]


# What may be asked of the records, in words by the name behind the question mark.
ASKED = {
    "cells": "cells in series",
    "hull": "the name or number of a hull",
    "kind": "the kind of hull",
    "prop": "the code or number of a prop",
    "blades": "how many blades the prop has",
    "pack": "the code or number of a pack",
    "modification": "words of the title of a modification that was on the boat, or its number",
    "since": "the first day, as YYYY-MM-DD",
    "until": "the last day, as YYYY-MM-DD",
    "how": "how the speed was read: " + ", ".join(filter(None, HOW_ORDER)),
    "at_least": "how the speed is known at least: " + ", ".join(MINIMUMS),
    "ways": ", ".join(filter(None, WAYS_ORDER)),
    "averaging": ", ".join(filter(None, AVERAGING_ORDER)),
    "course": "the length of the course in m, or with a unit",
    "no_course": "“yes” for runs without a measured course",
}


def read_filters(reader: Reader) -> Filters:
    """The filters in the address; what cannot be read is left open, with a message in `reader.errors`."""
    filters = Filters(
        cells=reader.whole("cells", 1, MOST_CELLS),
        hull=reader.text("hull", most=80),
        hull_kind=reader.choice("kind", HULL_KINDS),
        prop=reader.text("prop", most=80),
        blades=reader.whole("blades", 1, 8),
        pack=reader.text("pack", most=80),
        modification=reader.text("modification", most=120),
        since=reader.date("since"),
        until=reader.date("until", future_ok=True),
        course_m=reader.quantity("course", "distance", low=1, high=5000),
        no_course=reader.flag("no_course"),
        how=reader.choice("how", _choices(HOW_ORDER)),
        at_least=reader.choice("at_least", MINIMUMS),
        ways=reader.choice("ways", _choices(WAYS_ORDER)),
        averaging=reader.choice("averaging", _choices(AVERAGING_ORDER)),
    )
    if filters.no_course and filters.course_m is not None:
        reader.fail("no_course", "A run has a measured course or has none; no run fits both.")
    if filters.since and filters.until and filters.since > filters.until:
        reader.fail("until", "The end lies before the beginning; nothing can be between them.")
    return filters
