"""What the pages of this room show of packs, their log and their sets."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Annotated

from garage.fields.definition import Field
from garage.fields.forms import fill, fresh
from garage.fields.showing import OWN, Fact, FieldValues, facts, values
from garage.measures import Measure
from garage.moments import Moment
from garage.packs.break_in import Standing
from garage.packs.fields import ENTRIES, FIELDS, LOG_FIELDS, RETIREMENT_FIELDS, SET_FIELDS, WIRINGS, all_fields
from garage.packs.forms import SIGNS_OF_DAMAGE
from garage.packs.log.cycles import Cycles
from garage.packs.matching import Member, Together, together
from garage.packs.store import SetText, pack_text
from garage.packs.tables import Pack, PackLog
from garage.reference import Caution, cautions
from garage.units import DisplayUnits

LOG_WORDS = {"run": "run"} | dict(ENTRIES)


@dataclass(frozen=True)
class PackFormSheet:
    """The form of a pack; `pack_id` is None for a new one."""

    pack_id: int | None
    code: str
    values: dict[str, str]
    retire: str = ""
    fields: tuple[Field, ...] = field(default_factory=all_fields)


@dataclass(frozen=True)
class PackName:
    """Which pack a page is about; `retire` is the verdict on it in words, '' for a healthy one."""

    id: int
    code: str
    text: str
    cells_s: int
    retire: str


@dataclass(frozen=True)
class PackFacts:
    """A pack as it is now; `listed` is what its page lists, `discharges` counts those before the notebook too."""

    id: int
    fields: Annotated[FieldValues, FIELDS, OWN]
    listed: list[Fact]
    stated_c: str
    break_in_c: str
    discharges: int
    damage: str
    retired_on: str
    retired_reason: str
    end: Annotated[FieldValues, RETIREMENT_FIELDS]


@dataclass(frozen=True)
class LogLine:
    """One entry of a pack's log; `run_id` where a run wrote it, `mended` what it said before it was put right."""

    id: int
    at: Moment
    what: str
    charge: Measure
    fields: Annotated[FieldValues, LOG_FIELDS]
    listed: list[Fact]
    volts: str
    run_id: int | None
    set_aside: bool
    question: str
    mended: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class AsOf:
    """Up to which day, itself included, something is counted; '' for all. `wrong` says why a day was not understood."""

    day: str
    wrong: str = ""


@dataclass(frozen=True)
class LogSheet:
    """A pack's log with the form for one more entry."""

    pack: PackName
    rows: list[LogLine]
    standing: Standing
    charges_before: int
    cycles: Cycles
    as_of: AsOf
    page: int
    more: bool
    values: dict[str, str]
    kinds: tuple[tuple[str, str], ...] = ENTRIES
    fields: tuple[Field, ...] = LOG_FIELDS


@dataclass(frozen=True)
class DamageSheet:
    """What to do with a hurt pack, and the form for what is wrong with it. `fire` comes before all else, then the
    `orders` one after the other."""

    pack: PackName
    damage: str
    values: dict[str, str | list[str]]
    fire: Caution
    orders: list[Caution]
    cautions: list[Caution]
    signs: tuple[str, ...] = SIGNS_OF_DAMAGE


@dataclass(frozen=True)
class SetLine:
    """A set of packs, what it amounts to and which member governs; `retire` is the verdict on members that should
    not be in it any more."""

    id: int
    name: str
    wiring: str
    packs: list[str]
    cells_s: int
    capacity: Measure
    flag: str
    weaker: list[str]
    cautions: list[str]
    retire: list[str]


@dataclass(frozen=True)
class SetListSheet:
    """Sets in use with the form for one more; `known` names packs that can go in."""

    rows: list[SetLine]
    known: list[str]
    page: int
    more: bool
    values: dict[str, str]
    wirings: tuple[str, ...] = WIRINGS
    fields: tuple[Field, ...] = SET_FIELDS


def pack_name(pack: Pack, retire: str) -> PackName:
    """Which pack a page is about, with the verdict on it in words."""
    return PackName(pack.id, pack.code, pack_text(pack).text, pack.cells_s, retire)


def pack_form_sheet(pack: Pack | None, code: str, units: DisplayUnits, retire: str = "") -> PackFormSheet:
    """The form of `pack`, or of a new one."""
    if pack is None:
        return PackFormSheet(None, code, {"code": code} | fresh(all_fields(), units))
    return PackFormSheet(pack.id, pack.code, fill(all_fields(), pack, units), retire)


def pack_facts(pack: Pack, standing: Standing) -> PackFacts:
    """A pack's facts with its count of discharges."""
    return PackFacts(
        id=pack.id,
        fields=values(all_fields(), pack),
        listed=facts(all_fields(), pack),
        stated_c="" if pack.stated_c is None else f"{pack.stated_c:g}",
        break_in_c="" if pack.break_in_c is None else f"{pack.break_in_c:g}",
        discharges=standing.discharges,
        damage=pack.damage,
        retired_on=pack.retired_on,
        retired_reason=pack.retired_reason,
        end=values(RETIREMENT_FIELDS, pack),
    )


