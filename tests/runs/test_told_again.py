"""What the pages of the demo's runs say, worked out once more from the rows themselves in plain SQL and arithmetic."""

import json
import sqlite3
from datetime import datetime, timedelta
from statistics import fmean

import pytest
from sqlmodel import Session, select

from garage.moments import Moment
from garage.runs.derived_gather import slips
from garage.runs.gather import run_page
from garage.runs.lines.line import not_broken_in, run_lines
from garage.runs.lines.store import line_facts
from garage.runs.store import runs_by_ids
from garage.runs.tables import Run
from garage.services.store import service_rules
from garage.units import DisplayUnits

# Every eleventh, and those with something of their own: incidents, a limit, four ways of wiring, a moved pin.
OWN = (3, 6, 15, 63, 106, 116, 202)
HOT = {"motor end bell": (60, 70), "speed controller": (60, 90), "pack": (55, 60), "wires and plugs": (60,)}


def no_log(_session: Session, _run_id: int) -> list:
    """No log measured a shaft speed."""
    return []


def _chosen(rows) -> list[int]:
    few = [id_ for (id_,) in rows("SELECT id FROM run WHERE id % 11 = 3 OR set_aside_at IS NOT NULL OR waiting")]
    moved = [id_ for (id_,) in rows("SELECT DISTINCT run_id FROM run_move ORDER BY run_id LIMIT 2")]
    wired = [id_ for (id_,) in rows("SELECT min(run_id) FROM run_pack GROUP BY wiring")]
    return sorted({*few, *moved, *wired, *OWN})


@pytest.fixture(scope="module")
def pages(demo_session: Session, rows) -> dict:
    """Those pages, by run."""
    return {id_: run_page(demo_session, id_, DisplayUnits(), no_log) for id_ in _chosen(rows)}


def _run(rows, run_id: int) -> sqlite3.Row:
    return rows(
        "SELECT run.*, hull.name AS hull, hull.screws, water.name AS water, water.speed_limit_kmh, outing.air_c,"
        " state.number AS state_number, state.fingerprint, state.content FROM run JOIN hull ON hull.id = run.hull_id"
        " JOIN outing ON outing.id = outing_id JOIN water ON water.id = water_id"
        " JOIN build_state AS state ON state.id = run.state_id WHERE run.id = :id",
        id=run_id,
    )[0]


def _packs(rows, run_id: int) -> list[sqlite3.Row]:
    return rows("SELECT * FROM run_pack JOIN pack ON pack.id = pack_id WHERE run_id = :id ORDER BY pack_id", id=run_id)


def _standing(rows, pack: sqlite3.Row, utc: str, day: str) -> str:
    """The rule of `docs` in one line: how many discharges it had before, against how many its owner gives it."""
    [(entries,)] = rows(
        "SELECT count(*) FROM pack_log WHERE pack_id = :id AND at < :utc AND set_aside_at IS NULL"
        " AND kind IN ('run', 'bench', 'capacity')",
        id=pack["pack_id"],
        utc=utc,
    )
    had, rule = entries + pack["charges_before"], pack["break_in_charges"]
    if pack["retired_on"] and day > pack["retired_on"]:
        return "retired"
    return "broken in" if had >= rule else f"breaking in ({had} of {rule})" if had else "fresh"


def _day(row: sqlite3.Row) -> str:
    local = datetime.fromisoformat(row["started_at"].replace("Z", "+00:00")) + timedelta(minutes=row["offset_min"])
    return local.date().isoformat()


