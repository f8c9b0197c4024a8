"""The bench in the browser: a page and JSON for every question, filled from the garage, wrong input kept and told."""

import json
import re

import pytest

from garage.bench.balance.part_lines import parts_of
from garage.bench.balance.starting_parts import part_lines
from garage.bench.catalog import CALCULATORS
from garage.drives.store import part_spec
from garage.drives.tables import Part
from garage.packs.tables import Pack, PackReading
from garage.runs import rests_store
from garage.runs.form_data import IncidentFormData, PropUse
from garage.runs.moves import Move, props_text
from garage.runs.moves_store import move_runs, standing
from garage.runs.tables import RunPack
from garage.states.fold import ChangeFormData, Content
from garage.states.store import make_changes
from tests.forms import read_page
from tests.logs.made import places, there_and_back
from tests.seeded import NOW, Garage, at, with_history

NAMES = sorted(CALCULATORS)
WITH_LINES = {"balance"}
# A loaded motor turns at 80 to 92 % of Kv times volts: the middle.
_LOADED = 0.86


@pytest.fixture
def garage(session) -> Garage:
    """The history with a motor of three constants, a reading of pack J, rested volts and a charge put back."""
    made = with_history(session)
    motor = session.get(Part, 1)
    motor.kv_measured, motor.resistance_mohm, motor.no_load_current_a = 1750, 9, 2
    pack = session.get(Pack, made.packs["J"])
    pack.mass_g = 330
    session.add(
        PackReading(
            pack_id=pack.id, at=at("03-01").utc, cells_mohm=json.dumps([2.0, 2.2, 1.8]), temperature_c=24,
            method="charger DC step", created_at=NOW.utc,
        )
    )  # fmt: skip
    use = session.get(RunPack, (1, pack.id))
    use.rested_v, use.charge_mah = 12.45, 2800
    session.commit()
    return made


def _form(answer, name):
    return next(form for form in read_page(answer.text, f"/bench/{name}")[0] if name in form.action)


@pytest.mark.parametrize("name", NAMES)
def test_every_question_has_a_page_with_its_worked_example(client, name):
    answer = client.get(f"/bench/{name}")
    assert answer.status_code == 200
    assert CALCULATORS[name].question.split("?")[0][:20] in answer.text.replace("&#39;", "’")
    assert "A worked example" in answer.text and "Put these in" in answer.text


@pytest.mark.parametrize("name", NAMES)
def test_the_example_put_in_gives_an_answer_on_page_and_in_json(client, name):
    inputs = dict(CALCULATORS[name].example.inputs)
    page = client.get(f"/bench/{name}", params=inputs)
    assert page.status_code == 200 and 'id="answer"' in page.text
    plain = client.get(f"/bench/{name}.json", params=inputs).json()
    assert list(plain) == ["calculator", "inputs", "results", "cautions", "source"]


@pytest.mark.parametrize("name", NAMES)
def test_a_page_leads_to_its_json_with_all_that_was_asked(client, name):
    page = client.get(f"/bench/{name}", params=dict(CALCULATORS[name].example.inputs))
    link = next(link for link in read_page(page.text, f"/bench/{name}")[1] if ".json" in link)
    answer = client.get(link.replace("&amp;", "&")).json()
    assert answer["calculator"] == name and any(one["value"] is not None for one in answer["results"].values())


@pytest.mark.parametrize("name", NAMES)
def test_the_json_before_anything_is_asked_names_the_inputs(client, name):
    plain = client.get(f"/bench/{name}.json").json()
    assert set(plain["inputs"]) == set(CALCULATORS[name].by_name)


def test_page_and_command_say_the_same(client, capsys):
    from_page = client.get("/bench/slip.json?shaft_speed=30000&pitch=64&speed=50mph").json()
    slip = CALCULATORS["slip"]
    assert from_page["results"]["slip"]["value"] == pytest.approx(1 - 80.4672 / 115.2)
    assert from_page["source"] == slip.source


def test_wrong_input_stays_in_its_field_with_a_message_beside_it(client):
    answer = client.get("/bench/slip", params={"shaft_speed": "fast", "pitch": "64", "speed": "9**9 mm"})
    assert answer.status_code == 422
    assert 'value="fast"' in answer.text and 'value="9**9 mm"' in answer.text and 'value="64"' in answer.text
    assert answer.text.count('class="error"') == 2 and "Not computed yet." in answer.text


