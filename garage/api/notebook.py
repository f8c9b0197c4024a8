"""A garage's folder read from Python: one moment of it, as rows of plain values."""

from collections.abc import Iterable
from datetime import date
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from sqlmodel import Session

from garage.api.calculators import Given, calc_of
from garage.api.gained import effect_row, subject_of
from garage.api.gather import (
    ALL,
    hull_rows,
    in_use_first,
    outing_rows,
    pack_rows,
    prop_rows,
    record_rows,
    run_rows,
    state_rows,
)
from garage.api.rows import EffectRow, HullRow, OutingRow, PackRow, PropRow, RecordRow, RunRow, StateRow
from garage.api.snapshot import Snapshot
from garage.api.tracks import USUAL_COURSE_M, USUAL_LIMIT_MIN, track_of
from garage.db.engine import AT_WORK, open_engine
from garage.db.migrate import refuse_unless_up_to_date
from garage.errors import GarageError, NotFound
from garage.hulls.fields import HULL_KINDS
from garage.hulls.store import hull as hull_by_id
from garage.hulls.store import hulls
from garage.hulls.tables import Hull
from garage.preferences.store import display_units
from garage.records.filter_store import narrowing
from garage.records.forms import Filters
from garage.records.sections import sections
from garage.records.ways import MINIMUMS
from garage.runs.store import runs_listed

HullName = str | int


