"""Packs used together: the weaker member governs, and a set that does not match is said so.

Packs in series or parallel should match in age, use, capacity and resistance (trade pages, read in excerpts).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from garage.packs.break_in import FLAGS, Standing

# A tenth less capacity in one member is worth a word; common practice, no source.
_CAPACITY_APART = 0.9


@dataclass(frozen=True)
class Member:
    """One pack of a set; `capacity_mah` is measured where `measured`, else stated. `first_used_on` may be
    ''."""

    code: str
    cells_s: int
    capacity_mah: float
    measured: bool
    first_used_on: str
    standing: Standing


@dataclass(frozen=True)
class Together:
    """What a set amounts to: cells in series, capacity in mAh, the flag of its weaker member, and that
    member in words."""

    cells_s: int
    capacity_mah: float
    flag: str
    weaker: list[str]
    cautions: list[str]


def together(members: Sequence[Member], wiring: str) -> Together:
    """The set of `members` (at least one) wired in "series" or "parallel"."""
    least = min(member.capacity_mah for member in members)
    in_series = wiring == "series"
    return Together(
        cells_s=sum(m.cells_s for m in members) if in_series else min(m.cells_s for m in members),
        capacity_mah=least if in_series else sum(m.capacity_mah for m in members),
        flag=_flag(members),
        weaker=_weaker(members),
        cautions=_cautions(members, in_series),
    )


def _flag(members: Sequence[Member]) -> str:
    """The least ready of the members; one that is retired retires the set."""
    flags = {member.standing.flag for member in members}
    return "retired" if "retired" in flags else next(flag for flag in FLAGS if flag in flags)


def _weaker(members: Sequence[Member]) -> list[str]:
    words = []
    by_capacity = sorted(members, key=lambda member: member.capacity_mah)
    if by_capacity[0].capacity_mah < by_capacity[-1].capacity_mah:
        known = "measured" if by_capacity[0].measured else "stated"
        words.append(f"{by_capacity[0].code}: lowest capacity, {by_capacity[0].capacity_mah:.0f} mAh {known}")
    by_use = sorted(members, key=lambda member: -member.standing.discharges)
    if by_use[0].standing.discharges > by_use[-1].standing.discharges:
        words.append(f"{by_use[0].code}: most used, {by_use[0].standing.discharges} discharges")
    dated = sorted((member for member in members if member.first_used_on), key=lambda m: m.first_used_on)
    if len(dated) == len(members) and dated[0].first_used_on < dated[-1].first_used_on:
        words.append(f"{dated[0].code}: oldest, since {dated[0].first_used_on}")
    return words


def _cautions(members: Sequence[Member], in_series: bool) -> list[str]:
    words = []
    cells = {member.cells_s for member in members}
    if not in_series and len(cells) > 1:
        words.append("Different cell counts never go in parallel: the higher pack would force current into the lower.")
    least, most = (pick(member.capacity_mah for member in members) for pick in (min, max))
    if least < _CAPACITY_APART * most:
        words.append("Capacities differ by more than a tenth: stop by the smaller pack.")
    if len({member.standing.broken_in for member in members}) > 1:
        words.append("One is broken in, another is not.")
    return words
