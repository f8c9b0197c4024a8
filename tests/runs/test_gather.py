"""What a run's own page tells of its start, its pack and what was read after it."""

from itertools import permutations

import pytest
from sqlmodel import select

from garage.db.engine import writing
from garage.drives.tables import Part
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.packs.tables import Pack, PackLog, PackReading
from garage.runs import rests_store
from garage.runs.form_data import PackUse, PropUse, RunFormData, TemperatureFormData, run_facts
from garage.runs.gather import run_page, too_hot
from garage.runs.store import add_run
from garage.states.store import ChangeFormData, make_changes
from garage.units import DisplayUnits
from tests.runs.conftest import AT, MORNING, make_world

UNITS = DisplayUnits()


@pytest.mark.parametrize(
    ("spot", "reading_c", "limit"),
    [
        ("pack", 55.0, ""), ("pack", 56.0, "55"), ("pack", 60.0, "55"), ("pack", 75.0, "60"),
        ("motor end bell", 60.0, ""), ("motor end bell", 66.0, "60"), ("motor end bell", 71.0, "70"),
        ("speed controller", 61.0, "60"), ("speed controller", 90.0, "60"), ("speed controller", 95.0, "90"),
        ("other", 99.0, ""),
    ],
)  # fmt: skip
def test_a_reading_is_told_with_the_highest_limit_it_passed(spot, reading_c, limit):
    # The limits are those of shared/reference/temperature_limits.csv, with their sources.
    said = too_hot(spot, reading_c, UNITS)
    assert said.split()[:2] == (["above", limit] if limit else [])


def no_measured_slip(_session, _run_id):
    """No log measured a shaft speed."""
    return []


def test_the_c_rate_of_a_run_stands_on_its_page(world):
    # 2000 mAh in 90 s are 80 A, of 4 Ah 20 C.
    form = RunFormData(
        world.medlar, world.outing, run_facts(duration_s=90.0), packs=(PackUse(world.packs["J"], charge_mah=2000.0),)
    )
    page = run_page(world.session, add_run(world.session, form, AT).id, UNITS, no_measured_slip)
    assert dict(page.worked_out)["C-rate of the mean, J"].value == pytest.approx(20)
    assert page.packs[0].average_current.value == pytest.approx(80)


def test_a_measured_capacity_goes_before_the_stated_one_and_the_latest_earlier_reading_counts(world):
    session, pack_id = world.session, world.packs["J"]
    session.get(Pack, pack_id).capacity_measured_mah = 3200.0
    for at, cells, method in (
        ("2026-05-01T10:00:00Z", "[9.0, 9.0, 9.0]", "charger DC step"),
        ("2026-05-08T10:00:00Z", "[1.0, 2.0, 3.0]", "charger DC step"),
        ("2026-05-08T11:00:00Z", "[0.5, 0.5, 0.5]", "AC 1 kHz"),
        ("2026-06-01T10:00:00Z", "[9.0, 9.0, 9.0]", "charger DC step"),
    ):
        session.add(PackReading(pack_id=pack_id, at=at, cells_mohm=cells, method=method, created_at=at))
    session.flush()
    form = RunFormData(
        world.medlar, world.outing, run_facts(duration_s=90.0), packs=(PackUse(pack_id, charge_mah=2000.0),)
    )
    worked = dict(run_page(session, add_run(session, form, AT).id, UNITS, no_measured_slip).worked_out)
    assert worked["C-rate of the mean, J"].value == pytest.approx(25)
    # The mean of 1, 2 and 3 mΩ in each of 3 cells: 80² × 0.006.
    assert worked["Heat in J"].value == pytest.approx(38.4)


@pytest.mark.parametrize("started", [None, MORNING])
def test_a_start_is_told_only_where_somebody_looked_at_the_clock(world, started):
    run = world.run("J", started=started)
    assert run.start_time_known == (started is not None)
    assert run_page(world.session, run.id, UNITS, no_measured_slip).start_known == (started is not None)


def test_a_start_that_nobody_read_stands_neither_on_the_page_nor_in_the_form(app, client):
    with writing(app.state.engine) as session:
        run_id = make_world(session).run("J").id
    assert client.get(f"/runs/{run_id}.json").json()["start_known"] is False
    assert " at 14:30" not in client.get(f"/runs/{run_id}").text
    assert client.get(f"/runs/{run_id}/edit.json").json()["values"]["started"] == ""


@pytest.mark.parametrize("readings", list(permutations([("J", 48.0), (None, 55.0), ("K", 58.0)])))
def test_the_warmest_reading_of_a_pack_goes_into_its_log(world, readings):
    ids = world.packs
    read = [TemperatureFormData("pack", temperature, pack_id=ids.get(code)) for code, temperature in readings]
    # A motor is warmer, and none of the pack's business.
    read.insert(1, TemperatureFormData("motor end bell", 71.0))
    uses = (PackUse(ids["J"], "series"), PackUse(ids["K"], "series"))
    form = RunFormData(world.medlar, world.outing, packs=uses, temperatures=tuple(read))
    run = add_run(world.session, form, AT)
    entries = world.session.exec(select(PackLog).where(PackLog.run_id == run.id))
    assert {one.pack_id: one.temperature_c for one in entries} == {ids["J"]: 55.0, ids["K"]: 58.0}


def test_a_pack_of_which_nothing_was_read_has_no_temperature_in_its_log(world):
    read = (TemperatureFormData("motor end bell", 71.0),)
    add_run(
        world.session,
        RunFormData(world.medlar, world.outing, packs=(PackUse(world.packs["J"]),), temperatures=read),
        AT,
    )
    assert world.session.exec(select(PackLog)).one().temperature_c is None


def test_each_side_of_a_twin_has_the_volts_of_its_own_pack(world):
    session, built = world.session, Moment("2026-05-09T09:30:00Z", 0)
    session.get(Hull, world.medlar).screws = 2
    motors = [Part(code=code, kind="motor", kv_measured=2000, created_at=MORNING.utc) for code in ("M1", "M2")]
    session.add_all(motors)
    session.flush()
    changes = [
        ChangeFormData("install", side, part_id=motor.id, detail={"kind": "motor", "code": motor.code})
        for side, motor in zip(("left", "right"), motors, strict=True)
    ]
    make_changes(session, world.medlar, changes, built, built, rests_store)
    packs = (
        PackUse(world.packs["J"], "left", rested_v=12.0),
        PackUse(world.packs["K"], "right", rested_v=12.6),
    )
    props = (PropUse(world.edition, "left"), PropUse(world.edition, "right"))
    form = RunFormData(world.medlar, world.outing, run_facts(speed_kmh=60.0), AT, props, packs)
    worked = dict(run_page(session, add_run(session, form, AT).id, UNITS, no_measured_slip).worked_out)
    left, right = (worked[f"Pitch speed (Kv and volts), {side}"].value for side in ("left", "right"))
    # One prop and one Kv on both sides: only the volts differ.
    assert right / left == pytest.approx(12.6 / 12.0)
