"""Where a pack stands at a moment, by its owner's own rule: fresh, breaking in, in service, retired.

What break-in does to a pack is contested in the trade, so the count that counts is the rule of the person
who owns it.
"""

from dataclasses import dataclass

FLAGS = ("fresh", "breaking in", "in service", "retired")


@dataclass(frozen=True)
class Standing:
    """One of FLAGS; `text` says it with its count; `discharges` is how many there were before the moment."""

    flag: str
    text: str
    discharges: int

    @property
    def broken_in(self) -> bool:
        """Whether speeds made now are past the break-in that the owner asked for."""
        return self.flag in ("in service", "retired")


def standing(discharges_before: int, rule: int, retired_on: str, at_date: str) -> Standing:
    """How a pack stands.

    `rule` is how many gentle discharges its owner gives it; 0 means that it needs none. `retired_on` and
    `at_date` are `YYYY-MM-DD`; what happened on the day of retiring itself still counts as before it.
    """
    if retired_on and at_date > retired_on:
        return Standing("retired", "retired", discharges_before)
    if discharges_before >= rule:
        return Standing("in service", "broken in", discharges_before)
    if discharges_before == 0:
        return Standing("fresh", "fresh", 0)
    return Standing("breaking in", f"breaking in ({discharges_before} of {rule})", discharges_before)
