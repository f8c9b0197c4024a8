"""What a run was made with, in full, for its rebuild sheet."""

from dataclasses import dataclass

from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.packs.break_in import Standing
from garage.packs.store import PackText, pack_standings, pack_texts
from garage.packs.tables import Pack
from garage.packs.verdict_store import retire_words
from garage.props.store import edition_texts
from garage.props.tables import Prop, PropEdition
from garage.runs.store import packs_of, props_of
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


def props_then(session: Session, run_id: int) -> list[PropThen]:
    """The props of a run, by place."""
    uses = props_of(session, [run_id]).get(run_id, [])
    rows = session.exec(
        select(Prop, PropEdition)
        .join(PropEdition, col(PropEdition.prop_id) == col(Prop.id))
        .where(in_(col(PropEdition.id), [use.edition_id for use in uses]))
    )
    found = {edition.id: (prop, edition) for prop, edition in rows}
    newest = {prop.id: _newest(session, prop.id) for prop, _ in found.values()}
    return [
        PropThen(use.place, *found[use.edition_id], newest[found[use.edition_id][0].id])
        for use in sorted(uses, key=lambda use: use.place)
        if use.edition_id in found
    ]


def _newest(session: Session, prop_id: int | None) -> int:
    query = select(PropEdition.number).where(PropEdition.prop_id == prop_id)
    return session.exec(query.order_by(col(PropEdition.number).desc()).limit(1)).one()


def packs_then(session: Session, run: Run, now_utc: str) -> list[PackThen]:
    """The packs of a run, as of its start and as of now."""
    uses = packs_of(session, [run.id]).get(run.id, [])
    ids = {use.pack_id for use in uses}
    texts = pack_texts(session, ids)
    then, now = pack_standings(session, ids, run.started_at), pack_standings(session, ids, now_utc)
    retire = retire_words(session, ids)
    rows = {row.id: row for row in session.exec(select(Pack).where(in_(Pack.id, ids)))}
    return [
        PackThen(
            use,
            texts[use.pack_id],
            then[use.pack_id],
            now[use.pack_id],
            rows[use.pack_id].damage,
            rows[use.pack_id].retired_on,
            retire.get(use.pack_id, ""),
        )
        for use in uses
        if use.pack_id in texts
    ]


def props_of_run(session: Session, run: Run | None) -> str:
    """The props of a run in words; '' for none."""
    if run is None or run.id is None:
        return ""
    uses = props_of(session, [run.id]).get(run.id, [])
    texts = edition_texts(session, {use.edition_id for use in uses})
    return "; ".join(texts[use.edition_id].text for use in sorted(uses, key=lambda use: use.place))


def latest_run(session: Session, hull_id: int) -> Run | None:
    """A hull's latest run that was not set aside."""
    query = select(Run).where(Run.hull_id == hull_id, col(Run.set_aside_at).is_(None))
    return session.exec(query.order_by(col(Run.started_at).desc(), col(Run.id).desc()).limit(1)).first()
