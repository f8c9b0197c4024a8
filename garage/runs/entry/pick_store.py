"""What a run form offers to pick from: packs not yet run that day, props used lately."""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from sqlalchemy import text
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.moments import Moment
from garage.packs.break_in import Standing
from garage.packs.store import PackText, SetText, pack_sets, pack_standings
from garage.packs.tables import Pack
from garage.packs.verdict_store import not_without_asking
from garage.props.store import EditionText, latest_editions
from garage.runs.counting import COUNTS
from garage.runs.entry.forms import split_pick
from garage.runs.tables import Run, RunPack
from garage.shelf.lending import lent_to
from garage.shelf.loan_store import has_it
from garage.shelf.tables import Loan
from garage.waters.outing_store import began_on_day_of
from garage.waters.tables import Outing

MOST_OFFERED = 40
MOST_SETS = 20
LATELY = 60

_LATELY = text("""
    SELECT run.hull_id, run.id, run_pack.pack_id, run_pack.wiring
    FROM json_each(:hulls) AS asked CROSS JOIN run ON run.id IN (
        SELECT id FROM run WHERE hull_id = asked.value ORDER BY started_at DESC LIMIT :most)
    JOIN run_pack ON run_pack.run_id = run.id
    ORDER BY run.hull_id, run.started_at DESC, run.id DESC, run_pack.pack_id
""")
_PROPS_LATELY = text("""
    SELECT DISTINCT run.hull_id, prop_edition.prop_id
    FROM json_each(:hulls) AS asked CROSS JOIN run ON run.id IN (
        SELECT id FROM run WHERE hull_id = asked.value ORDER BY started_at DESC LIMIT :most)
    JOIN run_prop ON run_prop.run_id = run.id JOIN prop_edition ON prop_edition.id = run_prop.edition_id
""")
_FITTING = text("""
    SELECT asked.value, pack.id FROM json_each(:cells) AS asked CROSS JOIN pack ON pack.id IN (
        SELECT id FROM (
            SELECT id, code, cells_s <> asked.value AS misfits FROM pack WHERE retired_on = '' AND damage = '')
        ORDER BY misfits, code LIMIT :most)
    ORDER BY asked.value, pack.cells_s <> asked.value, pack.code
""")
# The packs of one run with their wiring.
_Group = tuple[tuple[int, str], ...]


class Option(NamedTuple):
    """One entry of a list to choose from."""

    value: str
    text: str


@dataclass(frozen=True)
class PackOffer:
    """The packs a run form offers, and the value of the only one that is left to run that day, '' if that is none or
    one of several."""

    options: list[Option]
    only_left: str


def pack_offer(session: Session, hull_id: int, cells: int | None, day: Moment) -> PackOffer:
    """What a run form offers for one hull, as `pack_options_of` tells it, and what is left of it."""
    return _pack_offers(session, {hull_id: cells}, day, fitting_only=False)[hull_id]


def pack_options(session: Session, hull_id: int, cells: int | None, day: Moment) -> list[Option]:
    """The options alone."""
    return pack_offer(session, hull_id, cells, day).options


def pack_options_of(
    session: Session, asked: Mapping[int, int | None], day: Moment, *, fitting_only: bool = False
) -> dict[int, list[Option]]:
    """By hull, packs and sets not yet run on the day of `day`: those it used last first, then those that fit.

    `asked` says what each hull ran with last (cells in series), if it ran. When all have run, all are offered
    again: packs are charged at the water too. `fitting_only` leaves out packs of other cell counts that the
    hull has not used lately. One that came back over-hot and was not looked at since, or that should be retired, is
    offered after all others, with that said.
    """
    offers = _pack_offers(session, asked, day, fitting_only=fitting_only)
    return {hull_id: offer.options for hull_id, offer in offers.items()}


