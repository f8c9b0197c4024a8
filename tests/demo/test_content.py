"""What is in the demo: as much of everything as promised, and nothing that goes against anything else."""

import json
import math
import statistics
from collections import Counter
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlmodel import Session, func, select

from garage.bench.balance.part_lines import parts_of
from garage.bench.balance.starting_parts import starting_lines
from garage.bench.tables import BalanceSheet, ScaleReading
from garage.calc.balance import balance, two_scales
from garage.corrections.tables import Correction
from garage.demo.names import Names
from garage.demo.outings import circumstances
from garage.demo.season import read_season
from garage.demo.simulate import day_effect, expected_ln_speed
from garage.demo.truth import read_truth
from garage.demo.weather import weather
from garage.drives.tables import Part
from garage.hulls.store import hull
from garage.hulls.tables import Hull
from garage.logs.pieces.run_slip import slip_of_run
from garage.logs.tables import LogFile, LogPiece
from garage.modifications.store import status
from garage.modifications.tables import Modification, Step
from garage.moments import Moment
from garage.packs.store import pack_standings
from garage.packs.tables import Pack, PackLog, PackReading, PackSet
from garage.photos.tables import Attachment
from garage.props.tables import Prop, PropEdition
from garage.runs.tables import Incident, Run, RunMove, RunPack, RunProp, RunTemperature
from garage.services.tables import Service
from garage.shelf.tables import ShelfEntry
from garage.states.fold import fingerprint, fold
from garage.states.store import changes_of, current_state, read_change, state_at, state_content
from garage.states.tables import BuildState, Supersession
from garage.stock.tables import Supply
from garage.waters.tables import Outing, Water

SEASON = ("2025-04-01", "2026-11-01")


@pytest.mark.parametrize(
    ("table", "at_least"),
    [
        (Hull, 3),
        (Modification, 6),
        (Step, 30),
        (Prop, 12),
        (PropEdition, 20),
        (Pack, 8),
        (PackReading, 30),
        (PackSet, 1),
        (Water, 2),
        (Outing, 40),
        (Run, 200),
        (RunTemperature, 400),
        (Incident, 10),
        (Service, 40),
        (Supply, 4),
        (ShelfEntry, 8),
        (Attachment, 8),
        (Correction, 1),
        (Supersession, 1),
    ],
)
def test_there_is_as_much_as_promised(demo_session: Session, table: type, at_least: int):
    assert demo_session.exec(select(func.count()).select_from(table)).one() >= at_least


def test_hulls_are_of_different_kinds_and_one_has_two_screws(demo_session: Session):
    hulls = demo_session.exec(select(Hull)).all()
    assert {"mono", "catamaran", "outrigger"} <= {hull.kind for hull in hulls}
    assert 2 in {hull.screws for hull in hulls}
    assert any(hull.retired_on for hull in hulls)


def test_modifications_stand_in_every_way_there_is(demo_session: Session):
    ids = demo_session.exec(select(Modification.id)).all()
    stand = Counter(status(demo_session, ids).values())
    assert stand.keys() == {"planned", "under way", "fitted", "taken off", "dropped"}
    assert demo_session.exec(select(Modification).where(Modification.trial)).all()


def test_packs_stand_in_several_ways_and_one_is_still_breaking_in(demo_session: Session):
    ids = demo_session.exec(select(Pack.id)).all()
    flags = Counter(found.flag for found in pack_standings(demo_session, ids).values())
    assert flags["breaking in"] >= 1 and flags["retired"] >= 1 and flags["in service"] >= 6


def test_no_two_parts_of_a_kind_have_one_name_and_each_is_called_what_it_is(demo_session: Session):
    parts = demo_session.exec(select(Part)).all()
    assert len({(part.kind, part.name) for part in parts}) == len(parts)
    [receiver] = [part for part in parts if part.kind == "receiver"]
    assert [part.code for part in parts if "receiver" in part.name] == [receiver.code]
    assert {part.kind for part in parts if "blade" in part.name} == {"rudder"}


def test_every_outing_lies_in_the_two_seasons_and_only_the_last_is_open(demo_session: Session):
    outings = demo_session.exec(select(Outing).order_by(Outing.started_at)).all()
    assert SEASON[0] <= outings[0].started_at and outings[-1].started_at < SEASON[1]
    assert [outing.id for outing in outings if outing.closed_at is None] == [outings[-1].id]


def test_only_runs_of_the_open_outing_wait_for_details(demo_session: Session):
    waiting = demo_session.exec(select(Run).where(Run.waiting)).all()
    (last,) = demo_session.exec(select(Outing.id).where(Outing.closed_at.is_(None))).all()
    assert len(waiting) >= 2
    assert {run.outing_id for run in waiting} == {last}


