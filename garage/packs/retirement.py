"""Whether to retire a pack, and why: each reason on its own, from what was measured or seen."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from garage.calc.ageing.cells import FAILING
from garage.packs.ageing.capacity import WORN_SHARE

# Cells that rest further apart, and a cell that rests lower, disqualify a pack: a list for builders, read in an
# excerpt.
WIDEST_REST_V, LOWEST_REST_V = 0.10, 3.3
SOURCE_OF_REST = "disqualification list for packs, read in an excerpt"
FOLK = "common practice, no source"


@dataclass(frozen=True)
class Reason:
    """Why a pack should go, with the source of the rule; `short` says it beside the pack's name."""

    text: str
    source: str
    short: str


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


@dataclass(frozen=True)
class Verdict:
    """What speaks for retiring a pack: what was seen on it, and what was measured. `retired` if it is already."""

    seen: list[Reason] = field(default_factory=list)
    measured: list[Reason] = field(default_factory=list)
    retired: bool = False

    @property
    def reasons(self) -> list[Reason]:
        """All of it; none means that nothing measured or seen speaks against the pack."""
        return [*self.seen, *self.measured]

    @property
    def words(self) -> str:
        """The verdict as it stands wherever the pack is named; '' for a healthy pack, and for one retired already."""
        return "" if self.retired else _retire_it(self.reasons)

    @property
    def measured_words(self) -> str:
        """The same without what was seen, for where that is told by itself."""
        return "" if self.retired else _retire_it(self.measured)


def verdict_on(found: Condition, *, retired: bool = False) -> Verdict:
    """The verdict on a pack of which `found` is known."""
    return Verdict(_seen(found.damage), _measured(found), retired)


def _retire_it(reasons: Sequence[Reason]) -> str:
    return "retire it: " + "; ".join(reason.short for reason in reasons) if reasons else ""


def _seen(damage: str) -> list[Reason]:
    if not damage:
        return []
    swollen = any(sign in damage.casefold() for sign in ("puffed", "swollen", "swelling"))
    noted = "swollen" if swollen else "damaged"
    return [Reason(f"It is noted as {noted}: {damage}.", "guidelines for LiPo use, see the cautions", damage)]


def _measured(found: Condition) -> list[Reason]:
    reasons = []
    if found.at_limit:
        cells = f"{', '.join(str(number) for number in found.at_limit)}"
        text = f"Cell {cells} is measured at {found.limit_text} or above."
        reasons.append(Reason(text, FOLK, f"cell {cells} at {found.limit_text}"))
    failing = [str(number) for number, ratio in enumerate(found.ratios, start=1) if ratio >= FAILING]
    if failing and len(found.ratios) > 2:
        text = f"Cell {', '.join(failing)} reads {FAILING:g} times its mates or more."
        reasons.append(Reason(text, FOLK, f"cell {', '.join(failing)} reads {FAILING:g} times its mates"))
    if found.capacity_share is not None and found.capacity_share < WORN_SHARE:
        share = f"{found.capacity_share * 100:.0f} %"
        text = f"Its capacity is down to {share} of the first measured."
        reasons.append(Reason(text, FOLK, f"capacity down to {share}"))
    return reasons + _rest(found.volts)


def _rest(volts: Sequence[float]) -> list[Reason]:
    if not volts:
        return []
    reasons, spread = [], round(max(volts) - min(volts), 4)
    if spread > WIDEST_REST_V:
        text = f"At rest its cells stood {spread:.2f} V apart."
        reasons.append(Reason(text, SOURCE_OF_REST, f"cells {spread:.2f} V apart at rest"))
    if min(volts) < LOWEST_REST_V:
        text = f"A cell rested at {min(volts):.2f} V."
        reasons.append(Reason(text, SOURCE_OF_REST, f"a cell at {min(volts):.2f} V at rest"))
    return reasons