def _pack_offers(
    session: Session, asked: Mapping[int, int | None], day: Moment, *, fitting_only: bool
) -> dict[int, PackOffer]:
    tired, groups = _run_today(session, day), _recent_groups(session, asked)
    lately = {pack_id for of_hull in groups.values() for group in of_hull for pack_id, _ in group}
    good, others, lent = _usable(session, lately, set(asked.values()), MOST_OFFERED + len(tired))
    boats = [
        _Boat(groups[hull_id], cells, tired, good, others[cells], lent, fitting_only)
        for hull_id, cells in asked.items()
    ]
    wanted = {pack.id: pack for boat in boats for pack in boat.packs}
    against = not_without_asking(session, list(wanted.values()))
    sets = pack_sets(session, limit=MOST_SETS)
    standings = pack_standings(session, set(wanted))
    return {
        hull_id: PackOffer(boat.options(sets, against, standings), boat.only_left(against))
        for hull_id, boat in zip(asked, boats, strict=True)
    }


class _Boat:
    """What one hull may run with: packs usable for it, those of its last runs known by how late they ran."""

    def __init__(
        self,
        groups: list[_Group],
        cells: int | None,
        tired: set[int],
        good: Mapping[int, Pack],
        others: Sequence[Pack],
        lent: dict[int, str],
        fitting_only: bool,
    ) -> None:
        self._groups, self._cells, self._lent = groups, cells, lent
        self._recent = {pack_id: order for order, group in enumerate(reversed(groups)) for pack_id, _ in group}
        lately = [good[pack_id] for pack_id in sorted(self._recent) if pack_id in good]
        self.packs = list({pack.id: pack for pack in (*lately, *others)}.values())
        if fitting_only and cells is not None:
            self.packs = [pack for pack in self.packs if pack.id in self._recent or pack.cells_s == cells]
        self._free = {pack.id: pack for pack in self.packs if pack.id not in tired}

    def options(
        self, sets: Sequence[SetText], against: dict[int, str], standings: Mapping[int, Standing]
    ) -> list[Option]:
        """The options, in their order."""
        if not self._free:
            again = sorted(self.packs, key=lambda pack: pack.id in against)[:MOST_OFFERED]
            return [
                Option(
                    str(pack.id), f"{_words(pack)} · ran already that day{_but(pack, against)}{_but(pack, self._lent)}"
                )
                for pack in again
            ]
        ran_joined = bool(self._groups) and len(self._groups[0]) > 1
        singles = sorted(
            self._free.values(), key=lambda pack: (pack.id in against, _order(pack, self._recent, self._cells))
        )
        single = [
            Option(
                str(pack.id),
                f"{_words(pack)} · {against.get(pack.id) or standings[pack.id].text}{_but(pack, self._lent)}",
            )
            for pack in singles
        ]
        together = [Option(value, text) for value, text in self._joined(sets, against).items()]
        offered = together + single if ran_joined else single + together
        return sorted(offered, key=lambda option: _any_against(option, against))[:MOST_OFFERED]

    def only_left(self, against: Mapping[int, str]) -> str:
        """The only pack that fits, did not run that day and has nothing against it; '' where she ran with several."""
        if any(len(group) > 1 for group in self._groups[:1]):
            return ""
        fits = [pack.id for pack in self._free.values() if self._cells in (None, pack.cells_s)]
        left = [pack_id for pack_id in fits if pack_id not in against and pack_id not in self._lent]
        return str(left[0]) if len(left) == 1 else ""

    def _joined(self, sets: Sequence[SetText], against: dict[int, str]) -> dict[str, str]:
        """Packs that go together, as they ran lately or as they are a set."""
        joined: dict[str, str] = {}
        for group in self._groups:
            if len(group) > 1 and all(pack_id in self._free for pack_id, _ in group):
                value = "+".join(str(pack_id) for pack_id, _ in group) + f":{group[0][1]}"
                packs = [self._free[pack_id] for pack_id, _ in group]
                joined.setdefault(value, _group_text(packs, group[0][1]) + self._but_of_several(packs, against))
        for found in sets:
            if _all_free(found, self._free):
                value = "+".join(str(one.id) for one in found.packs) + f":{found.wiring}"
                codes = " + ".join(one.code for one in found.packs)
                joined.setdefault(value, f"{found.name}: {codes}" + self._but_of_several(found.packs, against))
        return joined

    def _but_of_several(self, packs: Sequence[Pack | PackText], against: dict[int, str]) -> str:
        """What is to be said of some of the packs that go together, each by its code."""
        found = [(pack.code, words.get(pack.id, "")) for pack in packs for words in (against, self._lent)]
        return "".join(f" · {code}: {why}" for code, why in found if why)


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
    ran = select(RunPack.pack_id).join(Run, col(Run.id) == RunPack.run_id).join(Outing, col(Outing.id) == Run.outing_id)
    return set(session.exec(ran.where(*began_on_day_of(day), COUNTS)))


