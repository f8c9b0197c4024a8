"""Writing down what the demo's packs went through between outings: readings, bench discharges, storage."""

import json
from collections.abc import Mapping
from typing import Any

from sqlmodel import Session

from garage.demo.clock import moment
from garage.demo.names import Names
from garage.demo.simulate import cell_mohm, stream
from garage.demo.truth import Truth
from garage.moments import Moment
from garage.packs.log.store import add_log_entry, add_reading
from garage.packs.store import discharges_before, pack

# A meter at 1 kHz reads lower than a load step: the demo's meter shows this share of it.
_AC_SHARE = 0.62


def write_bench_discharges(session: Session, story: Mapping[str, Any], names: Names) -> None:
    """Discharges on the bench; before the runs, since they count among a pack's first."""
    for row in story["bench"]:
        at = moment(row["at"])
        current = float(row["current"]) if "current" in row else None
        kind = row.get("kind", "bench")
        figures = {"charge_mah": float(row["charge"]), "current_a": current, "temperature_c": 21.0}
        add_log_entry(session, names.packs[row["pack"]], _entry(kind, at, row) | figures, at)


def write_pack_care(session: Session, story: Mapping[str, Any], names: Names, truth: Truth) -> None:
    """Storage charges and resistance readings; after the runs, since resistance goes by their number."""
    for row in story["storage"]:
        at = moment(row["at"])
        for code in row["packs"]:
            add_log_entry(session, names.packs[code], _entry("storage", at, row), at)
    for row in story["reading"]:
        for day in row["days"]:
            for order, code in enumerate(row["packs"]):
                at = moment(f"{day} 19:{order * 5:02d}")
                _write_reading(session, code, names.packs[code], row, at, truth)


def _entry(kind: str, at: Moment, row: Mapping[str, Any]) -> dict[str, Any]:
    return {"kind": kind, "at": at.utc, "offset_min": at.offset_min, "note": row["note"]}


def _write_reading(session: Session, code: str, pack_id: int, row: Mapping[str, Any], at: Moment, truth: Truth) -> None:
    draws = stream(truth, "reading", code, at.utc, row["method"])
    discharges = discharges_before(session, [pack_id], at.utc)[pack_id]
    temperature_c = round(draws.gauss(20.5, 1.5), 1)
    share = _AC_SHARE if row["method"] == "AC 1 kHz" else 1.0
    mean = share * cell_mohm(truth, code, discharges, temperature_c)
    cells = [
        round(mean * _cell_share(truth, code, number) * draws.gauss(1, 0.02), 2)
        for number in range(pack(session, pack_id).cells_s)
    ]
    conditions = {"temperature_c": temperature_c, "state_of_charge_percent": 100.0, "rest_min": 60.0}
    how = {"at": at.utc, "offset_min": at.offset_min, "method": row["method"], "instrument": row["instrument"]}
    add_reading(session, pack_id, {"cells_mohm": json.dumps(cells)} | how | conditions, at)


def _cell_share(truth: Truth, code: str, number: int) -> float:
    """How one cell stands to its mates, the same at every reading."""
    return stream(truth, "cell", code, number).gauss(1, 0.04)
