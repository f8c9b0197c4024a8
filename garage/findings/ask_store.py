"""Queries for asking: where a prop or pack ran, and the runs a boat has as she is."""

from dataclasses import dataclass

from sqlmodel import Session, col, func, select

from garage.hulls.store import hull_names
from garage.packs.store import pack
from garage.packs.tables import Pack
from garage.packs.verdict_store import retire_words
from garage.props.store import editions, prop
from garage.runs.tables import Run, RunPack, RunProp
from garage.states.query_store import current_state

_MOST = 60


@dataclass(frozen=True)
class Place:
    """A hull that something ran on: the words to post for asking, words for people, and runs with a speed."""

    what: str
    text: str
    runs: int


@dataclass(frozen=True)
class Baseline:
    """Runs of a boat as she is now, with one pack."""

    pack: str
    runs: int
    retire: str = ""


def where_prop_ran(session: Session, prop_id: int) -> tuple[str, list[Place]]:
    """A prop's code, and every hull with every edition that ran on it. Raises NotFound."""
    code = prop(session, prop_id).code
    numbers = {row.id: row.number for row in editions(session, prop_id)}
    rows = session.exec(
        select(Run.hull_id, RunProp.edition_id, func.count())
        .join(RunProp, col(RunProp.run_id) == col(Run.id))
        .where(col(RunProp.edition_id).in_(list(numbers)), RunProp.place == "single", col(Run.speed_kmh).is_not(None))
        .group_by(col(Run.hull_id), col(RunProp.edition_id))
        .limit(_MOST)
    ).all()
    names = hull_names(session, {hull_id for hull_id, _, _ in rows})
    return code, [
        Place(f"{hull_id}|prop|{edition_id}", f"{names[hull_id]}, edition {numbers[edition_id]}", count)
        for hull_id, edition_id, count in rows
    ]


def where_pack_ran(session: Session, pack_id: int) -> tuple[str, list[Place]]:
    """A pack's code, and every hull it ran on. Raises NotFound."""
    code = pack(session, pack_id).code
    rows = session.exec(
        select(Run.hull_id, func.count())
        .join(RunPack, col(RunPack.run_id) == col(Run.id))
        .where(RunPack.pack_id == pack_id, col(Run.speed_kmh).is_not(None))
        .group_by(col(Run.hull_id))
        .limit(_MOST)
    ).all()
    names = hull_names(session, {hull_id for hull_id, _ in rows})
    return code, [Place(f"{hull_id}|pack|{pack_id}", names[hull_id], count) for hull_id, count in rows]


def baseline(session: Session, hull_id: int) -> list[Baseline]:
    """The runs with a speed that a boat has in the build state she is in, by pack."""
    now = current_state(session, hull_id)
    if now is None:
        return []
    rows = session.exec(
        select(Pack.id, Pack.code, func.count())
        .join(RunPack, col(RunPack.pack_id) == col(Pack.id))
        .join(Run, col(Run.id) == col(RunPack.run_id))
        .where(Run.state_id == now.id, col(Run.speed_kmh).is_not(None), col(Run.set_aside_at).is_(None))
        .group_by(Pack.code)
        .order_by(Pack.code)
        .limit(_MOST)
    ).all()
    retire = retire_words(session, [pack_id for pack_id, _, _ in rows if pack_id is not None])
    return [Baseline(code, count, retire.get(pack_id or 0, "")) for pack_id, code, count in rows]