def test_a_run_is_set_aside_and_one_was_corrected(demo_session: Session):
    aside = demo_session.exec(select(Run).where(Run.set_aside_at.is_not(None))).all()
    assert aside and all(run.set_aside_reason for run in aside)
    (correction,) = demo_session.exec(select(Correction).where(Correction.owner == "run")).all()
    run = demo_session.get(Run, correction.owner_id)
    assert run is not None and str(run.speed_kmh) == correction.new != correction.old


def test_every_run_rests_on_the_state_that_its_hull_was_in_at_that_time(demo_session: Session):
    for run in demo_session.exec(select(Run)):
        then = state_at(demo_session, run.hull_id, run.started_at)
        assert then is not None and then.id == run.state_id, f"run {run.id}"


def test_every_run_has_the_props_and_packs_its_hull_needs(demo_session: Session):
    screws = dict(demo_session.exec(select(Hull.id, Hull.screws)).all())
    props, packs = (
        Counter(demo_session.exec(select(RunProp.run_id))),
        Counter(demo_session.exec(select(RunPack.run_id))),
    )
    in_series = set(demo_session.exec(select(RunPack.run_id).where(RunPack.wiring == "series")))
    for run in demo_session.exec(select(Run)):
        assert props[run.id] == screws[run.hull_id]
        assert packs[run.id] == (2 if run.id in in_series else screws[run.hull_id])


def test_two_packs_of_two_cells_in_series_make_a_run_with_four(demo_client, demo_session: Session):
    rows = demo_session.exec(
        select(Run, RunPack, Pack)
        .join(RunPack, RunPack.run_id == Run.id)
        .join(Pack, Pack.id == RunPack.pack_id)
        .where(RunPack.wiring == "series")
    ).all()
    runs = {run.id: run for run, *_ in rows}
    assert runs
    for run_id, run in runs.items():
        mine = [(use, pack) for one, use, pack in rows if one.id == run_id]
        assert [pack.cells_s for _, pack in mine] == [2, 2] and run.cells_s == 4
        assert math.isclose(mine[0][0].charge_mah, mine[1][0].charge_mah, rel_tol=0.1)
        spots = select(RunTemperature.spot, RunTemperature.place).where(RunTemperature.run_id == run_id)
        measured = Counter(demo_session.exec(spots))
        assert measured[("motor end bell", "single")] == 1 and measured[("pack", "single")] == 2
    assert "Q + R in series" in demo_client.get("/records").text


def test_every_prop_edition_was_made_before_it_ran(demo_session: Session):
    made_and_ran = demo_session.exec(
        select(PropEdition.made_at, Run.started_at)
        .join(RunProp, RunProp.edition_id == PropEdition.id)
        .join(Run, Run.id == RunProp.run_id)
    ).all()
    assert len(made_and_ran) >= 200
    assert all(made <= ran for made, ran in made_and_ran)


def test_no_pack_runs_before_it_was_charged_first_or_after_it_was_retired(demo_session: Session):
    rows = demo_session.exec(
        select(Pack, Run.started_at).join(RunPack, RunPack.pack_id == Pack.id).join(Run, Run.id == RunPack.run_id)
    ).all()
    for pack, started_at in rows:
        assert pack.first_charged_on <= started_at[:10], pack.code
        assert not pack.retired_on or started_at[:10] <= pack.retired_on, pack.code


def test_packs_log_holds_one_discharge_for_each_pack_of_each_run(demo_session: Session):
    logged = set(demo_session.exec(select(PackLog.run_id, PackLog.pack_id).where(PackLog.kind == "run")))
    assert logged == set(demo_session.exec(select(RunPack.run_id, RunPack.pack_id)))


def test_fingerprints_come_out_the_same_when_computed_anew(demo_session: Session):
    for state in demo_session.exec(select(BuildState)):
        assert fingerprint(state_content(state)) == state.fingerprint


def test_every_state_is_the_fold_of_its_changes_onto_the_one_before(demo_session: Session):
    states = {state.id: state for state in demo_session.exec(select(BuildState))}
    changes = changes_of(demo_session, states)
    for state in states.values():
        before = [state_content(states[state.parent_id])] if state.parent_id else []
        forms = [read_change(change) for change in changes.get(state.id, [])]
        assert fingerprint(fold(forms, *before)) == state.fingerprint


def test_a_forgotten_change_moved_runs_through_the_ledger(demo_session: Session):
    moves = demo_session.exec(select(RunMove)).all()
    assert moves
    gone = set(demo_session.exec(select(Supersession.old_state_id)))
    assert {int(move.from_value) for move in moves} & gone
    for move in moves:
        run = demo_session.get(Run, move.run_id)
        assert run is not None and run.state_id == int(move.to_value)


