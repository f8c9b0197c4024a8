"""What a sample of mutants came to, as a table."""

from collections.abc import Sequence

from tests.mutation.interval import wilson
from tests.mutation.rooms import TESTS, room_of
from tests.mutation.trial import Tried


def table(tried: Sequence[Tried]) -> str:
    """The shares by room and by operator, and every mutant that was not caught."""
    drawn = [one for one in tried if not one.is_named]
    named = [one for one in tried if one.is_named]
    rooms = [_line(room, [one for one in drawn if room_of(one.mutant) == room]) for room in TESTS]
    operators = sorted({one.mutant.operator for one in drawn})
    kinds = [_line(kind, [one for one in drawn if one.mutant.operator == kind]) for kind in operators]
    survived = [f"  {one.mutant} ({_tests(one)})" for one in tried if not one.is_caught]
    parts = [
        "By room:", *rooms, "By operator:", *kinds, _line("all drawn", drawn), _line("named", named),
        "Not caught:", *(survived or ["  none"]),
    ]  # fmt: skip
    return "\n".join(parts)


def _tests(one: Tried) -> str:
    return f"{one.tests} tests or files run it" if one.tests else "no test of its room runs it"


def _line(name: str, tried: Sequence[Tried]) -> str:
    return f"  {name:<12} {share_words(sum(one.is_caught for one in tried), len(tried))}"


def share_words(caught: int, of: int) -> str:
    """A share with its interval."""
    low, high = wilson(caught, of)
    return f"{caught:>4} of {of:>4}  {100 * caught / max(of, 1):3.0f} % ({100 * low:.0f} to {100 * high:.0f} %)"
