"""Which packs want a look, and why."""

from dataclasses import dataclass

# Resistance is read about every ten cycles, and its pace watched; common practice, no source.
READ_EVERY = 10


@dataclass(frozen=True)
class PackFacts:
    """What is known about a pack in use. `since_reading` counts its discharges since the last resistance
    reading, up to READ_EVERY; `ever_read` tells whether there was one. `hot` says that it came back over-hot and
    was not looked at; `retire` what was measured that speaks for retiring it; `due` what its storage wants."""

    id: int
    text: str
    standing: str
    standing_text: str
    damage: str
    ever_read: bool
    since_reading: int
    hot: str = ""
    retire: str = ""
    due: tuple[str, ...] = ()


@dataclass(frozen=True)
class PackAttention:
    """A pack with the reasons to look at it; `grave` if it should not go on the water as it is, `waits` if it harms it
    to lie as it lies."""

    id: int
    text: str
    reasons: list[str]
    grave: bool
    waits: bool = False


def attention(packs: list[PackFacts]) -> list[PackAttention]:
    """The packs that want a look: the dangerous first, then those breaking in, then those due for a reading."""
    found = [PackAttention(pack.id, pack.text, _reasons(pack), _is_grave(pack), bool(pack.due)) for pack in packs]
    order = {pack.id: _rank(pack) for pack in packs}
    return sorted((one for one in found if one.reasons), key=lambda one: (order[one.id], one.text))


def first_few(found: list[PackAttention], most: int) -> list[PackAttention]:
    """The first `most` of them, yet none that is grave is left out."""
    return found[: max(most, sum(one.grave for one in found))]


def _is_grave(pack: PackFacts) -> bool:
    return bool(pack.damage or pack.retire or pack.hot)


def _reasons(pack: PackFacts) -> list[str]:
    reasons = [f"noted as damaged: {pack.damage}"] if pack.damage else []
    reasons += [words for words in (pack.retire, pack.hot) if words]
    if pack.standing in ("fresh", "breaking in"):
        reasons.append(pack.standing_text)
    if pack.since_reading >= READ_EVERY:
        done = f"{READ_EVERY} or more discharges"
        reasons.append(f"{done} since its resistance was read" if pack.ever_read else f"{done}, resistance never read")
    return reasons + list(pack.due)


def _rank(pack: PackFacts) -> int:
    return 0 if _is_grave(pack) else 1 if pack.standing in ("fresh", "breaking in") else 2