def test_wrong_input_in_json_is_named_by_field(client):
    answer = client.get("/bench/slip.json", params={"shaft_speed": "fast", "pitch": "64", "speed": "9", "hue": "red"})
    assert answer.status_code == 422
    assert set(answer.json()["errors"]) == {"shaft_speed", "hue"}


@pytest.mark.parametrize(
    "text", ["", "-5", "99999999999", "45 parsec", "\U0001f6a4", "nan", "<script>", "x" * 3000, "1e999"]
)
def test_hostile_text_in_every_field_is_never_a_fault_of_ours(client, text):
    for name in NAMES:
        params = dict.fromkeys(CALCULATORS[name].by_name, text)
        answer = client.get(f"/bench/{name}", params=params)
        assert answer.status_code in (200, 422), name
        assert "<script>" not in answer.text.split("</head>")[1].replace("&lt;script", "")


@pytest.mark.parametrize("query", ["prop=999", "run=999", "prop=abc", "run=-1", "prop=99999999999999999999"])
def test_something_that_is_not_there_cannot_fill_it(client, garage, query):
    assert client.get(f"/bench/slip?{query}").status_code in (200, 404)


def test_there_is_no_calculator_of_another_name(client):
    assert client.get("/bench/moon").status_code == 404
    assert client.get("/bench/moon.json").status_code == 404


def test_one_click_from_a_prop_fills_its_size_and_says_where_it_is_from(client, garage):
    page = client.get("/bench/pitch-speed?prop=1")
    assert 'value="44 mm"' in page.text and 'value="66 mm"' in page.text and "P1, edition 1" in page.text
    # The shaft speed is still open: nothing is wrong yet.
    assert page.status_code == 200 and 'class="error"' not in page.text


def test_one_click_from_a_pack_fills_cells_capacity_and_the_latest_reading(client, garage):
    plain = client.get(f"/bench/pack-load.json?pack={garage.packs['J']}&cell_voltage=4&current=90").json()
    assert plain["inputs"]["cells"]["value"] == 3 and plain["inputs"]["capacity"]["value"] == 4000
    assert plain["inputs"]["cell_resistance"]["value"] == pytest.approx(2.0)
    assert plain["results"]["pack_resistance"]["value"] == pytest.approx(6.0)


def test_one_click_from_a_run_gives_its_apparent_slip(client, garage):
    plain = client.get("/bench/slip.json?run=1").json()
    assert plain["inputs"]["shaft_speed"]["value"] == round(_LOADED * 1750 * 12.45)
    assert plain["inputs"]["basis"]["value"] == "apparent"
    turned = _LOADED * 1750 * 12.45
    assert plain["results"]["slip"]["value"] == pytest.approx(1 - 80.2 / (turned * 66 * 6e-5), abs=1e-4)
    assert "as a loaded motor turns, 17430 to 20044 rpm, the middle: apparent" in client.get("/bench/slip?run=1").text


def test_what_if_of_a_run_is_held_against_the_hulls_other_props(client, garage):
    filled = client.get("/bench/what-if?run=1")
    assert filled.status_code == 200 and "mean: charge put back by duration" in filled.text
    form = _form(filled, "what-if")
    page = client.get("/bench/what-if", params=_form_texts(filled) | {"run": "1", "new_pitch": "70"})
    assert page.status_code == 200 and 'id="answer"' in page.text and form.method == "get"
    assert "other prop" in page.text


def test_what_if_is_refitted_to_own_props_of_the_same_state_and_shows_them(client, garage):
    """Run 6 was with P2 one way; another both ways with P2 in the state of run 1 is what counts."""
    garage.run(garage.outings[0], at("03-22", "12:00"), prop="P2", speed_kmh=74.0)
    spoiled = [IncidentFormData("flip", spoiled_speed=True)]
    garage.run(garage.outings[0], at("03-22", "12:30"), prop="P2", speed_kmh=20.0, incidents=spoiled)
    garage.session.commit()
    plain = client.get("/bench/what-if.json?run=1&new_pitch=70").json()
    assert plain["inputs"]["own"]["value"] == "42;58;74"
    assert plain["results"]["own_runs"]["value"].startswith("1 other prop on this hull")
    page = client.get("/bench/what-if?run=1&new_pitch=70")
    assert "in the same build state" in page.text and "Held against own runs" in page.text
    shown = _form_texts(page)
    assert [shown[f"own_1_{name}"] for name in ("diameter", "pitch", "speed")] == ["42", "58", "74"]


