"""The runs of the demo as the model sees them, and what pages tell of findings, worked out once more from the rows."""

import json
from datetime import datetime, timedelta
from math import expm1

import pytest
from sqlmodel import select

from garage.findings import ask_store, changed, store
from garage.findings.evidence.causes import possible_causes
from garage.findings.evidence.factor import factor, factors_of, names_of, setting_name, setting_number
from garage.findings.evidence.outcomes import OUTCOMES
from garage.findings.evidence.runs_store import HullRuns, discharge_number, hull_runs, only_closed
from garage.findings.gather import _step_words, answer_sheet, minus, verdict_words
from garage.findings.hull_gather import hull_effects_sheet
from garage.findings.judge import varying
from garage.findings.list_gather import finding_list_sheet
from garage.findings.tables import Finding
from garage.own_fields.at_hand import forget
from garage.own_fields.tables import OwnField
from garage.packs.tables import Pack
from garage.packs.verdict_store import retire_words
from garage.states.fold import Content
from garage.units import DisplayUnits
from garage.waters.fields import SURFACES
from tests.seeded import NOW

METRIC = DisplayUnits({})
HULLS = (1, 2, 3, 4)
STEPS = {"angle": 0.5, "length": 1.0, "mass": 50.0, "balance": 1.0}


@pytest.fixture(scope="module")
def gathered(demo_session) -> dict[int, HullRuns]:
    """The runs of each hull that speak of its speed."""
    return {hull_id: hull_runs(demo_session, hull_id, OUTCOMES["speed"], METRIC) for hull_id in HULLS}


def _mean(values: list) -> float | None:
    known = [value for value in values if value is not None]
    return sum(known) / len(known) if known else None


def test_each_run_speaks_of_its_speed_with_all_that_may_have_moved_it(gathered, rows):
    for hull_id, found in gathered.items():
        order = [run_id for (run_id,) in rows("SELECT id FROM run WHERE hull_id = ? ORDER BY started_at, id", hull_id)]
        assert list(found.runs) == [run_id for run_id in order if run_id in found.runs] and not found.is_cut
        assert list(found.rows) == order
        for run_id, spoken in found.runs.items():
            [run] = rows("SELECT * FROM run WHERE id = ?", run_id)
            [day] = rows("SELECT * FROM outing WHERE id = ?", run["outing_id"])
            packs = rows(
                "SELECT * FROM run_pack JOIN pack ON pack.id = pack_id WHERE run_id = ? ORDER BY pack_id", run_id
            )
            assert spoken.key == str(run_id) and spoken.outcome == run["speed_kmh"]
            assert spoken.how == {"log": "log", "display": "display", "by eye": "eye"}[run["speed_how"]]
            conditions = (spoken.passes, spoken.air_c, spoken.wind_ms, spoken.water_c, spoken.cells)
            assert conditions == (run["passes"], day["air_c"], day["wind_ms"], day["water_c"], run["cells_s"])
            assert spoken.surface_step == (SURFACES.index(day["surface"]) if day["surface"] else None)
            assert [use.pack for use in spoken.packs] == [pack["code"] for pack in packs]
            assert spoken.pack_start_c == _mean([pack["start_temperature_c"] for pack in packs])
            per_cell = [pack["rested_v"] and pack["rested_v"] / pack["cells_s"] for pack in packs]
            assert spoken.rested_v_per_cell == (_mean(per_cell) and pytest.approx(_mean(per_cell)))
            for use, pack in zip(spoken.packs, packs, strict=True):
                [(entries,)] = rows(
                    "SELECT count(*) FROM pack_log WHERE pack_id = ? AND at < ? AND set_aside_at IS NULL"
                    " AND kind IN ('run', 'bench', 'capacity')",
                    pack["pack_id"], run["started_at"],
                )  # fmt: skip
                had = entries + pack["charges_before"]
                assert use.discharge == (had + 1 if had < 10 and pack["break_in_charges"] else None)
            began = datetime.fromisoformat(day["started_at"].replace("Z", "+00:00")) + timedelta(
                minutes=day["offset_min"]
            )
            assert spoken.outing.startswith(f"{began.day} {began:%B %Y}")
            props = rows(
                "SELECT code, number FROM run_prop JOIN prop_edition AS made ON made.id = edition_id"
                " JOIN prop ON prop.id = prop_id WHERE run_id = ? ORDER BY place",
                run_id,
            )
            assert spoken.prop == " + ".join(f"{code} ed. {number}" for code, number in props)
            state = json.loads(rows("SELECT content FROM build_state WHERE id = ?", run["state_id"])[0]["content"])
            titles = {entry["title"] for entry in state["fitted"].values()}
            assert titles <= set(spoken.factors) and all(spoken.factors[title] == 1.0 for title in titles)
        assert len({spoken.outing for spoken in found.runs.values()}) == len(
            {row.outing_id for run_id, row in found.rows.items() if run_id in found.runs}
        )