def _flags(rows, run: sqlite3.Row) -> list[str]:
    """The cautions of a run that its words about the speed do not say already."""
    found = ["set aside"] * bool(run["set_aside_at"])
    spoiled = "SELECT kind FROM incident WHERE run_id = :id AND spoiled_speed AND set_aside_at IS NULL ORDER BY id"
    ticked = [f"spoiled by {kind}" for (kind,) in rows(spoiled, id=run["id"])]
    asked = (
        "SELECT 1 FROM incident WHERE run_id = :id AND set_aside_at IS NULL AND (cause = 'weed or debris'"
        " OR kind IN ('flip', 'blow over', 'spin out', 'prop strike', 'lost drive'))"
    )
    open_question = run["speed_kmh"] is not None and not ticked and rows(asked, id=run["id"])
    found += ticked + ["asked: does it count?"] * bool(open_question)
    packs = _packs(rows, run["id"])
    stood = {pack["code"]: _standing(rows, pack, run["started_at"], _day(run)) for pack in packs}
    found += [f"{code} {words}" for code, words in stood.items() if words != "broken in"]
    for pack in packs:
        start = pack["start_temperature_c"]
        if start is not None and not 10 <= start <= 60:
            found.append(f"{pack['code']} {'cold' if start < 10 else 'hot'} at the start")
    hottest = rows(
        "SELECT spot, max(temperature_c) FROM run_temperature WHERE run_id = :id GROUP BY spot", id=run["id"]
    )
    # 55 °C is an aim for a pack, no limit.
    found += [f"hot {spot}" for spot, highest in hottest if highest > 60 and spot in HOT]
    limit = run["speed_limit_kmh"]
    found += ["over the water's limit"] * bool(run["speed_kmh"] and limit and run["speed_kmh"] > limit)
    before = rows(
        "SELECT state.number FROM run JOIN build_state AS state ON state.id = run.state_id WHERE run.hull_id = :hull"
        " AND (started_at, run.id) < (:at, :id) AND set_aside_at IS NULL ORDER BY started_at DESC, run.id DESC LIMIT 1",
        hull=run["hull_id"], at=run["started_at"], id=run["id"],
    )  # fmt: skip
    found += ["new state"] * bool(before and before[0][0] != run["state_number"])
    if run["speed_kmh"] is not None:
        single = run["averaging_s"] == 0 or (run["averaging_s"] is None and run["speed_how"] == "display")
        found += ["peak"] * single
        found += ["window not known"] * (run["averaging_s"] is None and run["speed_how"] == "log")
    return found


def test_the_line_of_every_run(demo_session, rows):
    runs = demo_session.exec(select(Run).order_by(Run.id)).all()
    lines = run_lines(demo_session, runs)
    assert [line.id for line in lines] == [run_id for (run_id,) in rows("SELECT id FROM run ORDER BY id")]
    for line in lines:
        run = _run(rows, line.id)
        told = (line.number, line.outing_id, line.started, line.water, line.hull_id, line.hull, line.state_number)
        began = Moment(run["started_at"], run["offset_min"])
        assert told == (
            run["number"], run["outing_id"], began, run["water"], run["hull_id"], run["hull"], run["state_number"]
        )  # fmt: skip
        assert (line.fingerprint, line.cells_s, line.kind) == (run["fingerprint"], run["cells_s"], run["kind"])
        assert (line.note, line.set_aside) == (run["note"], run["set_aside_at"] is not None)
        assert line.flags == _flags(rows, run), line.id
        assert line.speed.value == run["speed_kmh"] and line.speed.caution == ", ".join(line.flags)
        assert (line.known == "") == (run["speed_kmh"] is None)
        packs = _packs(rows, line.id)
        if len(packs) == 1:
            assert line.packs.startswith(f"{packs[0]['code']} · {packs[0]['cells_s']}S ")
        else:
            codes, wiring = " + ".join(pack["code"] for pack in packs), {pack["wiring"] for pack in packs}
            assert line.packs == codes + (f" in {wiring.pop()}" if wiring in ({"series"}, {"parallel"}) else "")
        for code in line.retire.split("; ") if line.retire else []:
            assert code.split(":")[0] in {pack["code"] for pack in packs}


def test_which_runs_were_made_with_a_pack_not_broken_in(demo_session, rows):
    runs = demo_session.exec(select(Run)).all()
    expected = {
        run.id
        for run in runs
        for pack in _packs(rows, run.id)
        if _standing(rows, pack, run.started_at, _day(_run(rows, run.id))).startswith(("fresh", "breaking in"))
    }
    assert not_broken_in(runs, line_facts(demo_session, runs)) == expected and 0 < len(expected) < len(runs)


