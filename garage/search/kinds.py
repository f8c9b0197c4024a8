"""Which rows of the full-text table belong to which kind of thing.

Each kind has a span of row numbers of its own, so that the newest matches of one kind are read without a
look at the others.
"""

from garage.things import Kind

KIND_SPAN = 2**40


def first_row(kind: Kind) -> int:
    """The row number that a thing of `kind` with id 0 would have. Only for kinds that are found."""
    assert kind.found is not None
    return kind.found.number * KIND_SPAN


def id_of_row(row: int) -> int:
    """The id of the thing behind a row of the full-text table."""
    return row % KIND_SPAN