def test_only_a_speed_is_the_best_of_several_passes_and_has_a_wind_ahead(demo_session):
    found = [run for hull in HULLS for run in hull_runs(demo_session, hull, OUTCOMES["motor"], METRIC).runs.values()]
    assert found and {(run.passes, run.headwind_ms) for run in found} == {(1, None)}


def test_runs_that_cannot_speak_say_why_and_the_others_speak(gathered, rows):
    for hull_id, found in gathered.items():
        silent = {one.run_id: (one.why, one.can_return) for one in found.left_out}
        assert set(silent) | set(found.runs) == {
            row[0] for row in rows("SELECT id FROM run WHERE hull_id = ?", hull_id)
        }
        assert not set(silent) & set(found.runs)
        for run_id, (why, can_return) in silent.items():
            [run] = rows("SELECT * FROM run WHERE id = ?", run_id)
            spoiled = rows("SELECT 1 FROM incident WHERE run_id = ? AND spoiled_speed AND set_aside_at IS NULL", run_id)
            if run["set_aside_at"]:
                assert why.startswith("set aside") and not can_return
            elif run["speed_kmh"] is None:
                assert (why, can_return) == ("no speed written", False)
            elif "state" in run["not_known"]:
                assert (why, can_return) == ("its build state is not known", True)
            elif not rows("SELECT 1 FROM run_pack WHERE run_id = ?", run_id):
                known = "not known" if "pack" in run["not_known"] else "not written"
                assert (why, can_return) == (f"its pack is {known}", True)
            elif run["speed_counts"] == "not known":
                assert (why, can_return) == ("not known whether the speed counts", True)
            elif run["speed_counts"] == "does not count" or (spoiled and not run["speed_counts"]):
                assert (why, can_return) == ("the speed does not count", True)
            elif run["kind"] == "break-in":
                assert can_return
            else:
                assert (why, can_return) == ("its log contradicts itself", False)
        open_days = {row[0] for row in rows("SELECT id FROM outing WHERE closed_at IS NULL")}
        open_ids = {run_id for run_id in found.runs if found.rows[run_id].outing_id in open_days}
        assert found.open_ids == open_ids and set(only_closed(found).runs) == set(found.runs) - open_ids
        assert found.packs == {row["id"]: row["code"] for row in rows(
            "SELECT DISTINCT pack.id, code FROM pack JOIN run_pack ON pack_id = pack.id JOIN run ON run.id = run_id"
            " WHERE hull_id = ? ORDER BY pack.id", hull_id,
        )}  # fmt: skip


def test_a_run_is_put_in_or_out_by_its_owner_where_it_may_be(demo_session, gathered):
    for hull_id, found in gathered.items():
        choices = {one.run_id: True for one in found.left_out} | dict.fromkeys(list(found.runs)[:2], False)
        again = hull_runs(demo_session, hull_id, OUTCOMES["speed"], METRIC, choices)
        back = {one.run_id for one in found.left_out if one.can_return}
        assert set(again.runs) == set(found.runs) - set(list(found.runs)[:2]) | back
        told = {one.run_id: (one.why, one.can_return) for one in again.left_out}
        assert all(told[run_id] == ("put out by you", True) for run_id in list(found.runs)[:2])


def test_factors_are_what_is_on_the_boat_with_a_name_each():
    balance = {"mm": 240.0, "percent": 30.0}
    content = Content(
        {"1": {"title": "Tabs"}, "2": {}},
        {"motor@left": {"kind": "motor", "part_id": 4, "name": "blue can"}, "servo#7@single": {"part_id": 7}},
        {"strut_height@left": 3, "ballast@single": "20 g", "balance_point@single": balance, "gps_place@single": True},
    )
    assert factors_of(content) == {
        "modification:1": 1.0, "modification:2": 1.0, "part:4@left": 1.0, "part:7@single": 1.0,
        "setting:strut_height@left": 3.0, "setting:balance_point@single": 30.0,
    }  # fmt: skip
    assert names_of(content) == {
        "modification:1": "Tabs", "modification:2": "2", "part:4@left": "motor blue can, left", "part:7@single": "part",
        "setting:strut_height@left": "strut height, left", "setting:ballast@single": "ballast",
        "setting:balance_point@single": "balance point", "setting:gps_place@single": "gPS unit's place",
    }  # fmt: skip
    assert setting_number("balance_point@single", {"mm": 1.0}) is None and setting_number("dog_gap@left", "3") is None
    assert setting_name("strut_angle@right") == "strut angle, right"


