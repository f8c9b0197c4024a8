"""The list of words by which people tell apart what a computer tells apart by hashes.

2,048 words of our own, so that each stands for eleven bits: short, plain, no two alike in their first four letters.
The list is never changed, not even in its order: what was written in it stands on paper. It lies with the migrations,
which are kept in the same way and give marks to the states of earlier garages by it.
"""

from collections.abc import Iterator
from functools import cache

from garage.paths import MIGRATIONS_DIR

BITS = 11


@cache
def words() -> tuple[str, ...]:
    """The list, in the order of its numbers."""
    return tuple((MIGRATIONS_DIR / "words.txt").read_text(encoding="utf-8").split())


def in_words(hexadecimal: str) -> Iterator[str]:
    """A hash, one word for each whole eleven bits from its front; bits left over at its end are not told."""
    value, length = int(hexadecimal, 16), len(hexadecimal) * 4
    for end in range(BITS, length + 1, BITS):
        yield words()[value >> (length - end) & ((1 << BITS) - 1)]
