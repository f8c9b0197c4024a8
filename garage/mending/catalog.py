"""All ways in which something may have been otherwise, by the kind of thing."""

from garage.errors import NotFound
from garage.mending import outing_parts, outings, pack_log, run_parts, runs, same, visits, work
from garage.mending.operation import Operation

_ALL = (
    *outings.OPERATIONS,
    *outing_parts.OPERATIONS,
    *runs.OPERATIONS,
    *run_parts.OPERATIONS,
    *pack_log.OPERATIONS,
    *same.OPERATIONS,
    *visits.OPERATIONS,
    *work.OPERATIONS,
)


def operations_of(kind: str) -> list[Operation]:
    """What may have been otherwise with a thing of that kind. Raises NotFound for a kind with nothing."""
    if found := [one for one in _ALL if one.of == kind]:
        return found
    raise NotFound("Nothing of that kind is put right here.")


def operation(kind: str, name: str) -> Operation:
    """One of them. Raises NotFound."""
    for one in operations_of(kind):
        if one.name == name:
            return one
    raise NotFound("There is no such way of putting this right.")