@pytest.mark.parametrize(
    ("key", "step"),
    [
        ("strut_angle@single", 0.5), ("strut_height@left", 1.0), ("running_mass@single", 50.0),
        ("balance_point@single", 1.0), ("of_old@single", 1.0),
    ],
)  # fmt: skip
def test_effects_of_a_setting_are_told_for_a_step_that_people_adjust_in(key, step):
    told = factor(f"setting:{key}", "it")
    assert (told.name, told.is_setting, told.step) == ("it", True, step)
    assert not factor("modification:1", "it").is_setting and not factor("part:4@left", "it").is_setting


@pytest.mark.parametrize(
    ("rule", "before", "number"), [(4, 0, 1), (4, 9, 10), (4, 10, None), (0, 0, None), (20, 10, None)]
)
def test_the_first_ten_discharges_have_a_number(rule, before, number):
    pack = Pack(code="J", cells_s=3, capacity_mah=4000, break_in_charges=rule, created_at="2026-05-09T10:00:00Z")
    assert discharge_number(pack, before) == number


def test_only_what_differs_between_runs_is_a_factor(gathered):
    for found in gathered.values():
        told = {one.name for one in varying(found)}
        for key, name in found.names.items():
            values = {run.factors.get(name) for run in found.runs.values()}
            known = {value for value in values if value is not None}
            expected = len(known) > 1 if key.startswith("setting:") else len(values) > 1
            assert (name in told) == expected, name


def test_the_answer_of_each_question_adds_up_and_shows_its_runs(demo_session, rows):
    for asked in demo_session.exec(select(Finding)).all()[:6]:
        sheet = answer_sheet(demo_session, asked, "speed", METRIC)
        found = hull_runs(
            demo_session, asked.hull_id, OUTCOMES["speed"], METRIC, store.run_choices(demo_session, asked.id)
        )
        assert [one.line.id for one in sheet.spoken] == list(reversed(found.runs))
        assert [(one.line.id, one.why) for one in sheet.silent] == [
            (one.run_id, one.why) for one in reversed(found.left_out)
        ]
        assert all(one.value == found.runs[one.line.id].outcome and one.known == one.line.known for one in sheet.spoken)
        assert (sheet.id, sheet.hull_id, sheet.about, sheet.outcome, sheet.unit) == (
            asked.id, asked.hull_id, asked.about, "speed", "km/h"
        )  # fmt: skip
        if sheet.effect is None:
            assert sheet.why
            continue
        assert sum(part.amount for part in sheet.parts) == pytest.approx(sheet.seen, abs=1e-6)
        low, value, high = sheet.effect.low, sheet.effect.percent, sheet.effect.high
        assert low < value < high and sheet.wide.low < sheet.wide.percent < sheet.wide.high
        assert sheet.headline == f"{value:+.1f} %".replace("-", "−")
        counted = [one for one in sheet.spoken if one.weight]
        assert len(counted) == len(found.runs) - len(found.open_ids)
        assert [one.line.id for one in sheet.spoken if one.is_open] == [
            run_id for run_id in reversed(found.runs) if run_id in found.open_ids
        ]
        # In points of a hundred, as the effect is: no run lies further off what the answer says of it.
        assert all(abs(one.residual_points) < 40 for one in sheet.spoken) and any(
            one.residual_points for one in counted
        )
        assert all((one.weight, one.residual_points) == (0, 0) for one in sheet.spoken if one not in counted)
        # The runs of the plan are listed, and what they would do to the interval is said beneath.
        if sheet.next_words:
            several = len({run.prop for run_id, run in found.runs.items() if run_id not in found.open_ids}) > 1
            first = "All with prop" if several and asked.about != "prop" else "The interval would shrink from"
            assert sheet.next_lines[0].startswith(first) and sheet.next_lines[-2].startswith("The interval would")
        outings = {found.runs[one.line.id].outing for one in counted}
        assert f"on {len(outings)} outing" in sheet.lede
        few = any("Fewer than four outings" in note for note in sheet.notes)
        assert few == (len(outings) < 4)
        kept = rows("SELECT * FROM finding_result WHERE finding_id = ? ORDER BY id DESC LIMIT 20", asked.id)
        assert [(one.outing_id, one.verdict, one.confirmed, one.runs) for one in sheet.results] == [
            (row["outing_id"], row["verdict"], bool(row["confirmed"]), row["runs"]) for row in kept
        ]
        assert [one.percent for one in sheet.results] == pytest.approx([100 * expm1(row["ln"]) for row in kept])
        assert sheet.thing_url == {
            "change": f"/modifications/{asked.subject}", "pack": f"/packs/{asked.subject}"
        }.get(asked.about, "")  # fmt: skip


