"""The packs that the next runs of a hull may use: those it used lately and that are in use, with their charge."""

from collections.abc import Iterator
from dataclasses import dataclass

from sqlmodel import Session

from garage.calc.effect.runs import PackUse
from garage.findings.evidence.runs_store import HullRuns, discharge_number
from garage.moments import day_text
from garage.packs.care import LastKnown, why_blocked
from garage.packs.care_store import care_of
from garage.packs.store import pack_standings, packs_by_ids
from garage.packs.tables import Pack

MOST_PACKS = 5
_LATEST = 30


@dataclass(frozen=True)
class UsablePacks:
    """Packs that run together, the first of them named `lead`: the discharge of each that comes next (None: broken
    in), the cells in series with them, and what is known of their charge."""

    lead: str
    packs: tuple[PackUse, ...]
    cells: float | None
    charge: str

    @property
    def words(self) -> str:
        """The packs, the discharges that come next, and their charge."""
        named = [use.pack + (f", discharge {use.discharge} comes next" if use.discharge else "") for use in self.packs]
        return " and ".join(named) + (f"; {self.charge}" if self.charge else "")


def usable_packs(session: Session, gathered: HullRuns) -> list[UsablePacks]:
    """Packs as this hull used them lately, all of them in use and none to be retired, the latest first; a pack stands
    in one set only."""
    sets = list(_sets(gathered))
    ids = {code: pack_id for pack_id, code in gathered.packs.items()}
    rows = packs_by_ids(session, [ids[code] for codes, _ in sets for code in codes])
    standings, care = pack_standings(session, list(rows)), care_of(session, list(rows))
    found = []
    for codes, cells in sets:
        packs = [rows[ids[code]] for code in codes]
        if any(pack.retired_on or pack.id in gathered.facts.retire for pack in packs):
            continue
        uses = tuple(PackUse(pack.code, discharge_number(pack, standings[pack.id].discharges)) for pack in packs)
        charge = [_charge_words(pack, care[pack.id].last, care[pack.id].temperature_c) for pack in packs]
        found.append(UsablePacks(codes[0], uses, cells, ", ".join(dict.fromkeys(word for word in charge if word))))
    return found[:MOST_PACKS]


def _sets(gathered: HullRuns) -> Iterator[tuple[tuple[str, ...], float | None]]:
    seen: set[str] = set()
    for run in list(gathered.runs.values())[: -_LATEST - 1 : -1]:
        codes = tuple(use.pack for use in run.packs)
        if codes and not seen & set(codes):
            seen |= set(codes)
            yield codes, run.cells


def _charge_words(pack: Pack, last: LastKnown | None, temperature_c: float | None) -> str:
    """What the log of a pack says of its charge; nothing where its newest entry says nothing of it."""
    why = why_blocked("", temperature_c)
    if why:
        return why
    if last is None or last.kind == "look":
        return ""
    if last.seen_v is not None:
        return f"{last.seen_v:.2f} V a cell when last looked at"
    if last.kind == "charge" or last.put_back:
        return f"charged on {day_text(last.day)} or after"
    if last.kind == "storage":
        return f"at storage volts since {day_text(last.day)}"
    return f"emptied on {day_text(last.day)}, no charge written since"