def test_no_row_refers_to_something_that_is_not_there(demo_session: Session):
    assert demo_session.connection().execute(text("PRAGMA foreign_key_check")).all() == []
    assert demo_session.connection().execute(text("PRAGMA integrity_check")).scalar() == "ok"


def test_files_of_attachments_are_there(demo_session: Session, demo_folder: Path):
    stored = demo_session.exec(select(Attachment.sha256).where(Attachment.sha256 != "")).all()
    files = [path for path in (demo_folder / "files").rglob("*") if path.is_file()]
    names = {path.name.partition(".")[0] for path in files if path.suffix != ".log"}
    assert len(stored) >= 6 and set(stored) == names


def test_logs_have_their_files_and_tell_the_speed_that_their_run_says(demo_session: Session, demo_folder: Path):
    logs = demo_session.exec(select(LogFile)).all()
    assert len(logs) >= 3 and {log.kind for log in logs} == {"GPX", "table"}
    for log in logs:
        assert (demo_folder / "files" / log.sha256[:2] / f"{log.sha256}.log").is_file()
        piece = demo_session.exec(select(LogPiece).where(LogPiece.log_id == log.id)).one()
        run = demo_session.get(Run, piece.run_id)
        assert piece.top_kmh == pytest.approx(run.speed_kmh, abs=0.5)
        assert piece.two_way_kmh == pytest.approx(run.speed_kmh, abs=0.5)


def test_charge_put_back_goes_with_the_current_that_the_run_must_have_drawn(demo_session: Session):
    # Mean current = 3.6 × mAh / s; boats of this size draw 10 to 110 A on average (job knowledge, own range).
    rows = demo_session.exec(
        select(RunPack.charge_mah, Run.duration_s, Pack.capacity_mah)
        .join(Run, Run.id == RunPack.run_id)
        .join(Pack, Pack.id == RunPack.pack_id)
        .where(RunPack.charge_mah.is_not(None))
    ).all()
    assert len(rows) >= 200
    for charge_mah, duration_s, capacity_mah in rows:
        assert 10 <= 3.6 * charge_mah / duration_s <= 110
        assert charge_mah <= 0.85 * capacity_mah


def test_packs_rest_where_cells_rest(demo_session: Session):
    rows = demo_session.exec(
        select(RunPack, Pack.cells_s).join(Pack, Pack.id == RunPack.pack_id).where(RunPack.volts_after != "")
    ).all()
    for use, cells in rows:
        volts = json.loads(use.volts_after)
        assert len(volts) == cells and all(3.5 < cell < 4.1 for cell in volts)
        assert math.isclose(sum(volts), use.end_v, abs_tol=0.011)
        assert 4.1 * cells < use.rested_v <= 4.2 * cells


def test_records_fall_over_the_seasons(demo_session: Session):
    (hull,) = demo_session.exec(select(Hull.id).where(Hull.name == "Brindle")).all()
    speeds = demo_session.exec(
        select(Run.speed_kmh)
        .where(Run.hull_id == hull, Run.speed_how == "log", Run.set_aside_at.is_(None))
        .order_by(Run.started_at)
    ).all()
    falls = sum(speed > max(speeds[:number], default=0) for number, speed in enumerate(speeds))
    assert falls >= 5


def test_something_is_low_on_the_shelf_and_something_is_still_to_sort(demo_session: Session):
    assert demo_session.exec(select(ShelfEntry).where(ShelfEntry.low)).all()
    assert demo_session.exec(select(Attachment).where(Attachment.owner == "")).all()
    assert demo_session.exec(select(Run).where(Run.try_next != "", Run.try_next_done_at.is_(None))).all()


