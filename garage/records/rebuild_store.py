"""What a run was made with, in full, for its rebuild sheet."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import func
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.packs.break_in import Standing
from garage.packs.store import PackText, counted_at, pack_text
from garage.packs.tables import Pack
from garage.props.tables import Prop, PropEdition
from garage.runs.lines.store import LineFacts, PropOn
from garage.runs.tables import Run, RunPack


@dataclass(frozen=True)
class PropThen:
    """A prop at its place, in the edition of the run, with the newest edition there is now."""

    place: str
    prop: Prop
    edition: PropEdition
    newest: int


@dataclass(frozen=True)
class PackThen:
    """A pack of the run with what was read off it, how it stood then and how it stands now."""

    use: RunPack
    text: PackText
    then: Standing
    now: Standing
    damage: str
    retired_on: str
    retire: str
    pack: Pack


def props_then(session: Session, props: Sequence[PropOn]) -> list[PropThen]:
    """The props of a run, in the order of their places."""
    newest = _newest(session, [on.prop.id for on in props]) if props else {}
    return [PropThen(on.place, on.prop, on.made, newest[on.prop.id]) for on in props]


def _newest(session: Session, prop_ids: Iterable[int]) -> dict[int, int]:
    """The number of the newest edition of some props."""
    query = select(PropEdition.prop_id, func.max(PropEdition.number)).where(in_(PropEdition.prop_id, prop_ids))
    return dict(session.exec(query.group_by(col(PropEdition.prop_id))).all())


def packs_then(session: Session, run: Run, facts: LineFacts, now_utc: str) -> list[PackThen]:
    """The packs of a run, as of its start and as of now."""
    packs = facts.packs[run.id]
    ids = {on.pack.id for on in packs}
    stood = counted_at(session, {(pack_id, utc) for pack_id in ids for utc in (run.started_at, now_utc)})
    return [
        PackThen(
            on.use,
            pack_text(on.pack),
            stood[on.pack.id, run.started_at],
            stood[on.pack.id, now_utc],
            on.pack.damage,
            on.pack.retired_on,
            facts.retire.get(on.pack.id, ""),
            on.pack,
        )
        for on in packs
    ]


def prop_words(props: Sequence[PropOn]) -> str:
    """The props of a run in words; '' for none."""
    return "; ".join(on.edition.text for on in props)


def latest_run(session: Session, hull_id: int) -> Run | None:
    """A hull's latest run that was not set aside."""
    query = select(Run).where(Run.hull_id == hull_id, col(Run.set_aside_at).is_(None))
    return session.exec(query.order_by(col(Run.started_at).desc(), col(Run.id).desc()).limit(1)).first()
