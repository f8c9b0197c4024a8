"""Everything that may be put right with an outing and a run of the demo: looked at, done, taken back."""

import pytest

from garage.archive.check import check
from tests.mending.hands import Hands, not_promised

# The outings of 18 and 31 October; Brindle ran 226 to 228, Two Herons 229, Quickthorn 230 and 231.
RUNS = range(220, 232)
WAYS = {
    "another day": ("outing", 54, "day", [("day", "2026-10-30")]),
    "the day of a state before": ("outing", 53, "day", [("day", "2026-07-02")]),
    "began earlier": ("outing", 54, "began", [("began", "2026-10-31T09:20")]),
    "another water": ("outing", 54, "water", [("water", "2")]),
    "two outings": (
        "outing", 54, "part",
        [("runs", "228"), ("runs", "229"), ("runs", "230"), ("began", "2026-10-30T09:20"), ("water", "2")],
    ),
    "another boat": ("run", 226, "boat", [("boat", "3")]),
    "another outing": ("run", 227, "outing", [("outing", "53")]),
    "another start": ("run", 227, "start", [("started", "2026-10-31T10:05")]),
    "nobody looked at the clock": ("run", 227, "start", [("unknown", "yes")]),
    "other packs": ("run", 226, "packs", [("pack", "13"), ("also", "227")]),
    "two packs": ("run", 227, "packs", [("pack", "10"), ("second", "11"), ("wiring", "series")]),
    "no pack known": ("run", 226, "packs", [("pack", "none")]),
    "another prop": ("run", 226, "props", [("prop_single", "3"), ("also", "227")]),
    "no prop known": ("run", 226, "props", [("prop_single", "none")]),
    "another state": ("run", 226, "state", [("state", "10"), ("also", "228")]),
    "no state known": ("run", 226, "state", [("state", "none")]),
    "packs and props swapped": ("run", 226, "swap", [("other", "230"), ("what", "packs"), ("what", "props")]),
    "states swapped": ("run", 221, "swap", [("other", "203"), ("what", "state")]),
    "packs of several runs": ("outing", 54, "packs", [("runs", "226"), ("runs", "230"), ("pack", "13")]),
    "props of several runs": ("outing", 54, "props", [("runs", "226"), ("runs", "227"), ("prop_single", "3")]),
}  # fmt: skip


# The usual set does one of each sort.
_USUAL = ("two outings", "another outing", "packs and props swapped")
_WAYS = [pytest.param(way, id=name, marks=[] if name in _USUAL else pytest.mark.long) for name, way in WAYS.items()]


@pytest.fixture(autouse=True)
def _no_questions(monkeypatch: pytest.MonkeyPatch) -> None:
    # What questions are answered is their own tests' matter, and a second for each boat.
    monkeypatch.setattr("garage.mending.readings._of_questions", lambda *_: {})


@pytest.mark.parametrize("way", _WAYS)
def test_what_is_put_right_reads_as_was_promised_and_as_before_once_it_is_taken_back(hands: Hands, way):
    kind, thing_id, name, typed = way
    promised = hands.ahead(kind, thing_id, name, typed)
    assert promised["ahead"], promised["stands_against"] or promised["wrong"]
    before, rows = hands.runs(RUNS), _rows(hands)
    done = hands.save(kind, thing_id, name, typed, "wrote it down in the evening")
    after = hands.runs(RUNS)
    assert not_promised(before, after, promised["ahead"]["things"], hands.moved(done)) == []
    assert after != before or promised["ahead"]["things"]
    assert check(hands.folder).is_good
    assert hands.take_back(done).status_code == 303
    assert hands.runs(RUNS) == before and _rows(hands) == rows
    assert check(hands.folder).is_good


def _rows(hands: Hands) -> dict[str, list[tuple]]:
    """What stands in the rows themselves; what grew by the mending is left out, and so is an outing that it made."""
    return {
        "run": hands.rows("SELECT * FROM run ORDER BY id"),
        "outing": hands.rows("SELECT * FROM outing WHERE id <= 54 ORDER BY id"),
        "pack": hands.rows("SELECT * FROM run_pack ORDER BY run_id, pack_id"),
        "prop": hands.rows("SELECT * FROM run_prop ORDER BY run_id, place"),
        "temperature": hands.rows("SELECT * FROM run_temperature ORDER BY id"),
        "log": hands.rows(
            "SELECT pack_id, run_id, at, charge_mah, temperature_c, volts FROM pack_log WHERE set_aside_at IS NULL"
            " ORDER BY pack_id, run_id, at"
        ),
        "log files": hands.rows("SELECT id, outing_id FROM log_file ORDER BY id"),
    }