def _recent_groups(session: Session, hull_ids: Iterable[int]) -> dict[int, list[_Group]]:
    """By hull, the packs of its last runs with their wiring, the latest run first."""
    groups: dict[int, dict[int, list[tuple[int, str]]]] = {hull_id: {} for hull_id in hull_ids}
    uses = session.execute(_LATELY, {"hulls": json.dumps(sorted(groups)), "most": LATELY})
    for hull_id, run_id, pack_id, wiring in uses:
        groups[hull_id].setdefault(run_id, []).append((pack_id, wiring))
    return {hull_id: [tuple(group) for group in of_hull.values()] for hull_id, of_hull in groups.items()}


def _usable(
    session: Session, lately: set[int], cells: set[int | None], most: int
) -> tuple[dict[int, Pack], dict[int | None, list[Pack]], dict[int, str]]:
    """Packs neither retired nor noted as damaged: those of the last runs, and for each count of cells up to `most`
    others to fill the list; and to whom some of them are lent."""
    fitting = session.execute(_FITTING, {"cells": json.dumps(sorted({one or 0 for one in cells})), "most": most}).all()
    ids = lately | {pack_id for _, pack_id in fitting}
    good = (Pack.retired_on == "", Pack.damage == "")
    wanted = select(Pack, Loan).outerjoin(Loan, has_it("pack", Pack.id)).where(in_(Pack.id, ids), *good)
    found = list(session.exec(wanted))
    packs = {pack.id: pack for pack, _ in found}
    others = {one: [packs[pack_id] for asked, pack_id in fitting if asked == (one or 0)] for one in cells}
    return packs, others, {pack.id: lent_to(loan) for pack, loan in found if loan}


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


def _group_text(packs: Sequence[Pack], wiring: str) -> str:
    codes = " + ".join(pack.code for pack in packs)
    alike = len({(pack.cells_s, pack.capacity_mah) for pack in packs}) == 1
    size = f" · {len(packs)} × {_words(packs[0]).split(' · ')[1]}" if alike else ""
    return f"{codes}{size} · {wiring}"


def prop_options(session: Session, hull_id: int, kept: Sequence[EditionText] = ()) -> list[EditionText]:
    """Props to choose from for one hull, as `prop_options_of` tells it; those in `kept` are offered too and first, even
    if they are old editions."""
    offered = prop_options_of(session, [hull_id])[hull_id]
    return list({one.id: one for one in (*kept, *offered)}.values())


def prop_options_of(session: Session, hull_ids: Iterable[int]) -> dict[int, list[EditionText]]:
    """By hull, props to choose from, each in its latest edition: those the hull ran with lately first."""
    used: dict[int, set[int]] = {hull_id: set() for hull_id in hull_ids}
    for hull_id, prop_id in session.execute(_PROPS_LATELY, {"hulls": json.dumps(sorted(used)), "most": LATELY}):
        used[hull_id].add(prop_id)
    lately = {prop_id for of_hull in used.values() for prop_id in of_hull}
    offered = latest_editions(session, also=lately, limit=MOST_OFFERED)
    return {
        hull_id: sorted(offered, key=lambda one: one.prop_id not in of_hull)[:MOST_OFFERED]
        for hull_id, of_hull in used.items()
    }