def test_the_packs_of_a_run_and_what_was_read_off_them(pages, rows):
    for run_id, page in pages.items():
        run, packs = _run(rows, run_id), _packs(rows, run_id)
        assert [row.code for row in page.packs] == [pack["code"] for pack in packs]
        for row, pack in zip(page.packs, packs, strict=True):
            assert row.pack_id == pack["pack_id"] and row.text.startswith(f"{pack['code']} · {pack['cells_s']}S")
            assert row.wiring == ("" if pack["wiring"] == "single" else pack["wiring"])
            assert row.standing == _standing(rows, pack, run["started_at"], _day(run))
            read = (row.start_temperature.value, row.rested.value, row.charge.value, row.voltage_after.value)
            assert read == (pack["start_temperature_c"], pack["rested_v"], pack["charge_mah"], pack["end_v"])
            rested = pack["rested_v"]
            assert row.rested_per_cell.value == (rested and pytest.approx(rested / pack["cells_s"]))
            capacity, how = pack["capacity_mah"], "stated"
            if pack["capacity_measured_mah"] is not None:
                capacity, how = pack["capacity_measured_mah"], "measured"
            charge = pack["charge_mah"]
            assert row.share.value == (charge and pytest.approx(100 * charge / capacity))
            assert row.share.origin == f"charge put back by {how} capacity"
            # 1 mAh is 3.6 A s.
            assert row.average_current.value == (charge and pytest.approx(3.6 * charge / run["duration_s"]))
            volts = json.loads(pack["volts_after"] or "[]")
            assert row.volts_after == " ".join(f"{volt:.2f}" for volt in volts)
            assert row.voltage_after.origin == ("added up from its cells" if volts else "measured")
            if len(volts) > 1:
                assert row.spread.value == pytest.approx(max(volts) - min(volts), abs=1e-4)
                assert bool(row.spread.caution) == (row.spread.value > 0.1)


def test_the_readings_after_a_run_and_their_rise_over_the_air(pages, rows):
    for run_id, page in pages.items():
        air = _run(rows, run_id)["air_c"]
        read = rows(
            "SELECT reading.*, pack.code FROM run_temperature AS reading LEFT JOIN pack ON pack.id = pack_id"
            " WHERE run_id = :id ORDER BY position, reading.id",
            id=run_id,
        )
        assert len(page.temperatures) == len(read)
        for told, row in zip(page.temperatures, read, strict=True):
            assert (told.spot, told.pack, told.note) == (row["spot"], row["code"] or "", row["note"])
            assert told.place == ("" if row["place"] == "single" else row["place"])
            assert (told.reading.value, told.after.value) == (row["temperature_c"], row["seconds_after"])
            assert told.rise.value == (None if air is None else pytest.approx(row["temperature_c"] - air))
            passed = [limit for limit in HOT[row["spot"]] if row["temperature_c"] > limit]
            assert told.reading.caution.startswith(f"above {max(passed)}" if passed else ""), run_id
            assert bool(told.reading.caution) == bool(passed)


def test_what_happened_in_a_run_and_what_it_still_lacks(pages, rows):
    for run_id, page in pages.items():
        run = _run(rows, run_id)
        happened = rows("SELECT * FROM incident WHERE run_id = :id ORDER BY id", id=run_id)
        assert [
            (one.id, one.kind, one.cause, one.recovered, one.damaged, one.spoiled_speed, one.note, one.set_aside)
            for one in page.incidents
        ] == [
            (row["id"], row["kind"], row["cause"], row["recovered"], bool(row["damaged"]), bool(row["spoiled_speed"]),
             row["note"], row["set_aside_at"] is not None)
            for row in happened
        ]  # fmt: skip
        assert page.waiting == bool(run["waiting"]) and page.waved == (run["waved_away_at"] is not None)
        assert (
            bool(page.missing) == (page.waiting or page.waved or run["set_aside_at"] is not None) or page.missing == []
        )
        assert (page.start_known, page.set_aside_reason) == (bool(run["start_time_known"]), run["set_aside_reason"])
        assert (page.try_next, page.try_next_done) == (run["try_next"], run["try_next_done_at"] is not None)
        rated = ("ride", "straight", "corner", "acceleration")
        steps = [run[f"{name}_rating"] for name in rated]
        assert [step for _, step, *_ in page.ratings] == [step for step in steps if step is not None]


