"""Writing runs down."""

import pytest
from sqlmodel import select

from garage.errors import Conflict
from garage.moments import Moment
from garage.packs.store import pack_standings
from garage.packs.tables import PackLog
from garage.runs.form_data import PackUse, PropUse, RunFormData, run_facts
from garage.runs.store import add_run, last_run_of_hull, runs_on_state
from tests.runs.conftest import AT


def at(clock: str) -> Moment:
    return Moment(f"2026-05-09T{clock}:00Z", 0)


def test_a_run_is_pinned_to_a_state_and_enters_its_discharge_into_the_packs_log(world):
    run = world.run("L", started=at("10:00"))
    assert run.number == 1 and run.cells_s == 3 and run.start_time_known
    assert [found.id for found in runs_on_state(world.session, run.state_id)] == [run.id]
    entry = world.session.exec(select(PackLog)).one()
    assert (entry.pack_id, entry.run_id, entry.at) == (world.packs["L"], run.id, "2026-05-09T10:00:00Z")
    before, after = (
        pack_standings(world.session, [world.packs["L"]], utc)[world.packs["L"]].text
        for utc in ("2026-05-09T10:00:00Z", "2026-05-09T10:00:01Z")
    )
    assert (before, after) == ("fresh", "breaking in (1 of 4)")


def test_runs_of_a_hull_keep_their_order_when_nobody_looked_at_the_clock(world):
    runs = [world.run(pack) for pack in "JKJ"]
    assert sorted(runs, key=lambda run: run.started_at) == runs
    assert len({run.started_at for run in runs}) == 3
    assert last_run_of_hull(world.session, world.medlar) is runs[-1]


def test_a_pack_used_twice_at_once_is_refused(world):
    world.run("J", started=at("10:00"), duration_s=180)
    with pytest.raises(Conflict, match="Pack J was in run 1 at 10:00 already"):
        world.run("J", hull=world.quince, started=at("10:02"))
    world.run("K", hull=world.quince, started=at("10:02"))
    world.run("J", hull=world.quince, started=at("10:03"))


def test_a_pack_cannot_be_in_a_run_twice(world):
    packs = tuple(PackUse(world.packs["J"], "series") for _ in range(2))
    with pytest.raises(Conflict, match="twice"):
        add_run(world.session, RunFormData(world.medlar, world.outing, packs=packs), AT)


def test_two_packs_in_series_add_their_cells_and_in_parallel_do_not(world):
    def cells(wiring: str) -> int | None:
        packs = (PackUse(world.packs["J"], wiring), PackUse(world.packs["K"], wiring))
        return add_run(world.session, RunFormData(world.medlar, world.outing, packs=packs), AT).cells_s

    assert (cells("series"), cells("parallel"), cells("left")) == (6, 3, 3)


def test_a_boat_cannot_run_twice_at_once(world):
    world.run("J", started=at("10:00"), duration_s=180)
    with pytest.raises(Conflict, match="Run 1 of this boat was going on at 10:00"):
        world.run("K", started=at("10:02"))


def test_a_run_before_the_hull_existed_is_refused(world):
    with pytest.raises(Conflict, match="Quince was built on 1 May 2026"):
        world.run("J", hull=world.quince, started=Moment("2026-04-30T10:00:00Z", 0))


def test_a_run_in_the_future_or_of_another_day_is_refused(world):
    with pytest.raises(Conflict, match="still to come"):
        world.run("J", started=Moment("2026-05-12T10:00:00Z", 0))
    with pytest.raises(Conflict, match="The outing was on 9 May 2026"):
        world.run("J", started=Moment("2026-05-08T10:00:00Z", 0))


def test_two_props_at_one_place_are_refused(world):
    props = (PropUse(world.edition), PropUse(world.edition))
    with pytest.raises(Conflict, match="two props at one place"):
        add_run(world.session, RunFormData(world.medlar, world.outing, props=props), AT)


def test_a_run_waits_until_everything_the_evening_asks_for_is_there(world):
    assert world.run("J").waiting
    packs = (PackUse(world.packs["K"], "single", 24.0, 12.5, 2100.0),)
    facts = run_facts(kind="tune", duration_s=150, ride_rating=3)
    assert add_run(world.session, RunFormData(world.medlar, world.outing, facts, packs=packs), AT).waiting