def test_the_list_and_other_pages_tell_the_last_stored_answer(demo_session, rows):
    asked = store.findings(demo_session, limit=99)
    sheet = finding_list_sheet(demo_session, asked, 1, False)
    assert [row.id for row in sheet.rows] == [row["id"] for row in rows("SELECT id FROM finding ORDER BY id DESC")]
    assert [one.id for one in store.findings(demo_session, limit=2, offset=1)] == [one.id for one in asked[1:3]]
    for one, row in zip(asked, sheet.rows, strict=True):
        last = rows("SELECT * FROM finding_result WHERE finding_id = ? ORDER BY id DESC LIMIT 1", one.id)
        decided = rows(
            "SELECT * FROM finding_decision WHERE finding_id = ? AND set_aside_at IS NULL ORDER BY at DESC, id DESC",
            one.id,
        )
        [(name,)] = rows("SELECT name FROM hull WHERE id = ?", one.hull_id)
        assert (row.hull, row.decision) == (name, decided[0]["kind"] if decided else "")
        found = changed.found_about(demo_session, one.hull_id, one.about, one.subject)
        assert [each.reason for each in found.decisions] == [each["reason"] for each in decided]
        if not last:
            assert (row.verdict, row.percent, row.judged, found.verdict, found.percent) == ("", None, None, "", None)
            continue
        words = ("confirmed: " if last[0]["confirmed"] else "") + last[0]["verdict"]
        figures = [100 * expm1(last[0][name]) for name in ("ln", "low_ln", "high_ln")]
        assert row.verdict == words and [row.percent, row.low, row.high] == pytest.approx(figures)
        assert [found.percent, found.low, found.high] == pytest.approx(figures)
        assert (found.verdict, found.confirmed) == (last[0]["verdict"], bool(last[0]["confirmed"]))
        assert row.judged.utc == found.judged.utc == last[0]["at"]
    for hull_id in HULLS:
        own = [row["id"] for row in rows("SELECT id FROM finding WHERE hull_id = ? ORDER BY id DESC", hull_id)]
        assert [one.id for one in store.findings_of(demo_session, hull_id)] == own
    assert changed.found_about(demo_session, 1, "change", "9999") is None
    told = changed.finding_news(demo_session, changes=99, questions=3)
    news = rows(
        "SELECT finding_id, verdict, verdict_before FROM finding_result WHERE noticed_at IS NULL"
        " AND verdict_before <> '' AND verdict_before <> verdict ORDER BY id DESC"
    )
    assert [(one.id, one.verdict, one.before) for one in told.changed] == [tuple(row) for row in news]
    still_open = rows(
        "SELECT finding_id FROM finding_result AS last JOIN finding ON finding.id = finding_id"
        " WHERE last.id = (SELECT max(id) FROM finding_result AS other WHERE other.finding_id = last.finding_id)"
        " AND verdict NOT IN ('gain', 'loss', 'no real difference') AND finding_id NOT IN (SELECT finding_id FROM"
        " finding_decision WHERE kind <> 'test again' AND set_aside_at IS NULL) AND hull_id IN (SELECT id FROM hull"
        " WHERE retired_on = '') ORDER BY last.id DESC LIMIT 3"
    )
    assert [one.id for one in told.open] == [row["finding_id"] for row in still_open] and len(still_open) == 3
    assert all(one.low < one.percent < one.high for one in told.open)


