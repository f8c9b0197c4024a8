"""Routes of the quick log: several packs at once, after a day out."""

from dataclasses import dataclass

from garage.fields.definition import Field
from garage.measures import Measure
from garage.packs import store
from garage.packs.break_in import Standing
from garage.packs.fields import ENTRIES, LOG_FIELDS
from garage.packs.log import store as log_store
from garage.packs.log.cycles_store import packs_at_hand, use_before
from garage.packs.log.many_forms import read_many
from garage.packs.sheets import LOG_WORDS
from garage.packs.store import pack_text
from garage.packs.verdict_store import retire_words
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


MOST_ROWS = 60


@dataclass(frozen=True)
class ManyLine:
    """One pack of the quick log."""

    id: int
    text: str
    cells_s: int
    standing: Standing
    last: str
    damage: str
    retire: str
    capacity: Measure


@dataclass(frozen=True)
class ManySheet:
    """The quick log: packs in use, those used last first."""

    packs: list[ManyLine]
    values: dict[str, str]
    kinds: tuple[tuple[str, str], ...] = ENTRIES
    fields: tuple[Field, ...] = LOG_FIELDS


@pages.sheet("/packs/log", "packs/many.html", asks={"kind": "the kind of entry to begin with"})
def show_many(desk: Desk) -> ManySheet:
    packs = packs_at_hand(desk.session, MOST_ROWS)
    ids = [pack.id for pack in packs]
    use, standings = use_before(desk.session, ids), store.pack_standings(desk.session, ids)
    retire = retire_words(desk.session, ids)
    lines = [
        ManyLine(
            pack.id, pack_text(pack).text, pack.cells_s, standings[pack.id], use[pack.id].last[:10],
            pack.damage, retire.get(pack.id, ""), Measure(pack.capacity_mah, "charge", "stated by the maker"),
        )
        for pack in packs if pack.id is not None
    ]  # fmt: skip
    kind = desk.query.get("kind", "storage")
    values = {"kind": kind if kind in dict(ENTRIES) else "storage", "at": desk.moment.local_text()}
    return ManySheet(sorted(lines, key=lambda line: line.last, reverse=True), values)


@pages.action("/packs/log", on_error=show_many)
def add_many(desk: Desk) -> Done:
    packs = packs_at_hand(desk.session, MOST_ROWS)
    entries = read_many(desk.reader(), packs)
    rows = [log_store.add_log_entry(desk.session, one, entry, desk.moment) for one, entry in entries.items()]
    ids = "-".join(str(row.id) for row in rows)
    packs_said = f"{len(rows)} {'pack' if len(rows) == 1 else 'packs'}"
    return Done("/packs", f"Written down for {packs_said}: {LOG_WORDS[rows[0].kind]}.", f"/packs/log/{ids}/set-aside")


@pages.action("/packs/log/{ids}/set-aside")
def set_many_aside(desk: Desk, ids: str) -> Done:
    log_store.set_several_aside(desk.session, _numbers(ids), desk.moment.utc)
    return Done("/packs", "Set aside: they do not count any more.", f"/packs/log/{ids}/return")


@pages.action("/packs/log/{ids}/return")
def return_many(desk: Desk, ids: str) -> Done:
    log_store.set_several_aside(desk.session, _numbers(ids), None)
    return Done("/packs", "They count again.")


def _numbers(ids: str) -> list[int]:
    """The entries named in an address like `3-4-9`; those that are no numbers lead nowhere."""
    parts = ids.split("-")[: 2 * MOST_ROWS]
    return [int(part) for part in parts if part.isascii() and part.isdigit() and len(part) < 16]
