"""What a pack did in its runs, as a page."""

from collections.abc import Sequence
from dataclasses import dataclass

from garage.measures import Measure
from garage.packs.break_in import Standing
from garage.packs.run_use import HOT_DAY_C, PackDid, RunOnPack, pack_did
from garage.packs.sheets import PackName, pack_name
from garage.packs.tables import Pack
from garage.reference import Caution, cautions
from garage.runs.lines.line import RunLine


@dataclass(frozen=True)
class DidRow:
    """One run: its line, and what the pack did. `standing` is as of its start."""

    run: RunLine
    standing: str
    broken_in: bool
    charge: Measure
    did: PackDid


@dataclass(frozen=True)
class DidSheet:
    """A page of a pack's runs, newest first; `only` if a single run was asked for."""

    pack: PackName
    rows: list[DidRow]
    page: int
    more: bool
    cautions: list[Caution]
    origins: list[tuple[str, str]]
    only: bool = False
    hot_day_c: float = HOT_DAY_C


def did_sheet(
    pack: Pack,
    found: Sequence[tuple[RunLine, Standing, RunOnPack]],
    page: int,
    limit: int,
    *,
    retire: str,
    only: bool = False,
) -> DidSheet:
    """The page; `found` holds one more than `limit` if there is a further page."""
    rows = [
        DidRow(
            line,
            standing.text,
            standing.broken_in,
            Measure(use.charge_mah, "charge", "as the charger says"),
            pack_did(use),
        )
        for line, standing, use in found[:limit]
    ]
    return DidSheet(
        pack_name(pack, retire), rows, page, len(found) > limit, [cautions()["lipo_charging"]], _origins(rows), only
    )


_COLUMNS = (
    ("Mean current", "current"),
    ("Energy", "energy"),
    ("Energy a km", "per_km"),
    ("Sag", "sag"),
    ("Heat by current", "heat_by_current"),
    ("Heat by its rise", "heat_by_rise"),
    ("Left to the limit", "left"),
    ("On a hot day", "hot_day"),
)


def _origins(rows: Sequence[DidRow]) -> list[tuple[str, str]]:
    """Where the figures of each column come from, each way once."""
    found: dict[tuple[str, str], None] = {}
    for name, attribute in _COLUMNS:
        for row in rows:
            measure: Measure = getattr(row.did, attribute)
            if measure.value is not None:
                found[name, measure.origin] = None
    return list(found)