@pytest.mark.parametrize(
    ("line", "beside"),
    [
        ("42", "own_1_pitch"), ("42;58", "own_1_speed"), ("42;58;74\n\n42;58;fast", "own_2_speed"),
        ("0;58;74", "own_1_diameter"), ("42;58;74;80;9", "own"), ("42;58;5000", "own_1_speed"),
        ("42;58;74\n" * 9, "own"),
    ],
)  # fmt: skip
def test_an_own_prop_that_cannot_be_read_is_said_beside_its_field(client, garage, line, beside):
    answer = client.get("/bench/what-if", params=dict(CALCULATORS["what-if"].example.inputs) | {"own": line})
    assert answer.status_code == 422 and re.findall(r'id="e-([^"]+)"', answer.text) == [beside]
    told = [text for name, text in sorted(_form_texts(answer).items()) if re.fullmatch(r"own_1_[a-z]+", name)]
    assert {text for text in told if text} == set(line.split("\n")[0].split(";")[:4])


def test_a_list_of_a_calculator_is_a_field_for_each_and_the_same_to_its_data(client):
    apart = {"speeds_1": "118.8 km/h", "speeds_2": "", "speeds_3": "27 m/s"}
    asked = {"speeds": "118.8 km/h; 27 m/s"}
    answers = [client.get("/bench/two-way.json", params=params).json() for params in (apart, asked)]
    assert answers[0] == answers[1] and answers[0]["results"]["mean_of_speeds"]["value"] == pytest.approx(108)
    pasted = client.get("/bench/two-way", params={"speeds_1": "118.8 97.2"})
    assert 'value="97.2"' in pasted.text and 'id="answer"' in pasted.text
    wrong = client.get("/bench/two-way", params={"speeds_1": "72", "speeds_2": "swift"})
    assert wrong.status_code == 422 and 'id="e-speeds_2"' in wrong.text and 'value="swift"' in wrong.text


def test_a_row_more_or_less_keeps_what_was_typed_and_judges_nothing(client):
    typed = {"part_1_name": "hull", "part_1_mass": "620", "part_2_name": "pack", "part_2_mass": "half"}
    more = client.get("/bench/balance", params=typed | {"row_more": "part"})
    assert more.status_code == 200 and 'value="half"' in more.text and 'class="error"' not in more.text
    less = client.get("/bench/balance", params=typed | {"row_drop": "part_1"})
    assert 'value="half"' in less.text and 'value="hull"' not in less.text
    asked = {"row_more": "part", "part_rows": "6"}
    one = client.get("/bench/balance", params=asked, headers={"HX-Request": "true"})
    assert 'name="part_7_mass"' in one.text and 'name="part_6_mass"' not in one.text


def _logged_run(client, garage) -> None:
    """A log on run 1: 25 m/s with 26,000 rpm, 11.4 V and 88 A, in a table."""
    made = there_and_back(25, 10)
    lat, lon = places(made.east, made.north)
    rows = ["time (s),latitude,longitude,speed (m/s),rpm,voltage (V),current (A)"]
    rows += [
        f"{second:.1f},{north:.9f},{east:.9f},{speed:.3f},26000,11.4,88"
        for second, north, east, speed in zip(made.time_s, lat, lon, made.speed, strict=True)
    ]
    sent = client.post("/runs/1/logs", files=[("log_files", ("drive.csv", "\n".join(rows)))])
    assert str(sent.url).endswith("/columns")
    names = (
        "time|seconds",
        "latitude|degrees",
        "longitude|degrees",
        "speed|m/s",
        "shaft_rpm|rpm",
        "voltage_v|V",
        "current_a|A",
    )
    picked = client.post("/logs/1/columns", data={f"column{at_}": name for at_, name in enumerate(names)})
    assert picked.status_code == 200, picked.text


def test_slip_of_a_run_takes_the_shaft_speed_that_its_log_measured(client, garage):
    _logged_run(client, garage)
    plain = client.get("/bench/slip.json?run=1").json()
    assert plain["inputs"]["shaft_speed"]["value"] == 26000 and plain["inputs"]["basis"]["value"] == "measured"
    assert plain["inputs"]["speed"]["value"] == pytest.approx(90, abs=0.2)
    assert plain["results"]["slip"]["value"] == pytest.approx(1 - 90 / (26000 * 66 * 6e-5), abs=3e-3)
    assert "log drive.csv: measured, mean over two seconds" in client.get("/bench/slip?run=1").text