class Garage:
    """The garage in `folder`, as it is when this is made; a later moment is another `Garage(folder)`.

    Nothing is ever written: neither the file nor anything beside it is touched, also while the garage is served. What
    comes in is typed on the pages. Raises UnusableData in words for a folder without a garage, a file of another
    program, or one that `garage serve` has to bring up to date first.

    >>> from garage.api import Garage
    >>> with Garage(folder) as g:
    ...     [hull.name for hull in g.hulls()][:2]
    ['Brindle', 'Quickthorn']
    """

    def __init__(self, folder: str | Path) -> None:
        self._snapshot = Snapshot(Path(folder))
        self._engine = open_engine(self._snapshot.database, read_only=True)
        try:
            refuse_unless_up_to_date(self._engine, self._snapshot.database)
            self._open_session: Session | None = Session(self._engine)
            self._units = display_units(self._open_session)
        except BaseException:
            self._engine.dispose()
            self._snapshot.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the copy that is read from. Twice is once."""
        if self._open_session is not None:
            self._open_session.close()
            AT_WORK.set(None)
            self._open_session = None
            self._engine.dispose()
            self._snapshot.close()

    def hulls(self) -> list[HullRow]:
        """Every hull, those in use first."""
        return hull_rows(self._session)

    def states(self, hull: HullName) -> list[StateRow]:
        """The build states of a hull, by its name or number, the first one first. Raises NotFound."""
        return state_rows(self._session, self._hull(hull), self._units)

    def packs(self) -> list[PackRow]:
        """Every pack, those in use first."""
        return pack_rows(self._session)

    def props(self) -> list[PropRow]:
        """Every prop as it is since its latest rework, those in use first."""
        return prop_rows(self._session)

    def outings(self) -> list[OutingRow]:
        """Every outing that was not set aside, the first one first."""
        return outing_rows(self._session)

    def runs(
        self,
        hull: HullName | None = None,
        *,
        since: str | date = "",
        until: str | date = "",
        set_aside: bool = False,
    ) -> list[RunRow]:
        """Runs in the order in which they were made: of all hulls or of one, from the day `since` to the day `until`,
        both included. Those set aside only if asked for. Raises NotFound, and GarageError for what is no day.

        >>> with Garage(folder) as g:
        ...     fast = [run for run in g.runs("Brindle") if run.speed_kmh]
        >>> fast[0].speed_kmh > 0, fast[0].known != ""
        (True, True)
        """
        hull_id = None if hull is None else self._hull(hull).id
        first, last = _day(since), _day(until) or "9999"
        found = sorted(runs_listed(self._session, hull_id=hull_id, limit=ALL), key=lambda run: (run.started_at, run.id))
        rows = run_rows(self._session, found)
        return [row for row in rows if first <= row.day <= last and (set_aside or not row.set_aside)]

    def records(
        self,
        *,
        hull: HullName = "",
        kind: str = "",
        cells: int | None = None,
        prop: str = "",
        pack: str = "",
        modification: str = "",
        since: str | date = "",
        until: str | date = "",
        at_least: str = "",
        of_each: int = 10,
    ) -> list[RecordRow]:
        """The fastest `of_each` runs of every way of measuring, the best known way first, narrowed as on the page of
        records. `at_least` is "log both ways", "log" or "display". Raises GarageError for what the notebook does not
        have.
        """
        _one_of(kind, HULL_KINDS, "kind of hull")
        _one_of(at_least, MINIMUMS, "way to know a speed by")
        filters = Filters(
            cells=cells, hull=str(hull), hull_kind=kind, prop=prop, pack=pack, modification=modification,
            since=_day(since), until=_day(until), at_least=at_least,
        )  # fmt: skip
        narrowed, wrong = narrowing(self._session, filters)
        if wrong:
            raise NotFound(" ".join(wrong.values()))
        return record_rows(sections(self._session, filters, narrowed, limit=max(1, of_each)), self._units)

    def effect(
        self,
        hull: HullName,
        *,
        modification: str | int | None = None,
        setting: str | None = None,
        prop: str | None = None,
        pack: str | None = None,
        states: tuple[int, int] | None = None,
    ) -> EffectRow:
        """What one thing really gained on a hull, from the runs of closed outings: a modification by its title or
        number, a setting by its name in exports (`strut_height`), a prop's latest edition or a pack by its code, or
        one build state over another by their numbers. Raises GarageError in words.

        >>> with Garage(folder) as g:
        ...     found = g.effect("Brindle", states=(1, 2))
        >>> found.hull, found.subject
        ('Brindle', 'state 2 over state 1')
        """
        boat = self._hull(hull)
        about, subject = subject_of(
            self._session, boat, modification=modification, setting=setting, prop=prop, pack=pack, states=states
        )
        return effect_row(self._session, boat, self._units, about, subject)

    @staticmethod
    def track(
        file: str | Path, *, course_m: float = USUAL_COURSE_M, within_min: float = USUAL_LIMIT_MIN
    ) -> dict[str, Any]:
        """What a log says; the same as `garage.api.track`, which needs no garage."""
        return track_of(file, course_m=course_m, within_min=within_min)

    @staticmethod
    def calc(name: str, /, **inputs: Given) -> dict[str, Any]:
        """What a calculator of the bench answers; the same as `garage.api.calc`, which needs no garage.

        >>> slip = Garage.calc("slip", shaft_speed=30000, pitch="66 mm", speed=90)
        >>> round(slip["results"]["slip"]["value"], 3)
        0.242
        """
        return calc_of(name, **inputs)

    @property
    def _session(self) -> Session:
        if self._open_session is None:
            raise GarageError("This garage is closed; open it once more with Garage(folder).")
        AT_WORK.set(self._open_session)
        return self._open_session

    def _hull(self, named: HullName) -> Hull:
        if isinstance(named, int):
            return hull_by_id(self._session, named)
        every = in_use_first(self._session, hulls)
        found = next((one for one in every if one.name.casefold() == named.strip().casefold()), None)
        if found is None:
            raise NotFound(f"There is no hull called “{named[:80]}”.")
        return found


def _day(written: str | date) -> str:
    try:
        return date.fromisoformat(str(written)).isoformat() if written else ""
    except ValueError as error:
        raise GarageError(f"“{str(written)[:40]}” is no day; write it as 2026-05-09.") from error


def _one_of(written: str, known: Iterable[str], what: str) -> None:
    if written and written not in known:
        raise GarageError(f"“{written[:40]}” is no {what}; there are {', '.join(known)}.")
