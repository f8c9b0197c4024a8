"""Closing outings belongs here: it is the moment at which findings are judged, not after each run."""

from dataclasses import dataclass

from garage.errors import NotFound
from garage.findings.judging import judge_outings
from garage.moments import Moment, age_words
from garage.waters.outing_store import close_outing as close
from garage.waters.outing_store import close_outings, open_before
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()

# So many are closed in one go.
MOST_AT_ONCE = 40


@dataclass(frozen=True)
class OpenRow:
    """An outing of a past day that nobody closed."""

    id: int
    at: Moment
    water: str
    age: str


@dataclass(frozen=True)
class OpenOutingsSheet:
    """The outings of past days that are still open, the oldest first; `more` if there are further ones."""

    rows: list[OpenRow]
    more: bool
    values: dict[str, str]

    @property
    def ids(self) -> str:
        """Their numbers, as the address says them that closes all of them."""
        return "-".join(str(row.id) for row in self.rows)


@pages.sheet("/outings/open", "findings/open_outings.html")
def show_open(desk: Desk) -> OpenOutingsSheet:
    found = open_before(desk.session, desk.moment, limit=MOST_AT_ONCE + 1)
    rows = [OpenRow(day.id, at, water, age_words(at, desk.moment)) for day, at, water in found]
    return OpenOutingsSheet(rows[:MOST_AT_ONCE], len(rows) > MOST_AT_ONCE, {})


@pages.action("/outings/many/{ids}/close", on_error=show_open)
def close_many(desk: Desk, ids: str) -> Done:
    closed = close_outings(desk.session, _numbers(ids), desk.moment.utc)
    desk.session.flush()
    changed = judge_outings(desk.session, closed, desk.moment, desk.units)
    said = f"{_count(len(closed))} closed.{_told(changed)}"
    return Done("/outings", said, undo=f"/outings/many/{'-'.join(map(str, closed))}/reopen" if closed else "")


@pages.action("/outings/many/{ids}/reopen")
def reopen_many(desk: Desk, ids: str) -> Done:
    for outing_id in _numbers(ids):
        close(desk.session, outing_id, None)
    return Done("/outings/open", "They are open again.")


@pages.action("/outings/{outing_id:int}/close")
def close_outing(desk: Desk, outing_id: int) -> Done:
    close(desk.session, outing_id, desk.moment.utc)
    desk.session.flush()
    changed = judge_outings(desk.session, [outing_id], desk.moment, desk.units)
    return Done(f"/outings/{outing_id}", f"The outing is closed.{_told(changed)}", undo=f"/outings/{outing_id}/reopen")


def _told(changed: int) -> str:
    return {0: "", 1: " One finding has changed: see Home."}.get(
        changed, f" {changed} findings have changed: see Home."
    )


def _count(outings: int) -> str:
    return "1 outing is" if outings == 1 else f"{outings} outings are"


def _numbers(ids: str) -> list[int]:
    """The outings named in an address like `3-4`. Raises NotFound for anything else."""
    parts = ids.split("-")
    if len(parts) > MOST_AT_ONCE or not all(part.isascii() and part.isdigit() and len(part) < 16 for part in parts):
        raise NotFound("There is no such outing in this notebook.")
    return [int(part) for part in parts]