def test_a_runs_page_tells_measured_slip_where_its_log_has_the_shaft_speed_and_never_both(client, garage):
    apparent = dict(client.get("/runs/1.json").json()["worked_out"])
    assert "Apparent slip (Kv and volts)" in apparent and not any("measured" in name for name in apparent)
    assert "(Kv and volts)" in client.get("/runs/1").text
    _logged_run(client, garage)
    measured = dict(client.get("/runs/1.json").json()["worked_out"])
    assert not any("Kv" in name for name in measured)
    assert measured["Slip (measured shaft speed)"]["value"] == pytest.approx(
        100 * (1 - 90 / (26000 * 66 * 6e-5)), abs=0.3
    )
    assert "low" not in measured["Slip (measured shaft speed)"]
    page = client.get("/runs/1").text
    assert "26000 rpm measured in log drive.csv, mean over two seconds" in page and "Apparent slip (Kv" not in page


def test_the_props_page_has_the_measured_slip_of_a_logged_run_and_the_apparent_of_others(client, garage):
    before = {one["run"]["id"]: one for one in client.get("/props/1.json").json()["slips"]}
    assert before[1]["basis"] == "apparent"
    _logged_run(client, garage)
    after = {one["run"]["id"]: one for one in client.get("/props/1.json").json()["slips"]}
    assert after[1]["basis"] == "measured"
    assert after[1]["slip"]["value"] == pytest.approx(100 * (1 - 90 / (26000 * 66 * 6e-5)), abs=0.3)
    page = client.get("/props/1").text
    assert "measured</div></td>" in page


def test_what_if_of_a_run_takes_volts_and_amps_of_full_throttle_from_its_log(client, garage):
    _logged_run(client, garage)
    plain = client.get("/bench/what-if.json?run=1&new_pitch=70").json()["inputs"]
    assert plain["voltage"]["value"] == 11.4 and plain["current"]["value"] == 88
    assert plain["full_throttle_share"]["value"] == 1 and plain["speed"]["value"] == 80.2


def test_two_motors_on_one_pack_draw_half_each(client, garage):
    """The second motor of the state takes half of the pack's current and sees twice its resistance."""
    alone = client.get("/bench/what-if.json?run=1&new_pitch=70").json()["inputs"]
    second = Part(
        code="M2", kind="motor", name="blue can", kv_stated=1800, kv_measured=1750, resistance_mohm=9,
        no_load_current_a=2, created_at=NOW.utc,
    )  # fmt: skip
    garage.session.add(second)
    garage.session.flush()
    install = ChangeFormData("install", part_id=second.id, place="right", detail=part_spec(second))
    make_changes(garage.session, garage.hulls["Medlar"], [install], at("04-20"), NOW, rests_store)
    later = garage.outing("04-21")
    run = garage.run(later, at("04-21", "10:00"), duration_s=110, speed_kmh=80.2)
    use = garage.session.get(RunPack, (run.id, garage.packs["J"]))
    use.rested_v, use.charge_mah = 12.45, 2800
    garage.session.commit()
    plain = client.get(f"/bench/what-if.json?run={run.id}&new_pitch=70").json()["inputs"]
    assert plain["current"]["value"] == pytest.approx(alone["current"]["value"] / 2, rel=1e-3)
    assert plain["capacity"]["value"] == alone["capacity"]["value"] / 2
    assert plain["pack_resistance"]["value"] == alone["pack_resistance"]["value"] * 2
    assert plain["voltage"] == alone["voltage"]
    assert "one of 2 motors on the pack" in client.get(f"/bench/what-if?run={run.id}").text