def test_the_props_of_a_run_and_the_ledger_of_its_states(pages, rows):
    for run_id, page in pages.items():
        turned = rows(
            "SELECT use.place, prop_id, code, number FROM run_prop AS use JOIN prop_edition AS made"
            " ON made.id = edition_id JOIN prop ON prop.id = prop_id WHERE run_id = :id ORDER BY use.place",
            id=run_id,
        )
        assert [(row.prop_id, row.place) for row in page.props] == [
            (row["prop_id"], "" if row["place"] == "single" else row["place"]) for row in turned
        ]
        for told, row in zip(page.props, turned, strict=True):
            assert told.text.startswith(f"{row['code']} ed. {row['number']}, ")
        moves = rows(
            "SELECT at, old.number AS was, new.number AS is_now, why FROM run_move JOIN build_state AS old"
            " ON old.id = from_value JOIN build_state AS new ON new.id = to_value WHERE run_id = :id"
            " ORDER BY run_move.id",
            id=run_id,
        )
        told = [(one.day.utc, one.from_number, one.to_number, one.why) for one in page.pins]
        assert told == [tuple(row) for row in moves]


def test_what_follows_from_a_run(pages, rows):
    """C-rate, heat and rise; and slip by Kv and volts, of a loaded motor that turns 80 to 92 % of Kv times volts."""
    for run_id, page in pages.items():
        run, told = _run(rows, run_id), dict(page.worked_out)
        for pack in _packs(rows, run_id):
            if pack["charge_mah"] is None:
                assert f"C-rate of the mean, {pack['code']}" not in told
                continue
            current = 3.6 * pack["charge_mah"] / run["duration_s"]
            capacity = pack["capacity_measured_mah"] or pack["capacity_mah"]
            assert told[f"C-rate of the mean, {pack['code']}"].value == pytest.approx(1000 * current / capacity)
            read = rows(
                "SELECT cells_mohm FROM pack_reading WHERE pack_id = :id AND at <= :at AND method <> 'AC 1 kHz'"
                " AND set_aside_at IS NULL ORDER BY at DESC LIMIT 1",
                id=pack["pack_id"], at=run["started_at"],
            )  # fmt: skip
            heat = told.get(f"Heat in {pack['code']}")
            assert (heat is None) == (not read)
            if heat and pack["mass_g"]:
                watts = current**2 * fmean(json.loads(read[0][0])) * pack["cells_s"] / 1000
                assert heat.value == pytest.approx(watts)
                # One kilogram of a pack takes 1000 J for each kelvin.
                kelvins = watts * run["duration_s"] / pack["mass_g"]
                assert told[f"{pack['code']}, warmer by it by"].value == pytest.approx(kelvins)
        pitches = [row["pitch_mm"] for row in rows(
            "SELECT pitch_mm FROM run_prop JOIN prop_edition ON prop_edition.id = edition_id WHERE run_id = :id"
            " ORDER BY place", id=run_id,
        )]  # fmt: skip
        sides = [""] if len(pitches) == 1 else [", left", ", right"]
        for side, pitch in zip(sides, pitches, strict=True):
            found, slip = (told.get(f"{name} (Kv and volts){side}") for name in ("Pitch speed", "Apparent slip"))
            if not (found and slip):
                assert None in (pitch, run["speed_kmh"], *(pack["rested_v"] for pack in _packs(rows, run_id)))
                continue
            # A stated Kv may be a tenth off either way.
            least, most = (0.8, 0.92) if "(measured)" in found.origin else (0.8 * 0.9, 0.92 * 1.1)
            assert (found.low / least, found.high / most) == pytest.approx((found.value / 0.86,) * 2)
            assert slip.value == pytest.approx(100 * (1 - run["speed_kmh"] / found.value))
            assert slip.low == pytest.approx(100 * (1 - run["speed_kmh"] / found.low))
            assert slip.high == pytest.approx(100 * (1 - run["speed_kmh"] / found.high))
            volts = [pack["rested_v"] for pack in _packs(rows, run_id)]
            wiring = {pack["wiring"] for pack in _packs(rows, run_id)}
            given = sum(volts) if wiring == {"series"} else volts[side == ", right"] if len(volts) > 1 else volts[0]
            kv = found.value / (pitch * 60e-6) / given
            state = json.loads(run["content"])["parts"]
            motors = [one for key, one in state.items() if one["kind"] == "motor" and side[2:] in key]
            known = rows("SELECT kv_measured, kv_stated FROM part WHERE id = :id", id=motors[0]["part_id"])[0]
            stated = (
                known["kv_measured"] or motors[0].get("kv_measured") or known["kv_stated"] or motors[0]["kv_stated"]
            )
            assert kv / stated == pytest.approx(0.86, abs=0.01), run_id


