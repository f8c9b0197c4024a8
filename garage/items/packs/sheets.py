"""What the list of packs and a pack's own page show."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from garage.calc.pack_use import charge_band_percent
from garage.fields.definition import Field
from garage.fields.showing import OWN, FieldValues, values
from garage.inventory.sameness import Sameness
from garage.items.packs.plan import Plan
from garage.items.use_store import Use
from garage.measures import Measure
from garage.moments import Moment
from garage.packs.break_in import Standing
from garage.packs.care import Reminder, imbalance_v, reminders, why_blocked
from garage.packs.care_store import Care, Rested
from garage.packs.fields import ENTRIES, FIELDS, LOG_FIELDS, RETIREMENT_FIELDS, all_fields
from garage.packs.log.cycles import Cycles, cycles_of
from garage.packs.log.cycles_store import Use as LogUse
from garage.packs.log.reading_sheets import ReadingGroup, grouped
from garage.packs.retirement import WIDEST_REST_V, Reason, Verdict
from garage.packs.sheets import (
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
from garage.shelf.fields import LENT_FIELDS
from garage.shelf.lending import lent_values, standing_of
from garage.shelf.sheets import ShelfSheet, shelf_sheet
from garage.shelf.store import Kept
from garage.shelf.tables import Loan


@dataclass(frozen=True)
class PackLine:
    """One pack in the list, as it stands now."""

    id: int
    fields: Annotated[FieldValues, FIELDS, OWN]
    cells: str
    flag: str
    standing: str
    discharges: int
    damage: str
    retire: str
    retired_on: str
    lent: str
    loan: Annotated[FieldValues, LENT_FIELDS]
    end: Annotated[FieldValues, RETIREMENT_FIELDS]


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
    receipts: Sequence[Attachment]
    keeping: Kept
    care: Care
    use: LogUse
    plan: Plan
    verdict: Verdict
    same: Sameness
    mended: Mapping[int, Sequence[str]]
    mended_readings: Mapping[int, Sequence[str]]


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
    plan: Plan
    cycles: Cycles
    due: list[Reminder]
    blocked: str
    reasons: list[Reason]
    rested: Rested | None
    imbalance: Measure
    charge_band: str
    damage_cautions: list[Caution]
    cautions: list[Caution]
    attached: Attached
    shelf: ShelfSheet
    values: dict[str, str]
    same: Sameness
    kinds: tuple[tuple[str, str], ...] = ENTRIES
    fields: tuple[Field, ...] = LOG_FIELDS


def pack_list_sheet(
    found: Sequence[Pack],
    standings: Mapping[int, Standing],
    retire: Mapping[int, str],
    lent: Mapping[int, Loan],
    *,
    today: str,
    retired: bool,
    page: int,
    limit: int,
) -> PackListSheet:
    """The list; `found` holds one more than `limit` if there is a further page."""
    rows = [
        _line(pack, standings[pack.id], retire.get(pack.id, ""), lent.get(pack.id), today) for pack in found[:limit]
    ]
    return PackListSheet(rows, retired, page, len(found) > limit, pack_cautions())


def pack_sheet(pack: Pack, standing: Standing, kept: PackRows, use: Use, now: Moment) -> PackSheet:
    """The page of one pack."""
    care = kept.care
    blocked = why_blocked(pack.damage, care.temperature_c)
    looked = care.rested.at.date() if care.rested else ""
    return PackSheet(
        pack=pack_name(pack, kept.verdict.words),
        facts=pack_facts(pack, standing),
        standing=standing,
        log=[log_line(row, pack, kept.mended.get(row.id, ())) for row in kept.log],
        readings=grouped(kept.readings, kept.mended_readings),
        sets=[(one.id, one.name) for one in kept.sets],
        use=use,
        plan=kept.plan,
        cycles=cycles_of(pack, kept.use),
        due=[] if pack.retired_on or pack.damage else reminders(care.last, looked, now.date()),
        blocked=blocked,
        reasons=[] if pack.retired_on else kept.verdict.measured,
        rested=care.rested,
        imbalance=_imbalance(care),
        charge_band=_charge_band(care),
        damage_cautions=damage_cautions() if blocked or kept.verdict.words else [],
        cautions=pack_cautions(),
        attached=attached("pack", pack.id, kept.attachments),
        shelf=shelf_sheet("pack", pack.id, kept.keeping, kept.receipts, now.date(), retired=bool(pack.retired_on)),
        values={"kind": "bench", "at": now.local_text()},
        same=kept.same,
    )


def _imbalance(care: Care) -> Measure:
    apart = imbalance_v(care.rested.volts) if care.rested else None
    wide = apart is not None and apart > WIDEST_REST_V
    return Measure(apart, "voltage", "between highest and lowest", "cells far apart" if wide else "")


def _charge_band(care: Care) -> str:
    """The state of charge that the resting volts stand for, as a range in words."""
    if not care.rested:
        return ""
    low, high = charge_band_percent(sum(care.rested.volts) / len(care.rested.volts))
    return f"{low:.0f} to {high:.0f} %"


def _line(pack: Pack, standing: Standing, retire: str, loan: Loan | None, today: str) -> PackLine:
    return PackLine(
        id=pack.id,
        fields=values(all_fields(), pack),
        cells=f"{pack.cells_s}S{pack.cells_p}P",
        flag=standing.flag,
        standing=standing.text,
        discharges=standing.discharges,
        damage=pack.damage,
        retire=retire,
        retired_on=pack.retired_on,
        lent=standing_of(pack, loan, today),
        loan=lent_values(loan),
        end=values(RETIREMENT_FIELDS, pack),
    )
