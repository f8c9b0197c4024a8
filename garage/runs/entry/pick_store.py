"""What a run form offers to pick from: packs not yet run that day, props used lately."""

from collections.abc import Sequence
from typing import NamedTuple

from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.moments import Moment
from garage.packs.store import PackText, SetText, pack_sets, pack_standings
from garage.packs.tables import Pack
from garage.packs.verdict_store import not_without_asking
from garage.props.store import EditionText, edition_by_code, edition_texts, latest_editions
from garage.props.tables import PropEdition
from garage.runs.counting import COUNTS
from garage.runs.entry.forms import split_pick
from garage.runs.tables import Run, RunPack, RunProp
from garage.waters.outing_store import outings_of_day

MOST_OFFERED = 40
MOST_SETS = 20
LATELY = 60


class Option(NamedTuple):
    """One entry of a list to choose from."""

    value: str
    text: str


def pack_options(
    session: Session, hull_id: int, cells: int | None, day: Moment, *, fitting_only: bool = False
) -> list[Option]:
    """Packs and sets not yet run on the day of `day`: those this hull used last first, then those that fit.

    `cells` is what the hull ran with last (cells in series), if it ran. When all have run, all are offered
    again: packs are charged at the water too. `fitting_only` leaves out packs of other cell counts that this
    hull has not used lately. One that came back over-hot and was not looked at since, or that should be retired, is
    offered after all others, with that said.
    """
    tired = _run_today(session, day)
    groups = _recent_groups(session, hull_id)
    recent = {pack_id: order for order, group in enumerate(reversed(groups)) for pack_id, _ in group}
    packs = _usable(session, set(recent), cells, MOST_OFFERED + len(tired))
    if fitting_only and cells is not None:
        packs = [pack for pack in packs if pack.id in recent or pack.cells_s == cells]
    free = {pack.id: pack for pack in packs if pack.id not in tired}
    if not free:
        against = not_without_asking(session, packs)
        again = sorted(packs, key=lambda pack: pack.id in against)[:MOST_OFFERED]
        return [Option(str(pack.id), f"{_words(pack)} · ran already that day{_but(pack, against)}") for pack in again]
    sets = [found for found in pack_sets(session, limit=MOST_SETS) if _all_free(found, free)]
    joined: dict[str, str] = {}
    against = not_without_asking(session, list(free.values()))
    for group in groups:
        if len(group) > 1 and all(pack_id in free for pack_id, _ in group):
            value = "+".join(str(pack_id) for pack_id, _ in group) + f":{group[0][1]}"
            packs = [free[pack_id] for pack_id, _ in group]
            joined.setdefault(value, _group_text(packs, group[0][1]) + _but_of_several(packs, against))
    for found in sets:
        value = "+".join(str(one.id) for one in found.packs) + f":{found.wiring}"
        codes = " + ".join(one.code for one in found.packs)
        joined.setdefault(value, f"{found.name}: {codes}" + _but_of_several(found.packs, against))
    ran_joined = bool(groups) and len(groups[0]) > 1
    singles = sorted(free.values(), key=lambda pack: (pack.id in against, _order(pack, recent, cells)))
    standings = pack_standings(session, {pack.id for pack in singles})
    single = [
        Option(str(pack.id), f"{_words(pack)} · {against.get(pack.id) or standings[pack.id].text}")
        for pack in singles
        if pack.id
    ]
    together = [Option(value, text) for value, text in joined.items()]
    offered = together + single if ran_joined else single + together
    return sorted(offered, key=lambda option: _any_against(option, against))[:MOST_OFFERED]


def with_picked(session: Session, options: list[Option], picked: str) -> list[Option]:
    """The same, and what was chosen before if it is not offered any more: a form shown once more loses nothing."""
    ids, wiring = split_pick(picked)
    known = {pack.id: pack for pack in session.exec(select(Pack).where(in_(Pack.id, ids)))} if ids else {}
    if picked in {option.value for option in options} or not set(ids) <= set(known) or not ids:
        return options
    packs = [known[pack_id] for pack_id in ids]
    words = _words(packs[0]) if len(packs) == 1 else _group_text(packs, wiring or "series")
    return [*options, Option(picked, f"{words} · as you chose")]


