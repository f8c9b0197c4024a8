"""What a person said that nobody knows any more of a run: an answer like any other, and not asked for again."""

from collections.abc import Collection

# In the order in which they are told.
MAY_BE_UNKNOWN = ("pack", "prop", "state", "speed", "start")


def not_known_of(kept: str) -> frozenset[str]:
    """What the column `run.not_known` tells."""
    return frozenset(kept.split())


def not_known_text(what: Collection[str]) -> str:
    """What the column keeps: its words in one order. Raises ValueError for any that it does not know."""
    if strange := set(what) - set(MAY_BE_UNKNOWN):
        raise ValueError(f"not among {MAY_BE_UNKNOWN}: {sorted(strange)}")
    return " ".join(word for word in MAY_BE_UNKNOWN if word in what)
