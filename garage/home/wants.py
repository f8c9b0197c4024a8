"""What wants attention, as one list: every room hands its lines over with how much depends on them."""

from collections.abc import Iterable
from dataclasses import dataclass

# How much depends on a line: somebody may be hurt, something written may be lost, something waits for an answer, or it
# could be done some day.
DANGER, MAY_BE_LOST, WAITS, COULD_BE_DONE = range(4)
# So many are shown; the others are counted.
MOST_SHOWN = 3


@dataclass(frozen=True)
class Want:
    """One line: what it is about in bold, what about it, and the way to answer it. `seen` is posted by whoever has
    taken note and wants no more; `beside` are further addresses with their words, `button` what is posted to be done
    with it, with its words."""

    rank: int
    about: str
    text: str
    address: str
    act: str
    seen: str = ""
    beside: tuple[tuple[str, str], ...] = ()
    button: tuple[str, str] | None = None


@dataclass(frozen=True)
class Wants:
    """The lines in sight and those behind a fold."""

    shown: list[Want]
    more: list[Want]

    @property
    def count_words(self) -> str:
        """How many more there are, and that none of them presses, where that is so."""
        pressing = any(want.rank <= MAY_BE_LOST for want in self.more)
        return f"{len(self.more)} more" + ("" if pressing else ", none of them urgent")


def in_order(wants: Iterable[Want]) -> Wants:
    """The lines by rank, in the order in which they came; no danger is behind the fold."""
    ordered = sorted(wants, key=lambda want: want.rank)
    shown = max(MOST_SHOWN, sum(want.rank == DANGER for want in ordered))
    return Wants(ordered[:shown], ordered[shown:])