def _any_against(option: Option, against: dict[int, str]) -> bool:
    return any(int(pack_id) in against for pack_id in option.value.split(":")[0].split("+"))


def _run_today(session: Session, day: Moment) -> set[int]:
    outings = outings_of_day(session, day)
    ran = select(RunPack.pack_id).join(Run, col(Run.id) == RunPack.run_id)
    return set(session.exec(ran.where(in_(Run.outing_id, outings), COUNTS)))


def _recent_groups(session: Session, hull_id: int) -> list[tuple[tuple[int, str], ...]]:
    """The packs of the hull's last runs with their wiring, the latest run first."""
    lately = select(Run.id).where(Run.hull_id == hull_id).order_by(col(Run.started_at).desc()).limit(LATELY)
    run_ids = [run_id for run_id in session.exec(lately) if run_id is not None]
    groups: dict[int, list[tuple[int, str]]] = {run_id: [] for run_id in run_ids}
    uses = select(RunPack).where(in_(RunPack.run_id, run_ids)).order_by(col(RunPack.pack_id))
    for use in session.exec(uses):
        groups[use.run_id].append((use.pack_id, use.wiring))
    return [tuple(group) for group in groups.values() if group]


def _usable(session: Session, recent: set[int], cells: int | None, most: int) -> list[Pack]:
    """Packs neither retired nor noted as damaged: those of the last runs, and up to `most` others to fill the list."""
    good = (Pack.retired_on == "", Pack.damage == "")
    lately = session.exec(select(Pack).where(in_(Pack.id, recent), *good)).all()
    fits_first = (col(Pack.cells_s) != (cells or 0), col(Pack.code))
    others = session.exec(select(Pack).where(*good).order_by(*fits_first).limit(most)).all()
    return list({pack.id: pack for pack in (*lately, *others)}.values())


def _all_free(found: SetText, free: dict[int, Pack]) -> bool:
    return bool(found.packs) and all(one.id in free for one in found.packs)


def _order(pack: Pack, recent: dict[int, int], cells: int | None) -> tuple:
    used = recent.get(pack.id)
    fits = cells is None or pack.cells_s == cells
    return (used is None, -(used or 0), not fits, len(pack.code), pack.code)


def _words(pack: Pack) -> str:
    return f"{pack.code} · {pack.cells_s}S {pack.capacity_mah:,.0f}".replace(",", "\u202f")


def _but(pack: Pack, against: dict[int, str]) -> str:
    why = against.get(pack.id)
    return f" · {why}" if why else ""


def _but_of_several(packs: Sequence[Pack | PackText], against: dict[int, str]) -> str:
    """What stands against some of the packs that go together, each by its code."""
    found = [(pack.code, against.get(pack.id, "")) for pack in packs]
    return "".join(f" · {code}: {why}" for code, why in found if why)


def _group_text(packs: Sequence[Pack], wiring: str) -> str:
    codes = " + ".join(pack.code for pack in packs)
    alike = len({(pack.cells_s, pack.capacity_mah) for pack in packs}) == 1
    size = f" · {len(packs)} × {_words(packs[0]).split(' · ')[1]}" if alike else ""
    return f"{codes}{size} · {wiring}"


def prop_options(session: Session, hull_id: int, *also: int) -> list[EditionText]:
    """Props to choose from, each in its latest edition: those this hull ran with lately first.

    Editions in `also` are offered too, even if they are old ones.
    """
    lately = select(Run.id).where(Run.hull_id == hull_id).order_by(col(Run.started_at).desc()).limit(LATELY)
    uses = select(PropEdition.prop_id).join(RunProp, col(RunProp.edition_id) == col(PropEdition.id)).distinct()
    used = session.exec(uses.where(col(RunProp.run_id).in_(lately))).all()
    latest = (*latest_editions(session, of=used), *latest_editions(session, limit=MOST_OFFERED))
    offered = list({one.id: one for one in latest}.values())[:MOST_OFFERED]
    kept = edition_texts(session, set(also)).values()
    return list({one.id: one for one in (*kept, *offered)}.values())


def latest_of(session: Session, edition_id: int) -> int:
    """The edition that the prop of `edition_id` is now."""
    known = edition_texts(session, {edition_id})
    latest = edition_by_code(session, known[edition_id].code) if known else None
    return latest.id if latest and latest.id else edition_id
