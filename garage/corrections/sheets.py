"""How a mended slip is shown: what stands now, what stood there, when and why."""

from dataclasses import dataclass

from garage.corrections.tables import Correction
from garage.moments import Moment


@dataclass(frozen=True)
class Mended:
    """One slip mended, in words; `mending_id` is what it was put right with, if with other things in one go."""

    what: str
    old: str
    new: str
    why: str
    at: Moment
    mending_id: int | None = None


def mended(correction: Correction, what: str = "", old: str | None = None, new: str | None = None) -> Mended:
    """`correction` for a page; `what`, `old` and `new` put its stored texts into words."""
    return Mended(
        what or correction.field.replace("_", " "),
        correction.old if old is None else old,
        correction.new if new is None else new,
        correction.why,
        Moment.here(correction.at),
        correction.mending_id,
    )
