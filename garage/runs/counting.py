"""Which runs count, and which speeds."""

from collections.abc import Collection
from dataclasses import dataclass

from sqlalchemy import Boolean, ColumnElement, literal_column, text

from garage.runs.fields import MAY_SPOIL, MAY_SPOIL_CAUSES

# The plus sign keeps the index made for records out of it: nearly all runs count, so that asking by this
# alone reads nearly all of them, whatever narrower index a query also offers.
COUNTS = text("+run.set_aside_at IS NULL")
# A speed that is not to count, over the table `run`: a person said so, or ticked it at what happened and said nothing
# else since. The same as `standing_of`.
SPOILED_SQL = (
    "(run.speed_counts = 'does not count' OR run.speed_counts = '' AND EXISTS (SELECT 1 FROM incident"
    " WHERE incident.run_id = run.id AND incident.spoiled_speed = 1 AND incident.set_aside_at IS NULL))"
)
# Nobody said yet whether the speed counts, though something happened that may have spoiled it.
ASKED = "asked"


@dataclass(frozen=True)
class Happened:
    """What tells of an incident whether it may have spoiled the speed; `spoiled` where a person ticked that it did."""

    kind: str
    cause: str
    spoiled: bool

    @property
    def may_spoil(self) -> bool:
        """Whether it is asked for."""
        return self.kind in MAY_SPOIL or self.cause in MAY_SPOIL_CAUSES


@dataclass(frozen=True)
class SpeedStanding:
    """Whether a speed counts: '' (nothing speaks against it), `counts`, `does not count`, `not known`, or `asked`, and
    the kinds of incident because of which that is a question."""

    word: str = ""
    because: tuple[str, ...] = ()

    @property
    def is_question(self) -> bool:
        """Whether it stands on the run's page, to be answered or answered otherwise."""
        return bool(self.word)


def standing_of(answer: str, happened: Collection[Happened], has_speed: bool = True) -> SpeedStanding:
    """Whether a run's speed counts: by what a person answered, else by the tick at what happened; open where something
    that stands may have spoiled it. `happened` has what was not set aside."""
    ticked = tuple(one.kind for one in happened if one.spoiled)
    because = ticked or tuple(one.kind for one in happened if one.may_spoil)
    word = answer or ("does not count" if ticked else ASKED if because and has_speed else "")
    return SpeedStanding(word, because if word else ())


def does_not_count() -> ColumnElement[bool]:
    """For queries over runs: the speed is not to count."""
    return literal_column(SPOILED_SQL, Boolean)
