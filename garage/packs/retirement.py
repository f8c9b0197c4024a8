"""Whether to retire a pack, and why: each reason on its own, from what was measured or seen."""

from collections.abc import Sequence
from dataclasses import dataclass

from garage.calc.ageing.cells import FAILING

# Cells that rest further apart, and a cell that rests lower, disqualify a pack: a list for builders, read in an
# excerpt.
WIDEST_REST_V, LOWEST_REST_V = 0.10, 3.3
SOURCE_OF_REST = "disqualification list for packs, read in an excerpt"
FOLK = "common practice, no source"


@dataclass(frozen=True)
class Reason:
    """Why a pack should go, with the source of the rule."""

    text: str
    source: str


@dataclass(frozen=True)
class Condition:
    """What is known of a pack. `at_limit` are the numbers of cells measured at their limit (`limit_text` says
    which limit), `ratios` those of the last reading to their mates, `capacity_share` the last capacity test
    over the first, `volts` the latest resting volts."""

    damage: str = ""
    at_limit: Sequence[int] = ()
    limit_text: str = ""
    ratios: Sequence[float] = ()
    capacity_share: float | None = None
    volts: Sequence[float] = ()


def reasons_to_retire(found: Condition, worn_share: float = 0.8) -> list[Reason]:
    """The reasons that hold; none means that nothing measured or seen speaks against the pack."""
    reasons = []
    if any(sign in found.damage.casefold() for sign in ("puffed", "swollen", "swelling")):
        reasons.append(Reason(f"It is noted as swollen: {found.damage}.", "guidelines for LiPo use, see the cautions"))
    elif found.damage:
        reasons.append(Reason(f"It is noted as damaged: {found.damage}.", "guidelines for LiPo use, see the cautions"))
    if found.at_limit:
        cells = ", ".join(str(number) for number in found.at_limit)
        reasons.append(Reason(f"Cell {cells} is measured at {found.limit_text} or above.", FOLK))
    failing = [str(number) for number, ratio in enumerate(found.ratios, start=1) if ratio >= FAILING]
    if failing and len(found.ratios) > 2:
        reasons.append(Reason(f"Cell {', '.join(failing)} reads {FAILING:g} times its mates or more.", FOLK))
    if found.capacity_share is not None and found.capacity_share < worn_share:
        share = f"{found.capacity_share * 100:.0f} %"
        reasons.append(Reason(f"Its capacity is down to {share} of the first measured.", FOLK))
    return reasons + _rest(found.volts)


def _rest(volts: Sequence[float]) -> list[Reason]:
    if not volts:
        return []
    reasons, spread = [], round(max(volts) - min(volts), 4)
    if spread > WIDEST_REST_V:
        reasons.append(Reason(f"At rest its cells stood {spread:.2f} V apart.", SOURCE_OF_REST))
    if min(volts) < LOWEST_REST_V:
        reasons.append(Reason(f"A cell rested at {min(volts):.2f} V.", SOURCE_OF_REST))
    return reasons