def test_speeds_written_down_scatter_about_the_stated_truth_as_stated(demo_session: Session):
    """What the notebook says of each run, put into the stated truth, gives its speed but for scatter."""
    truth, season, names = read_truth(), read_season(), Names()
    names.hulls.update(demo_session.exec(select(Hull.name, Hull.id)).all())
    names.packs.update(demo_session.exec(select(Pack.code, Pack.id)).all())
    runs = iter(demo_session.exec(select(Run).order_by(Run.started_at)).all())
    residuals = []
    for outing in season.outings:
        for planned in outing.runs:
            run = next(runs)
            use = demo_session.exec(select(RunPack).where(RunPack.run_id == run.id)).first()
            if planned.how != "log" or run.set_aside_at or use.start_temperature_c is None:
                continue
            used = demo_session.exec(
                select(Prop.code, PropEdition.number)
                .join(PropEdition, PropEdition.prop_id == Prop.id)
                .join(RunProp, RunProp.edition_id == PropEdition.id)
                .where(RunProp.run_id == run.id)
                .order_by(RunProp.place)
            )
            props = "+".join(f"{code}/{number}" for code, number in used)
            at = Moment(run.started_at, run.offset_min)
            sky = weather(truth, outing.day)
            expected = expected_ln_speed(
                truth,
                circumstances(demo_session, planned, at, props, sky, use.start_temperature_c, names, truth),
            )
            residuals.append(math.log(run.speed_kmh) - expected - day_effect(truth, outing.day))
    # Best of one to three passes lies on average 0.47 pass sd high: (0 + 0.5642 + 0.8463) / 3.
    spread = math.hypot(truth.common.run_sd, truth.common.pass_sd)
    assert len(residuals) >= 150
    assert statistics.mean(residuals) == pytest.approx(0.47 * truth.common.pass_sd, abs=3.5 * spread / 12)
    assert statistics.stdev(residuals) == pytest.approx(spread, rel=0.2)


def test_some_logs_saw_their_whole_run_and_one_has_the_volts_of_its_pack(demo_session: Session):
    pieces = demo_session.exec(
        select(LogPiece, Run.duration_s, RunPack.rested_v, RunPack.end_v)
        .join(Run, Run.id == LogPiece.run_id)
        .join(RunPack, RunPack.run_id == Run.id)
        .where(Run.duration_s.is_not(None))
    ).all()
    assert len(pieces) >= 3
    assert all(piece.end_s - piece.start_s >= 0.95 * duration_s for piece, duration_s, *_ in pieces)
    volts = [(json.loads(piece.found)["lowest_v"], *rest) for piece, _, *rest in pieces]
    volts = [one for one in volts if one[0] is not None]
    assert volts and all(lowest_v < end_v < rested_v for lowest_v, rested_v, end_v in volts)


def test_a_hull_has_a_balance_sheet_of_her_present_state_that_goes_with_what_was_measured(demo_session: Session):
    (sheet,) = demo_session.exec(select(BalanceSheet)).all()
    found = current_state(demo_session, sheet.hull_id)
    assert found is not None and sheet.state_id == found.id
    settings, parts = state_content(found).settings, parts_of(sheet.parts)
    by_parts = balance(parts)
    assert by_parts.mass_g == pytest.approx(settings["running_mass@single"], abs=1)
    assert by_parts.lcg_mm == pytest.approx(settings["balance_point@single"]["mm"], abs=1)
    begun, _ = starting_lines(demo_session, hull(demo_session, sheet.hull_id), state_content(found))
    assert {line.rpartition(";")[0] for line in begun} <= {f"{part.name};{part.mass_g:.10g}" for part in parts}
    (read,) = demo_session.exec(select(ScaleReading).where(ScaleReading.state_id == found.id)).all()
    mass_g, lcg_mm = two_scales(read.first_x_mm, read.first_g, read.second_x_mm, read.second_g)
    assert (mass_g, lcg_mm) == pytest.approx((by_parts.mass_g, by_parts.lcg_mm), rel=0.01)


def test_one_run_has_its_slip_by_a_shaft_speed_that_its_log_measured(demo_session: Session):
    told = {run.id: dict(slip_of_run(demo_session, run.id)) for run in demo_session.exec(select(Run))}
    ((run_id, lines),) = ((one, found) for one, found in told.items() if found)
    assert demo_session.get_one(Hull, demo_session.get_one(Run, run_id).hull_id).screws == 1
    assert 5 < lines["Slip (measured shaft speed)"].value < 35


def test_what_if_is_answered_from_a_run_of_either_side_of_two_screws_and_asks_where_something_is_missing(
    demo_client, demo_session: Session
):
    twin = demo_session.exec(select(Hull).where(Hull.screws == 2)).one()
    packs = select(RunPack.run_id).where(RunPack.wiring == "left")
    ran = select(Run).where(Run.hull_id == twin.id, Run.duration_s.is_not(None), Run.id.in_(packs))
    last = demo_session.exec(ran.order_by(Run.started_at.desc())).first()
    for side in ("left", "right"):
        answer = demo_client.get(f"/bench/what-if.json?run={last.id}&side={side}").json()
        assert answer["results"]["shaft_speed"]["value"] > 1000
    other = demo_session.exec(select(Run).where(Run.hull_id == 3, Run.duration_s.is_not(None))).first()
    assert demo_client.get(f"/bench/what-if.json?run={other.id}").json()["results"]["shaft_speed"]["value"] is None