def _twin_packs(garage, wiring: str, other: str) -> int:
    """A run on packs J (6 mΩ, 2,800 mAh) and K (3 mΩ, 1,400 mAh), wired like that; returns its id."""
    codes = garage.packs
    garage.session.add(
        PackReading(
            pack_id=codes["K"],
            method="charger DC step",
            at=at("03-01").utc,
            cells_mohm="[1.0, 1.0, 1.0]",
            created_at=NOW.utc,
        )
    )
    run = garage.run(garage.outings[0], at("03-22", "13:00"), duration_s=110, speed_kmh=80.2)
    first = garage.session.get(RunPack, (run.id, codes["J"]))
    first.wiring, first.rested_v, first.charge_mah = wiring, 12.45, 2800
    garage.session.add(
        RunPack(run_id=run.id, pack_id=codes["K"], wiring=other, rested_v=12.5, charge_mah=1400, volts_after="[]")
    )
    garage.session.commit()
    return run.id


@pytest.mark.parametrize(("wiring", "other", "resistance", "charge", "rested"), [
    ("parallel", "parallel", 2.0, 4200, 12.45), ("series", "series", 9.0, 2800, 24.95),
    ("left", "right", 6.0, 2800, 12.45),
])  # fmt: skip
def test_packs_together_are_what_the_motor_sees(client, garage, wiring, other, resistance, charge, rested):
    """6 and 3 mΩ are 2 in parallel and 9 in series; each side of a twin has its own."""
    run = _twin_packs(garage, wiring, other)
    plain = client.get(f"/bench/what-if.json?run={run}&new_pitch=70").json()["inputs"]
    assert plain["pack_resistance"]["value"] == pytest.approx(resistance)
    current = charge * 3.6 / 110
    assert plain["current"]["value"] == pytest.approx(current, abs=0.01)
    assert plain["voltage"]["value"] == pytest.approx(rested - current * resistance / 1000, abs=0.01)


@pytest.mark.parametrize(("wiring", "other"), [("parallel", "parallel"), ("series", "series"), ("left", "right")])
def test_heat_of_a_pack_is_by_its_own_current_and_resistance(client, garage, wiring, other):
    run = _twin_packs(garage, wiring, other)
    plain = client.get(f"/bench/pack-heat.json?run={run}&air_temperature=20").json()["inputs"]
    assert plain["current"]["value"] == pytest.approx(2800 * 3.6 / 110, abs=0.01)
    assert plain["pack_resistance"]["value"] == pytest.approx(6.0) and plain["mass"]["value"] == 330


def _form_texts(answer):
    asked = next(form for form in read_page(answer.text, "/bench/what-if")[0] if "new_pitch" in form.fields)
    return {name: part.value for name, part in asked.fields.items()}


def test_a_strip_can_be_taken_into_a_step_of_work_under_way(client, garage):
    page = client.get("/bench/bottom-strip?deadrise=20&width=8&length=300&count=2")
    link = next(link for link in read_page(page.text, "/bench/bottom-strip")[1] if "/steps/new?" in link)
    step = client.get(link.replace("&amp;", "&"))
    assert step.status_code == 200
    assert 'value="8 mm"' in step.text and 'value="2.912 mm"' in step.text and 'value="300 mm"' in step.text


def test_items_lead_to_the_bench(client, garage):
    assert "/bench/pitch-speed?prop=1" in client.get("/props/1").text
    assert f"/bench/pack-load?pack={garage.packs['J']}" in client.get(f"/packs/{garage.packs['J']}").text
    assert "/bench/what-if?run=1" in client.get("/runs/1").text


def test_a_run_shows_slip_c_rate_and_heat_by_the_same_functions(client, garage):
    worked = dict(client.get("/runs/1.json").json()["worked_out"])
    bench = client.get("/bench/slip.json?run=1").json()["results"]
    slip = worked["Apparent slip (Kv and volts)"]
    assert slip["value"] == pytest.approx(bench["slip"]["value"] * 100, abs=0.01)
    ends = [100 * (1 - 80.2 / (share * 1750 * 12.45 * 66 * 6e-5)) for share in (0.80, 0.92)]
    assert [slip["low"], slip["high"]] == pytest.approx(ends)
    current = 3.6 * 2800 / 110
    assert worked["C-rate of the mean, J"]["value"] == pytest.approx(current / 4)
    assert worked["Heat in J"]["value"] == pytest.approx(current**2 * 0.006)
    assert worked["J, warmer by it by"]["value"] == pytest.approx(current**2 * 0.006 * 110 / 330)


def test_a_prop_shows_its_pitch_speed_against_the_slip_it_had(client, garage):
    [line] = client.get("/props/1.json").json()["slips"]
    assert line["run"]["id"] == 1
    assert line["pitch_speed"]["value"] == pytest.approx(_LOADED * 1750 * 12.45 * 66 * 6e-5)
    assert line["slip"]["low"] < line["slip"]["value"] < line["slip"]["high"]


