"""The count of discharges as a rule, beside which what the file counts is held."""

from collections.abc import Iterable


def count_before(moments: Iterable[str], utc: str, charges_before: int) -> int:
    """Discharges before `utc`: those brought along by a used pack, and those of its log. A discharge at
    that very moment is the one being looked at and does not count."""
    return charges_before + sum(moment < utc for moment in moments)
