"""Forms that were sent, by their one-time number: a form that is sent again writes nothing.

What a form wrote and its number are kept in one transaction. A number stays for ever, even where what it made was
taken back: a browser that sends the form once more must not bring it back behind the person's back.
"""

from dataclasses import dataclass

from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, col, select

from garage.db.last_action import Watched
from garage.db.tables import LastAction, SentForm
from garage.errors import GarageError

# Rows that set something about a thing that is there, or follow from it: a form that adds nothing else may be sent
# as often as one likes, since it ends in the same.
ONLY_SETS = {
    "correction", "device", "fact", "finding_result", "finding_run_choice", "fingerprint", "log_channel",
    "log_columns", "log_corner", "log_piece", "pack_set_member", "preference", "prior_choice", "run_move", "run_pack",
    "run_prop", "run_temperature", "service_rule", "supersession",
}  # fmt: skip


class SentAlready(GarageError):
    """The same form was written meanwhile: what was done now is given up."""


@dataclass(frozen=True)
class Sent:
    """One sending of a form: the number it carried, the address it went to, a hash of all that stood in it."""

    number: str
    path: str
    typed: str


def sendings(session: Session, number: str) -> list[SentForm]:
    """What the form of that number wrote: once for each time that something else stood in it."""
    return list(session.exec(select(SentForm).where(col(SentForm.number) == number)))


def is_held(session: Session, number: str) -> bool:
    """Whether what the form of that number said is written down; of forms that only change what is there, this is
    known of the last ones."""
    queries = (select(SentForm.number).where(col(SentForm.number) == number),
               select(LastAction.number).where(col(LastAction.number) == number))  # fmt: skip
    return any(session.exec(query.limit(1)).first() for query in queries)


def keep_sent(session: Session, seen: Watched, row: SentForm) -> None:
    """Keep the number of a form that added something. Raises SentAlready if an equal one came first."""
    if not seen.grown - ONLY_SETS:
        return
    session.add(row)
    try:
        session.flush()
    except IntegrityError as error:
        raise SentAlready("It was written already.") from error
