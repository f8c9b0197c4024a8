"""What a person said that nobody knows any more of a run: an answer like any other, and not asked for again."""

from collections.abc import Collection

# In the order in which they are told.
MAY_BE_UNKNOWN = ("pack", "prop", "state", "speed", "start")
# The answer in a choice beside the others.
NOT_KNOWN = "not known"
_CALLED = {"state": "build state"}


def not_known_of(kept: str) -> frozenset[str]:
    """What the column `run.not_known` tells."""
    return frozenset(kept.split())


def not_known_text(what: Collection[str]) -> str:
    """What the column keeps: its words in one order. Raises ValueError for any that it does not know."""
    if strange := set(what) - set(MAY_BE_UNKNOWN):
        raise ValueError(f"not among {MAY_BE_UNKNOWN}: {sorted(strange)}")
    return " ".join(word for word in MAY_BE_UNKNOWN if word in what)


def not_known_words(what: Collection[str]) -> list[str]:
    """The same as pages say it: `build state not known`."""
    return [f"{_CALLED.get(word, word)} {NOT_KNOWN}" for word in MAY_BE_UNKNOWN if word in what]


def still_unknown(
    said: Collection[str],
    *,
    packs: Collection[object],
    prop_places: Collection[str],
    speed_kmh: float | None,
    start_known: bool,
) -> frozenset[str]:
    """What of it no other answer stands against: who names a pack, a prop, a speed or a start has answered otherwise.
    Of two props one may be known; a build state there always is, so that it takes a word to say that it is known."""
    answered = {
        "pack": bool(packs),
        "prop": "single" in prop_places or len(prop_places) > 1,
        "speed": speed_kmh is not None,
        "start": start_known,
    }
    return frozenset(word for word in said if not answered.get(word))


def state_not_known_sql(run: str) -> str:
    """Whether nobody knows on which build state a run was made, as a condition of SQL; `run` is its table."""
    return f"instr({run}.not_known, 'state') > 0"