def test_the_slips_of_a_prop_are_those_of_its_runs(demo_session, pages, rows):
    for prop_id in (1, 2):
        told = slips(demo_session, list(runs_by_ids(demo_session, pages).values()), prop_id)
        for run_id, (pitch_speed, slip) in told.items():
            worked = dict(pages[run_id].worked_out)
            assert slip.value == worked["Apparent slip (Kv and volts)"].value
            assert pitch_speed.value == worked["Pitch speed (Kv and volts)"].value
        own = {row["run_id"] for row in rows(
            "SELECT run_id FROM run_prop JOIN prop_edition ON prop_edition.id = edition_id WHERE prop_id = :id"
            " AND place = 'single'", id=prop_id,
        )}  # fmt: skip
        known = {run_id for run_id, page in pages.items() if "Apparent slip (Kv and volts)" in dict(page.worked_out)}
        assert set(told) == own & known and told


def test_services_count_the_runs_and_minutes_since_each(demo_session, pages, rows):
    kinds = {"greased", "shaft looked at", "throttle calibrated", "cleaned", "bearings looked at"}
    for run_id, page in pages.items():
        run = _run(rows, run_id)
        rules = {row.kind: (row.runs, row.minutes) for row in service_rules(demo_session, run["hull_id"])}
        assert {one.kind for one in page.services} <= kinds
        assert [one.due for one in page.services] == sorted((one.due for one in page.services), reverse=True)
        for one in page.services:
            places = ("single", one.place) if one.place else ("single", "left", "right")
            since = one.last.utc if one.last else ""
            served = rows(
                "SELECT max(at) FROM service WHERE hull_id = :hull AND kind = :kind AND at <= :at"
                f" AND set_aside_at IS NULL AND place IN {places!r}",
                hull=run["hull_id"], kind=one.kind, at=run["started_at"],
            )[0][0]  # fmt: skip
            assert since == (served or "")
            runs, seconds, timed = rows(
                "SELECT count(*), sum(duration_s), count(duration_s) FROM run WHERE hull_id = :hull"
                " AND started_at >= :since AND started_at < :at AND set_aside_at IS NULL",
                hull=run["hull_id"], since=since, at=run["started_at"],
            )[0]  # fmt: skip
            assert (one.runs, one.untimed) == (runs, runs - timed)
            assert one.minutes == pytest.approx((seconds or 0) / 60)
            most_runs, most_minutes = rules.get(one.kind, (None, None))
            assert (one.after_runs, one.after_minutes) == (most_runs, most_minutes)
            is_due = most_runs and runs >= most_runs, most_minutes and (seconds or 0) / 60 >= most_minutes
            assert one.due == any(is_due)
            assert f"{runs} run" in one.text and one.text.startswith(f"{one.place}: " if one.place else f"{runs} ")
