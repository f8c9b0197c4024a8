"""One way in which something was otherwise: what is asked about it, and what is to be done."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from sqlmodel import Session

from garage.mending.steps import Step
from garage.moments import Moment
from garage.units import DisplayUnits
from garage.web.fields import Reader


@dataclass(frozen=True)
class Ask:
    """One field of the form: `kind` is text, date, moment, choice, many or flag, `value` what stands in it at first (of
    `many`, values with a blank between)."""

    name: str
    label: str
    kind: str = "text"
    hint: str = ""
    options: list[tuple[str, str]] = field(default_factory=list)
    value: str = ""
    required: bool = False


@dataclass(frozen=True)
class Planned:
    """What is to be done: in one line for the page and the ledger, and step by step. `notes` are what a person should
    know before; `url` is the page to go to afterwards, if not that of the thing."""

    said: str
    steps: Sequence[Step]
    notes: Sequence[str] = ()
    url: str = ""


def _nothing_more(_session: Session, _thing_id: int, _units: DisplayUnits, _typed: Mapping[str, str]) -> Sequence[Ask]:
    return ()


@dataclass(frozen=True)
class Operation:
    """`of` is the kind of thing it is done to, `name` its word in the address, `title` and `hint` what is offered.

    `refused` says why it cannot be done to this thing, '' if it can. `asks` gives the fields of the form, and
    `asks_more` those that what was typed so far calls for. `plan` reads what was typed and finds the steps, within a
    session that may write, though it writes nothing but rows that the steps bring to life; it raises FormErrors, and
    Conflict where it cannot be done at all. `elsewhere` is the address of the page on which
    it is filled in, where that is not the form made of `asks`.
    """

    of: str
    name: str
    title: str
    hint: str
    asks: Callable[[Session, int, DisplayUnits], Sequence[Ask]]
    plan: Callable[[Session, Reader, int, Moment], Planned]
    refused: Callable[[Session, int], str] = lambda _session, _thing_id: ""
    asks_more: Callable[[Session, int, DisplayUnits, Mapping[str, str]], Sequence[Ask]] = _nothing_more
    elsewhere: Callable[[Session, int], str] = lambda _session, _thing_id: ""
