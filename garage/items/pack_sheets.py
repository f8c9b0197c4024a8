"""What the list of packs and a pack's own page show."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from garage.items.use_store import Use
from garage.measures import Measure
from garage.moments import Moment
from garage.packs.break_in import Standing
from garage.packs.forms import ENTRY_KINDS
from garage.packs.reading_sheets import ReadingGroup, grouped
from garage.packs.sheets import (
    LOG_WORDS,
    LogLine,
    PackFacts,
    PackName,
    damage_cautions,
    log_line,
    pack_cautions,
    pack_facts,
    pack_name,
)
from garage.packs.tables import Pack, PackLog, PackReading, PackSet
from garage.photos.sheets import Attached, attached
from garage.photos.tables import Attachment
from garage.reference import Caution
from garage.shelf.sheets import ShelfSheet, shelf_sheet
from garage.shelf.tables import ShelfEntry


@dataclass(frozen=True)
class PackLine:
    """One pack in the list, as it stands now."""

    id: int
    code: str
    name: str
    cells: str
    capacity: Measure
    flag: str
    standing: str
    discharges: int
    damage: str
    mass: Measure
    retired_on: str


@dataclass(frozen=True)
class PackListSheet:
    """Packs in use, or retired ones."""

    rows: list[PackLine]
    retired: bool
    page: int
    more: bool
    cautions: list[Caution]


@dataclass(frozen=True)
class PackRows:
    """What is stored about one pack beside its facts; the newest of its log and readings."""

    log: Sequence[PackLog]
    readings: Sequence[PackReading]
    sets: Sequence[PackSet]
    attachments: Sequence[Attachment]
    entry: ShelfEntry | None


@dataclass(frozen=True)
class PackSheet:
    """One pack: as it stands, its facts, log and readings, what it did, what is attached, where it lies."""

    pack: PackName
    facts: PackFacts
    standing: Standing
    log: list[LogLine]
    readings: list[ReadingGroup]
    sets: list[tuple[int, str]]
    use: Use
    damage_cautions: list[Caution]
    cautions: list[Caution]
    attached: Attached
    shelf: ShelfSheet
    values: dict[str, str]
    kinds: tuple[tuple[str, str], ...] = tuple((kind, LOG_WORDS[kind]) for kind in ENTRY_KINDS)


def pack_list_sheet(
    found: Sequence[Pack], standings: Mapping[int, Standing], *, retired: bool, page: int, limit: int
) -> PackListSheet:
    """The list; `found` holds one more than `limit` if there is a further page."""
    rows = [_line(pack, standings[pack.id]) for pack in found[:limit] if pack.id is not None]
    return PackListSheet(rows, retired, page, len(found) > limit, pack_cautions())


def pack_sheet(pack: Pack, standing: Standing, kept: PackRows, use: Use, now: Moment) -> PackSheet:
    """The page of one pack."""
    assert pack.id is not None
    return PackSheet(
        pack=pack_name(pack),
        facts=pack_facts(pack, standing),
        standing=standing,
        log=[log_line(row, pack) for row in kept.log],
        readings=grouped(kept.readings),
        sets=[(one.id, one.name) for one in kept.sets if one.id is not None],
        use=use,
        damage_cautions=damage_cautions() if pack.damage else [],
        cautions=pack_cautions(),
        attached=attached("pack", pack.id, kept.attachments),
        shelf=shelf_sheet("pack", pack.id, kept.entry),
        values={"kind": "bench", "at": now.local_text()},
    )


def _line(pack: Pack, standing: Standing) -> PackLine:
    assert pack.id is not None
    return PackLine(
        id=pack.id,
        code=pack.code,
        name=pack.name,
        cells=f"{pack.cells_s}S{pack.cells_p}P",
        capacity=Measure(pack.capacity_mah, "charge", "stated by the maker"),
        flag=standing.flag,
        standing=standing.text,
        discharges=standing.discharges,
        damage=pack.damage,
        mass=Measure(pack.mass_g, "mass", "weighed"),
        retired_on=pack.retired_on,
    )
