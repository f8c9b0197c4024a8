"""Routes of what a person measures: said once, and never asked again. It lives here since it decides what an evening
asks, and which runs wait for one."""

from collections.abc import Collection
from dataclasses import dataclass

from sqlmodel import Session

from garage.preferences.instruments import INSTRUMENTS
from garage.preferences.store import keep_not_measured, not_measured
from garage.runs.waiting_store import LOOKED_AT, ask_by, asked_in_vain
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()
# Where it is posted to have what was never measured before: names, or none.
_BACK, _NONE = "/preferences/instruments/never/", "none"


@dataclass(frozen=True)
class InstrumentRow:
    """One thing that may be measured: by what, what leaving it out costs a verdict, and what the latest runs say."""

    name: str
    label: str
    hint: str
    costs: str
    asked: str
    is_measured: bool

    @property
    def field(self) -> str:
        """The name of its field in the form."""
        return _field(self.name)


@dataclass(frozen=True)
class InstrumentsSheet:
    """Everything that the notebook asks for and a person may have no instrument for."""

    rows: list[InstrumentRow]
    values: dict[str, str]


@pages.sheet("/preferences/instruments", "evening/instruments.html")
def show_instruments(desk: Desk) -> InstrumentsSheet:
    return _sheet(desk.session)


@pages.action("/preferences/instruments", on_error=show_instruments, edits=True)
def keep_instruments(desk: Desk) -> Done:
    reader = desk.reader()
    never = {one.name for one in INSTRUMENTS if reader.flag(_field(one.name))}
    reader.finish()
    before = not_measured(desk.session)
    return Done("/preferences/instruments", f"Kept.{_keep(desk.session, never)}", undo=_BACK + _named(before))


@pages.action(_BACK + "{names:str}")
def as_before(desk: Desk, names: str) -> Done:
    known = {one.name for one in INSTRUMENTS}
    never, before = known & {*names.split("+")}, not_measured(desk.session)
    return Done("/preferences/instruments", f"As before.{_keep(desk.session, never)}", undo=_BACK + _named(before))


def _named(never: Collection[str]) -> str:
    return "+".join(sorted(never)) or _NONE


def _keep(session: Session, never: Collection[str]) -> str:
    """Keep what is never measured; what that changes, in words."""
    keep_not_measured(session, never)
    session.flush()
    return _said(ask_by(session, never))


def _sheet(session: Session) -> InstrumentsSheet:
    never = not_measured(session)
    in_vain = asked_in_vain(session, never)
    rows = [
        InstrumentRow(
            one.name,
            one.label,
            one.hint,
            one.costs,
            f"not written in any of the latest {LOOKED_AT} runs" if one.name in in_vain else "",
            one.name not in never,
        )
        for one in INSTRUMENTS
    ]
    return InstrumentsSheet(rows, {row.field: "" if row.is_measured else "yes" for row in rows})


def _field(name: str) -> str:
    return f"never_{name}"


def _said(runs: int) -> str:
    if not runs:
        return ""
    return (
        " For 1 run that changes whether it waits."
        if runs == 1
        else f" For {runs} runs that changes whether they wait."
    )
