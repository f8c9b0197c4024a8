"""The two sides of a run with two of everything: which there are, and what one of them was made with."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from garage.props.tables import PropEdition
from garage.runs.store import packs_of, props_of
from garage.runs.tables import RunPack, RunProp

SIDES = ("left", "right")
# Taken when nobody says which.
USUAL_SIDE = "left"


@dataclass(frozen=True)
class MadeWith:
    """The props and packs that a run was made with."""

    props: Sequence[RunProp]
    packs: Sequence[RunPack]

    @property
    def sides(self) -> tuple[str, ...]:
        """The sides of a run that has a prop or a pack of its own on each; none of a run with one of everything."""
        places = {one.place for one in self.props} | {one.wiring for one in self.packs}
        return SIDES if set(SIDES) <= places else ()


def made_with_of(session: Session, run_id: int) -> MadeWith:
    """What a run was made with."""
    return MadeWith(props_of(session, [run_id])[run_id], packs_of(session, [run_id])[run_id])


def packs_on(uses: Sequence[RunPack], side: str) -> Sequence[RunPack]:
    """The packs of one side where each side has its own; else all of them."""
    return [use for use in uses if use.wiring == side] or uses


def edition_on(session: Session, uses: Sequence[RunProp], side: str) -> PropEdition | None:
    """The prop of one side, or the only one."""
    found = min(uses, key=lambda use: use.place != side, default=None)
    return session.get(PropEdition, found.edition_id) if found else None
