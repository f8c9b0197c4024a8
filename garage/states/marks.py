"""A state's mark: the two words by which it is known on pages and on paper, made of its fingerprint.

The first 22 bits of the fingerprint give them; where those are borne already in this garage, the next 22, and so on.
"""

import hashlib
from collections.abc import Iterator
from itertools import count

from garage.words import in_words


def marks(fingerprint: str) -> Iterator[str]:
    """The marks that a state of this fingerprint may bear, in the order in which they are tried; they never end, for
    the same boat comes back in any number of states."""
    for turn in count():
        told = in_words(_further(fingerprint, turn))
        # The second `told` goes on where the first is: the words come in pairs.
        yield from (f"{one} {other}" for one, other in zip(told, told, strict=False) if one != other)


def _further(fingerprint: str, turn: int) -> str:
    return fingerprint if turn == 0 else hashlib.sha256(f"{fingerprint} {turn}".encode()).hexdigest()


def as_mark(typed: str) -> str:
    """What was typed as a mark is written, `quiet heron`; '' unless it is two words."""
    pair = typed.replace("-", " ").lower().split()
    return " ".join(pair) if len(pair) == 2 and all(word.isalpha() for word in pair) else ""
