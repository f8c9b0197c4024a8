"""How a pack stands: counted from its log as of a moment, whatever the order of writing."""

from datetime import datetime, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from garage.db.engine import writing
from garage.fields.definition import FormData
from garage.inventory.store import add_row
from garage.moments import Moment
from garage.packs.break_in import standing
from garage.packs.kinds import PACKS
from garage.packs.log.store import add_log_entry, set_aside_log_entry
from garage.packs.store import AfterRun, counted_at, discharges_before, enter_run_discharges, pack_standings
from tests.packs.counting import count_before

NOW = Moment("2026-05-09T14:30:00Z", 0)
HOURS = st.integers(0, 400)


def at(hour: int) -> Moment:
    return Moment((datetime(2026, 4, 1) + timedelta(hours=hour)).strftime("%Y-%m-%dT%H:%M:%SZ"), 0)


def form(code: str, **extra) -> FormData:
    return {"code": code, "cells_s": 3, "capacity_mah": 4000.0} | extra


def entry(hour: int, kind: str = "bench") -> FormData:
    return {"kind": kind, "at": at(hour).utc}


@pytest.mark.parametrize(
    ("discharges", "rule", "flag", "text"),
    [
        (0, 4, "fresh", "fresh"),
        (1, 4, "breaking in", "breaking in (1 of 4)"),
        (2, 4, "breaking in", "breaking in (2 of 4)"),
        (4, 4, "in service", "broken in"),
        (0, 0, "in service", "broken in"),
    ],
)
def test_a_pack_goes_from_fresh_over_breaking_in_to_service_by_its_owners_rule(discharges, rule, flag, text):
    found = standing(discharges, rule, "", "2026-05-09")
    assert (found.flag, found.text, found.broken_in) == (flag, text, flag == "in service")


def test_a_run_on_the_day_of_retiring_was_made_before_it():
    assert standing(9, 4, "2026-05-09", "2026-05-09").flag == "in service"
    assert standing(9, 4, "2026-05-09", "2026-05-10").flag == "retired"


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25)
@given(
    st.lists(st.tuples(HOURS, st.sampled_from(["bench", "storage"])), max_size=12),
    st.lists(HOURS, max_size=4),
)
def test_the_log_in_the_file_counts_as_the_rule_says(app, entries, asked):
    with writing(app.state.engine) as session:
        pack = add_row(session, PACKS, form("J"), NOW)
        for hour, kind in entries:
            add_log_entry(session, pack.id, entry(hour, kind), NOW)
        discharges = [at(hour).utc for hour, kind in entries if kind == "bench"]
        found = counted_at(session, [(pack.id, at(hour).utc) for hour in asked])
        for hour in asked:
            count = count_before(discharges, at(hour).utc, 0)
            assert found[pack.id, at(hour).utc].text == standing(count, 4, "", "2026-05-09").text
            assert discharges_before(session, [pack.id], at(hour).utc) == {pack.id: count}
        session.rollback()


def test_a_run_counts_once_however_often_it_is_written_and_not_for_itself(session):
    pack = add_row(session, PACKS, form("J", charges_before=1), NOW)
    for _ in range(3):
        enter_run_discharges(session, 7, at(10), {pack.id: AfterRun(3000, 41.0)})
    assert discharges_before(session, [pack.id], at(10).utc) == {pack.id: 1}
    assert discharges_before(session, [pack.id], at(11).utc) == {pack.id: 2}
    enter_run_discharges(session, 7, at(20), {pack.id: AfterRun(3000, 41.0)})
    assert discharges_before(session, [pack.id], at(11).utc) == {pack.id: 1}


def test_what_is_set_aside_does_not_count_and_counts_again_when_it_is_back(session):
    pack = add_row(session, PACKS, form("J"), NOW)
    row = add_log_entry(session, pack.id, entry(5), NOW)
    set_aside_log_entry(session, pack.id, row.id, NOW.utc)
    assert pack_standings(session, [pack.id])[pack.id].flag == "fresh"
    set_aside_log_entry(session, pack.id, row.id, None)
    assert pack_standings(session, {pack.id: NOW.utc})[pack.id].text == "breaking in (1 of 4)"


def test_a_pack_used_for_years_is_counted_in_full(session):
    pack = add_row(session, PACKS, form("J", charges_before=7), NOW)
    for hour in range(90):
        add_log_entry(session, pack.id, entry(hour), NOW)
    assert discharges_before(session, [pack.id], NOW.utc) == {pack.id: 97}
    assert counted_at(session, [(pack.id, NOW.utc)])[pack.id, NOW.utc].flag == "in service"


def test_standings_of_many_packs_and_moments_are_found_at_once(session):
    packs = [add_row(session, PACKS, form(f"K{number}"), NOW) for number in range(40)]
    asked = [(pack.id, at(hour).utc) for pack in packs for hour in range(30)]
    assert len(counted_at(session, asked)) == 1200