PARTS = "hull;620;300\nmotor;230;250\npack;520;360"


def _balance(garage: Garage) -> str:
    return f"/hulls/{garage.hulls['Medlar']}/states/2/balance"


def test_a_balance_sheet_begins_with_the_masses_written_down(client, garage):
    sheet = client.get(_balance(garage) + ".json").json()
    assert "bare hull;812;" in sheet["parts"] and "M1 motor;310;" in sheet["parts"]
    assert "pack J;330;" in sheet["parts"] and "packs as in the run of" in sheet["parts_from"]
    assert sheet["computed"] == []


def test_a_balance_sheet_is_kept_computed_and_can_be_taken_back(client, garage):
    here = _balance(garage)
    page = client.post(here, data={"part": PARTS})
    assert page.status_code == 200 and "The balance sheet is kept." in page.text
    sheet = client.get(here + ".json").json()
    point = dict(sheet["computed"])["Balance point from the transom"]
    assert point["value"] == pytest.approx((620 * 300 + 230 * 250 + 520 * 360) / 1370)
    assert point["from"] == "computed from the parts and their places"
    client.post(f"{here}/1/set-aside")
    assert client.get(here + ".json").json()["computed"] == []


def test_a_later_state_goes_on_from_the_sheet_of_the_one_before(client, garage):
    client.post(_balance(garage), data={"part": PARTS})
    later = client.get(f"/hulls/{garage.hulls['Medlar']}/states/3/balance.json").json()
    assert later["parts"] == PARTS and "build state 2" in later["parts_from"]
    filled = client.get(f"/bench/balance.json?hull={garage.hulls['Medlar']}&swap=pack;700").json()
    assert filled["results"]["mass_change"]["value"] == 180


def test_a_part_without_its_place_is_refused_and_stays_in_the_field(client, garage):
    answer = client.post(_balance(garage), data={"part": "hull;620;300\npack;520"})
    assert answer.status_code == 422
    assert "pack;520" in answer.text and "name;mass;x;y;z" in answer.text


def test_two_scales_are_kept_and_set_against_the_parts(client, garage):
    here = _balance(garage)
    client.post(here, data={"part": PARTS})
    client.post(f"{here}/scales", data={"first_x": "50", "first": "690", "second_x": "550", "second": "1020"})
    sheet = client.get(here + ".json").json()
    assert sheet["scales"][0]["point"]["value"] == pytest.approx(348.25, abs=0.01)
    assert "further aft" in sheet["apart"]
    client.post(f"{here}/scales/1/set-aside")
    assert client.get(here + ".json").json()["scales"] == []
    client.post(f"{here}/scales/1/bring-back")
    assert len(client.get(here + ".json").json()["scales"]) == 1


def test_parts_are_rows_and_what_is_wrong_stands_beside_its_field(client, garage):
    here = _balance(garage)
    row = {"part_1_name": "hull", "part_1_mass": "620", "part_1_x": "30 cm", "part_2_name": "", "part_3_name": "pack"}
    refused = client.post(here, data=row | {"part_3_mass": "520", "part_3_x": ""})
    assert refused.status_code == 422 and re.findall(r'id="e-([^"]+)"', refused.text) == ["part_3_x"]
    assert 'value="30 cm"' in refused.text and 'value="520"' in refused.text
    more = client.post(here, data=row | {"row_more": "part"})
    assert more.status_code == 200 and 'name="part_4_x"' in more.text and "30 cm" in more.text
    client.post(here, data=row | {"part_3_mass": "520", "part_3_x": "360", "part": "motor\t230\t250"})
    assert client.get(here + ".json").json()["parts"] == "hull;620;30 cm\npack;520;360\nmotor;230;250"


def test_scales_that_cannot_be_are_refused_and_the_parts_are_not_lost(client, garage):
    here = _balance(garage)
    client.post(here, data={"part": PARTS})
    page = client.get(here)
    scales = next(form for form in read_page(page.text, here)[0] if form.action.endswith("/scales"))
    kept = {name: part.value for name, part in scales.fields.items()}
    answer = client.post(
        f"{here}/scales", data=kept | {"first_x": "50", "first": "abc", "second_x": "50", "second": "2"}
    )
    assert answer.status_code == 422 and 'value="360"' in answer.text and 'value="abc"' in answer.text


