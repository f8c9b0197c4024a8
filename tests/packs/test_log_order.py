"""Whatever the order of entering, the log tells the same; a back-dated discharge moves what comes later only."""

from hypothesis import given
from hypothesis import strategies as st

from garage.packs.break_in import standing
from tests.packs.counting import count_before

moments = st.lists(st.integers(0, 60), min_size=1, max_size=14, unique=True)


def utc(hour: int) -> str:
    return f"2026-05-{1 + hour // 24:02d}T{hour % 24:02d}:00:00Z"


def flags(log: list[int], runs: list[int], before: int, rule: int) -> list[str]:
    return [standing(count_before(map(utc, log), utc(run), before), rule, "", "2026-05-01").text for run in runs]


@given(moments, moments, st.randoms(use_true_random=False), st.integers(0, 3), st.integers(0, 8))
def test_the_order_of_entering_changes_no_flag(log, runs, draws, before, rule):
    mixed = list(log)
    draws.shuffle(mixed)
    assert flags(mixed, runs, before, rule) == flags(log, runs, before, rule)


@given(moments, moments, st.integers(0, 60), st.integers(0, 8))
def test_a_back_dated_discharge_moves_the_flags_of_later_runs_and_no_others(log, runs, new, rule):
    then, now = flags(log, runs, 0, rule), flags([*log, new], runs, 0, rule)
    for run, was, came in zip(runs, then, now, strict=True):
        if run <= new:
            assert was == came


def test_the_same_in_the_file_through_the_forms(client):
    client.post("/packs/new", data={"code": "J", "cells_s": "3", "capacity": "4000", "break_in_charges": "3"})
    client.post("/packs/new", data={"code": "K", "cells_s": "3", "capacity": "4000", "break_in_charges": "3"})
    days = ["2026-05-03T10:00", "2026-05-01T10:00", "2026-05-05T10:00", "2026-05-02T10:00"]
    for pack, order in ((1, days), (2, sorted(days))):
        for day in order:
            client.post(f"/packs/{pack}/log", data={"kind": "bench", "at": day, "charge": "3000"})
    told = [client.get(f"/packs/{pack}/log.json?until=2026-05-03").json() for pack in (1, 2)]
    assert told[0]["cycles"] == told[1]["cycles"] and told[0]["cycles"]["charges"] == 3
    assert [row["at"] for row in told[0]["rows"]] == [row["at"] for row in told[1]["rows"]]