def log_line(row: PackLog, pack: Pack, mended: Sequence[str] = ()) -> LogLine:
    """One entry of the log; `question` is what does not go with the rest of what is known of the pack, and
    `mended` what it said before."""
    return LogLine(
        id=row.id,
        at=Moment(row.at, row.offset_min),
        what=LOG_WORDS[row.kind],
        charge=Measure(row.charge_mah, "charge", "put back" if row.kind == "run" else "read off"),
        fields=values(LOG_FIELDS, row),
        listed=facts(LOG_FIELDS, row),
        volts=" ".join(f"{volt:.2f}" for volt in json.loads(row.volts or "[]")),
        run_id=row.run_id,
        set_aside=row.set_aside_at is not None,
        question=_question(row, pack),
        mended=list(mended),
    )


# A pack may hold some more than its maker says, and a charger reads too much; common practice, no source.
_MORE_THAN_IT_HOLDS = 1.15


def _question(row: PackLog, pack: Pack) -> str:
    day = Moment(row.at, row.offset_min).date()
    if pack.bought_on and day < pack.bought_on:
        return "before the day it was bought?"
    if pack.first_charged_on and day < pack.first_charged_on:
        return "before its first charge?"
    holds = max(pack.capacity_mah, pack.capacity_measured_mah or 0.0)
    if row.charge_mah is not None and row.charge_mah > _MORE_THAN_IT_HOLDS * holds:
        return "more than the pack holds?"
    return ""


def log_sheet(
    pack: Pack,
    rows: Sequence[PackLog],
    standing: Standing,
    cycles: Cycles,
    as_of: AsOf,
    now: Moment,
    page: int,
    limit: int,
    kind: str = "bench",
    retire: str = "",
    mended: Mapping[int, Sequence[str]] = MappingProxyType({}),
) -> LogSheet:
    """The log; `rows` holds one more than `limit` if there is a further page. `kind` is what the form begins with."""
    return LogSheet(
        pack_name(pack, retire),
        [log_line(row, pack, mended.get(row.id, ())) for row in rows[:limit]],
        standing,
        pack.charges_before,
        cycles,
        as_of,
        page,
        len(rows) > limit,
        {"kind": kind if kind in dict(ENTRIES) else "bench", "at": now.local_text()},
    )


def damage_sheet(pack: Pack, retire: str) -> DamageSheet:
    """The form for damage, filled with what was said so far."""
    signs, _, words = pack.damage.partition(": ")
    ticked = [sign for sign in SIGNS_OF_DAMAGE if sign in signs.split(", ")]
    values: dict[str, str | list[str]] = {"signs": ticked, "words": words if ticked else pack.damage}
    fire, *orders = (caution for caution in cautions().values() if caution.where == "hurt pack")
    return DamageSheet(pack_name(pack, retire), pack.damage, values, fire, orders, damage_cautions())


def pack_cautions() -> list[Caution]:
    """What to mind with any pack."""
    return [caution for caution in cautions().values() if caution.where == "packs"]


def damage_cautions() -> list[Caution]:
    """What to mind with a pack that was hurt, wet or is swollen."""
    known = cautions()
    return [known["lipo_swollen"], known["lipo_after_crash"], known["lipo_disposal"]]


def member_of(pack: Pack, standing: Standing) -> Member:
    """A pack as a member of a set."""
    measured = pack.capacity_measured_mah
    return Member(
        pack.code,
        pack.cells_s,
        measured or pack.capacity_mah,
        measured is not None,
        pack.first_charged_on or pack.bought_on,
        standing,
    )


def set_line(
    found: SetText, members: Mapping[int, Pack], standings: Mapping[int, Standing], retire: Mapping[int, str]
) -> SetLine:
    """One set as a line; `retire` holds the verdict on packs that something speaks against."""
    packs = [members[text.id] for text in found.packs]
    ready = [member_of(pack, standings[pack.id]) for pack in packs]
    sum_up: Together = together(ready, found.wiring)
    origin = "of the smallest member" if found.wiring == "series" else "sum of the members"
    return SetLine(
        id=found.id,
        name=found.name,
        wiring=found.wiring,
        packs=[text.text for text in found.packs],
        cells_s=sum_up.cells_s,
        capacity=Measure(sum_up.capacity_mah, "charge", origin),
        flag=sum_up.flag,
        weaker=sum_up.weaker,
        cautions=sum_up.cautions,
        retire=[f"{text.code}: {retire[text.id]}" for text in found.packs if text.id in retire],
    )