def test_each_prop_of_a_twin_has_the_slip_of_its_own_pitch_and_pack(client, garage):
    """Left P1, 66 mm on 12.45 V; right P2, 58 mm on 12.5 V: on the run's page both, on each prop's page its own."""
    run = _twin_props(garage)
    told = dict(client.get(f"/runs/{run}.json").json()["worked_out"])
    expected = {
        "left": 1 - 80.2 / (_LOADED * 1750 * 12.45 * 66 * 6e-5),
        "right": 1 - 80.2 / (_LOADED * 1750 * 12.5 * 58 * 6e-5),
    }
    for prop_id, (side, slip) in enumerate(expected.items(), 1):
        assert told[f"Apparent slip (Kv and volts), {side}"]["value"] == pytest.approx(slip * 100, abs=0.1)
        of_run = [one for one in client.get(f"/props/{prop_id}.json").json()["slips"] if one["run"]["id"] == run]
        assert of_run[0]["slip"]["value"] == pytest.approx(slip * 100, abs=0.1)


def _twin_props(garage) -> int:
    """A run with P1, 66 mm of pitch, on pack J at the left and P2, 58 mm, on pack K at the right."""
    run = _twin_packs(garage, "left", "right")
    stood = standing(garage.session, [run])[run, "props"]
    sides = props_text([PropUse(garage.editions["P1"], "left"), PropUse(garage.editions["P2"], "right")])
    move_runs(garage.session, [Move(run, "props", stood, sides)], "a twin", NOW)
    garage.session.commit()
    return run


@pytest.mark.parametrize(("side", "pitch", "volts"), [("left", 66, 12.45), ("right", 58, 12.5)])
def test_of_a_run_with_two_sides_the_page_says_which_it_took_and_takes_the_other(client, garage, side, pitch, volts):
    run = _twin_props(garage)
    asked = f"run={run}" if side == "left" else f"run={run}&side=right"
    plain = client.get(f"/bench/slip.json?{asked}").json()["inputs"]
    assert plain["pitch"]["value"] == pitch
    assert plain["shaft_speed"]["value"] == pytest.approx(_LOADED * 1750 * volts, abs=0.51)
    page = client.get(f"/bench/slip?{asked}")
    other = {"left": "right", "right": "left"}[side]
    assert f"<strong>{side}</strong>" in page.text and f"Take the {other} instead" in page.text
    assert f", {side} side" in page.text and f", {other} side" not in page.text
    link = next(link for link in read_page(page.text, "/bench/slip")[1] if link.endswith(f"side={other}"))
    assert f"<strong>{other}</strong>" in client.get(link.replace("&amp;", "&")).text
    again = client.get(page.request.url.path, params=dict(page.request.url.params) | {"speed": "70 km/h"})
    assert again.status_code == 200 and f"<strong>{side}</strong>" in again.text


def test_what_if_of_the_right_side_has_the_current_and_resistance_of_its_own_pack(client, garage):
    plain = client.get(f"/bench/what-if.json?run={_twin_props(garage)}&side=right&new_pitch=70").json()["inputs"]
    assert plain["current"]["value"] == pytest.approx(1400 * 3.6 / 110, abs=0.01)
    assert plain["pack_resistance"]["value"] == pytest.approx(3.0) and plain["pitch"]["value"] == 58


@pytest.mark.parametrize("side", ["", "middle", "left"])
def test_a_run_with_one_of_everything_has_no_side_to_choose(client, garage, side):
    page = client.get(f"/bench/slip?run=1&side={side}")
    assert page.status_code == 200 and "Side of that run" not in page.text


def test_what_a_modification_took_off_is_taken_off_the_hull_since_no_part_weighs_less_than_nothing():
    content = Content(fitted={"1": {"title": "Lighter hatch", "mass_g": -26.2}, "2": {"title": "Tabs", "mass_g": 16.4}})
    lines = part_lines(668, content)
    assert lines == ["bare hull less Lighter hatch;641.8;", "Tabs;16.4;"]
    assert parts_of("\n".join(f"{line}100" for line in lines))[0].mass_g == pytest.approx(641.8)
    assert part_lines(None, content) == ["Tabs;16.4;"]