def test_where_props_and_packs_ran_is_counted_from_runs_with_a_speed(demo_session, rows):
    for prop_id in (1, 2, 3):
        code, places = ask_store.where_prop_ran(demo_session, prop_id)
        counted = rows(
            "SELECT hull_id, edition_id, count(*) FROM run JOIN run_prop ON run_id = run.id JOIN prop_edition AS made"
            " ON made.id = edition_id WHERE prop_id = ? AND place = 'single' AND speed_kmh IS NOT NULL GROUP BY 1, 2",
            prop_id,
        )
        assert code == rows("SELECT code FROM prop WHERE id = ?", prop_id)[0][0]
        assert {(one.what, one.runs) for one in places} == {(f"{h}|prop|{e}", count) for h, e, count in counted}
    for pack_id in (1, 2, 3):
        code, places = ask_store.where_pack_ran(demo_session, pack_id)
        counted = rows(
            "SELECT hull_id, name, count(*) FROM run JOIN run_pack ON run_id = run.id JOIN hull ON hull.id = hull_id"
            " WHERE pack_id = ? AND speed_kmh IS NOT NULL GROUP BY 1",
            pack_id,
        )
        assert code == rows("SELECT code FROM pack WHERE id = ?", pack_id)[0][0]
        assert {(one.what, one.text, one.runs) for one in places} == {
            (f"{h}|pack|{pack_id}", n, c) for h, n, c in counted
        }
    for hull_id in HULLS:
        counted = rows(
            "SELECT code, count(*) FROM run JOIN run_pack ON run_id = run.id JOIN pack ON pack.id = pack_id"
            " WHERE speed_kmh IS NOT NULL AND run.set_aside_at IS NULL AND state_id = ("
            "  SELECT id FROM build_state WHERE hull_id = ? AND id NOT IN (SELECT old_state_id FROM supersession)"
            "  ORDER BY made_at DESC, number DESC LIMIT 1) GROUP BY code ORDER BY code",
            hull_id,
        )
        told = ask_store.baseline(demo_session, hull_id)
        assert [(one.pack, one.runs) for one in told] == [tuple(row) for row in counted]
        ids = {row["code"]: row["id"] for row in rows("SELECT id, code FROM pack")}
        retire = retire_words(demo_session, ids.values())
        assert [one.retire for one in told] == [retire.get(ids[one.pack], "") for one in told]
    assert ask_store.baseline(demo_session, 99) == []


def test_effects_of_a_hull_are_ranked_from_the_greatest_and_ties_are_named(demo_session, rows):
    sheet = hull_effects_sheet(demo_session, 1, METRIC)
    shares = [row.percent for row in sheet.rows]
    assert shares == sorted(shares, reverse=True) and len(shares) > 5 and sheet.why == ""
    assert all(row.low < row.percent < row.high for row in sheet.rows)
    names = {row.name.removesuffix(", per step") for row in sheet.rows}
    told = {name.removeprefix("pack ") for name in names if name.startswith("pack ")}
    found = only_closed(hull_runs(demo_session, 1, OUTCOMES["speed"], METRIC))
    # A pack that ran beside others only, or in all runs, has no effect of its own.
    assert told <= {use.pack for run in found.runs.values() for use in run.packs} and len(told) > 3
    assert all((row.about == "setting") == row.name.endswith(", per step") for row in sheet.rows)
    assert all((row.about == "prop") == row.name.startswith("prop ") for row in sheet.rows)
    assert [number for number, _ in sheet.states] == [
        str(row["id"]) for row in rows("SELECT id FROM build_state WHERE hull_id = 1 ORDER BY number DESC LIMIT 30")
    ]
    assert all(", ".join(row.tied) == row.tied_with for row in sheet.rows)


def test_minus_signs_and_words_of_other_outcomes():
    assert minus("from -1.2 to -3, x-4 and 2-3") == "from −1.2 to −3, x-4 and 2-3"
    speed, pack = OUTCOMES["speed"], OUTCOMES["pack"]
    assert verdict_words("gain, but tangled", speed) == "gain, but tangled"
    assert verdict_words("probably a loss, but tangled", pack) == "probably lower, but tangled"
    assert verdict_words("gain", pack) == "higher" and verdict_words("cannot tell yet", pack) == "cannot tell yet"
    assert {key: one.more_is_better for key, one in OUTCOMES.items()} == {
        "speed": True, "corners": True, "pack": False, "motor": False, "controller": False, "energy": False
    }  # fmt: skip


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({"kind": "number", "unit": "turns", "step": 0.5}, "0.5 turns"), ({"kind": "number"}, "1"),
        ({"kind": "length", "step": 2.0}, "2 mm"),
        ({"kind": "choice", "choices": "a\nb"}, "one choice against the others"),
    ],
)  # fmt: skip
def test_what_one_step_of_an_own_field_is(session, facts, words):
    session.add(OwnField(thing="run", name="it", label="It", created_at=NOW.utc, **facts))
    session.flush()
    forget(session)
    assert [_step_words(one) for one in possible_causes()] == [words]
