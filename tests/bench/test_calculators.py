"""Every calculator: its definition is whole, its example works, units of the inputs change nothing."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.bench import catalog
from garage.bench.catalog import CALCULATORS, calculators_in
from garage.bench.definition import Ranged, WrongInput
from garage.bench.reading import as_json, work
from garage.bench.sheets import result_rows
from garage.units import KINDS
from tests.published import value

NAMES = sorted(CALCULATORS)

# What the calculators are called, what they ask for and in which unit, and what they answer: relied on by scripts.
FIXED = {
    "pitch-speed": ("shaft_speed rpm, pitch mm, diameter mm, pitch_ratio", "speed km/h"),
    "slip": (
        "shaft_speed rpm, pitch mm, diameter mm, pitch_ratio, speed km/h, basis",
        "slip fraction, pitch_speed km/h, advance_ratio",
    ),
    "tip-speed": ("shaft_speed rpm, diameter mm, speed km/h", "tip_speed m/s, resultant_speed m/s"),
    "motor": (
        "kv rpm/V, resistance mohm, no_load_current A, voltage V, current A",
        "shaft_speed rpm, torque N m, shaft_power W, input_power W, copper_loss W, iron_loss W, efficiency fraction,"
        " best_current A, best_efficiency fraction",
    ),
    "pack-load": (
        "cells, parallel, capacity mAh, cell_resistance mohm, cell_voltage V, current A",
        "c_rate 1/h, pack_resistance mohm, terminal_voltage V, sag V, heat W, energy Wh, full_power_time s",
    ),
    "pack-heat": (
        "pack_resistance mohm, mass g, duration s, air_temperature degC, current A, rise K, specific_heat J/kg/K,"
        " loss_coefficient W/K",
        "rise K, temperature degC, current A",
    ),
    "resistance-at": (
        "resistance mohm, temperature degC, reference degC, activation_energy kJ/mol",
        "resistance_at_reference mohm",
    ),
    "rest-voltage": ("state_of_charge fraction, voltage V, curve", "state_of_charge fraction, voltage V"),
    "refill": (
        "charge mAh, duration s, voltage V, capacity mAh, distance m, full_throttle_share fraction",
        "mean_current A, full_throttle_current A, c_rate 1/h, energy Wh, energy_per_km Wh/km",
    ),
    "balance": ("part, length mm, move, swap", "mass g, lcg mm, tcg mm, vcg mm, percent_of_length %"),
    "strip": (
        "section, width mm, height mm, wall mm, length mm, count, density kg/m3, material, bend_radius mm",
        "volume mm3, mass g, strain fraction, smallest_radius_low mm, smallest_radius_high mm",
    ),
    "bottom-strip": (
        "deadrise deg, width mm, face_angle deg, length mm, count",
        "inner_height mm, outer_height mm, section_area mm2, face_area mm2, volume mm3",
    ),
    "coating": (
        "area cm2, coats, film_thickness um, density kg/m3, spread_rate m2/l, solids fraction",
        "volume ml, mass g",
    ),
    "water": ("temperature degC, salinity", "density kg/m3, kinematic_viscosity m2/s"),
    "air": ("temperature degC, pressure hPa, humidity fraction", "density kg/m3"),
    "planing": (
        "mass kg, beam m, deadrise deg, lcg m, vcg m, speed m/s, shaft_angle deg, thrust_offset m, density kg/m3,"
        " kinematic_viscosity m2/s, friction_line, allowance, gravity m/s2",
        "trim deg, mean_wetted_length_ratio, keel_wetted_length m, chine_wetted_length m, lift_coefficient,"
        " speed_coefficient, friction_coefficient, drag N, power W, porpoising_trim deg, in_range, equilibrium",
    ),
    "two-way": (
        "speeds km/h, times s, course m",
        "mean_of_speeds km/h, speed_of_mean_time km/h, along_course_drift km/h, standard_error km/h",
    ),
    "runs-needed": ("run_sd %, day_sd %, difference %, power fraction", "runs_per_side, paired"),
    "what-if": (
        "voltage V, kv rpm/V, resistance mohm, no_load_current A, current A, speed km/h, diameter mm, pitch mm,"
        " new_diameter mm, new_pitch mm, new_voltage V",
        "shaft_speed rpm, speed km/h, current A, c_rate 1/h, motor_power W",
    ),
}


def _named(text: str) -> set[tuple[str, str]]:
    return {(words[0], words[2]) for words in (part.strip().partition(" ") for part in text.split(","))}


def _answer(name: str, **typed: str) -> dict:
    return as_json(work(CALCULATORS[name], typed))["results"]


def _figure(name: str, result: str, **typed: str):
    return _answer(name, **typed)[result]["value"]


@pytest.mark.parametrize("name", sorted(FIXED))
def test_names_and_units_are_those_that_scripts_rely_on(name):
    inputs, results = map(_named, FIXED[name])
    calculator = CALCULATORS[name]
    assert inputs <= {(one.name, one.plain_unit) for one in calculator.inputs}
    assert results <= {(one.name, one.plain_unit) for one in calculator.results}


def test_the_catalog_names_what_its_modules_define():
    assert [name for module in catalog._MODULES for name in calculators_in(module)] == list(CALCULATORS)


@pytest.mark.parametrize("name", NAMES)
def test_a_definition_is_whole(name):
    one = CALCULATORS[name]
    assert one.question.endswith("?") and one.source and one.valid and one.example.source
    assert one.headline in {"", *(result.name for result in one.results)}
    for each in (*one.inputs, *one.results):
        if each.kind in KINDS:
            assert each.unit in KINDS[each.kind].units or each.unit == "", each.name


@pytest.mark.parametrize("name", NAMES)
def test_the_worked_example_answers_everything_it_claims(name):
    worked = work(CALCULATORS[name], CALCULATORS[name].example.inputs)
    assert set(worked.answer.results) <= {one.name for one in CALCULATORS[name].results}
    plain = as_json(worked)
    assert plain["calculator"] == name and plain["source"]
    assert all({"value", "unit"} <= set(result) for result in plain["results"].values())
    for result in plain["results"].values():
        assert result["value"] is None or not isinstance(result["value"], float) or math.isfinite(result["value"])


@pytest.mark.parametrize("name", NAMES)
def test_what_is_needed_and_missing_is_named(name):
    needed = {one.name for one in CALCULATORS[name].inputs if one.needed}
    with pytest.raises(WrongInput) as wrong:
        work(CALCULATORS[name], {"nonsense": "1"})
    assert needed | {"nonsense"} == set(wrong.value.errors)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("text", ["-1e30", "nan", "1e400", "9**9", "45 parsec", "x" * 30_000, "\x00", "1,234", "=1+1"])
def test_hostile_text_in_any_input_is_refused_in_words_or_is_a_plain_text(name, text):
    calculator = CALCULATORS[name]
    for one in calculator.inputs:
        try:
            work(calculator, {**calculator.example.inputs, one.name: text})
        except WrongInput as wrong:
            assert all(wrong.errors.values())
        else:
            assert one.kind == "text" or text == "1,234", one.name


_OTHER_UNITS = [
    ("pitch-speed", {"shaft_speed": "30000", "pitch": "50.8"}, {"pitch": "2 in"}),
    ("slip", {"shaft_speed": "30000", "pitch": "64", "speed": "80.4672"}, {"speed": "50mph"}),
    ("pack-heat",
     {"pack_resistance": "4", "mass": "453.59237", "duration": "120", "air_temperature": "20", "current": "90"},
     {"mass": "1 lb", "duration": "2 min", "air_temperature": "68 degF", "pack_resistance": "0.004 ohm"}),
    ("planing", {"mass": "2.5", "beam": "0.2", "deadrise": "18", "lcg": "0.22", "vcg": "0.04", "speed": "6"},
     {"mass": "2500 g", "beam": "200 mm", "speed": "21.6 km/h", "lcg": "22 cm", "kinematic_viscosity": "1.1386 mm2/s"}),
    ("water", {"temperature": "15"}, {"temperature": "59 °F"}),
    ("air", {"temperature": "20", "humidity": "0.4"}, {"humidity": "40 %", "pressure": "101.325 kPa"}),
    ("coating", {"area": "645.16", "coats": "1", "film_thickness": "50", "density": "1100"},
     {"area": "100 in2", "film_thickness": "0.05 mm", "density": "1.1 g/cm3"}),
    ("two-way", {"speeds": "72;68"}, {"speeds": "20 m/s; 68 km/h"}),
]  # fmt: skip


@pytest.mark.parametrize(("name", "bare", "other"), _OTHER_UNITS, ids=[case[0] for case in _OTHER_UNITS])
def test_results_do_not_depend_on_the_units_of_the_inputs(name, bare, other):
    plain, changed = _answer(name, **bare), _answer(name, **{**bare, **other})
    for key, result in plain.items():
        if isinstance(result["value"], float):
            assert changed[key]["value"] == pytest.approx(result["value"], rel=1e-9, abs=1e-12), key


def test_slip_of_a_pitch_or_of_a_ratio_is_the_same_and_says_what_it_rests_on():
    by_pitch = _answer("slip", shaft_speed="30000", pitch="64", diameter="40", speed="90")
    by_ratio = _answer("slip", shaft_speed="30000", pitch_ratio="1.6", diameter="40", speed="90", basis="apparent")
    assert by_pitch["slip"] == by_ratio["slip"] == {"value": pytest.approx(0.21875), "unit": "fraction"}
    assert (by_pitch["basis"]["value"], by_ratio["basis"]["value"]) == ("measured", "apparent")
    assert (
        "Apparent"
        in work(
            CALCULATORS["slip"],
            {"shaft_speed": "30000", "pitch": "64", "speed": "90", "basis": "apparent"},
        ).answer.cautions[0]
    )


def test_pitch_and_ratio_together_or_neither_are_refused():
    for typed in ({"pitch": "60", "pitch_ratio": "1.4"}, {}, {"pitch_ratio": "1.4"}):
        with pytest.raises(WrongInput, match="pitch"):
            work(CALCULATORS["pitch-speed"], {"shaft_speed": "30000", **typed})


@pytest.mark.parametrize(
    ("speed", "limit"),
    [("20", "speed coefficient"), ("9", "trim"), ("9", "porpoising chart"), ("0.5", "speed coefficient")],
)
def test_planing_names_every_limit_it_passes(speed, limit):
    worked = work(
        CALCULATORS["planing"],
        {"mass": "2.5", "beam": "0.2", "deadrise": "18", "lcg": "0.22", "vcg": "0.04", "speed": speed},
    )
    assert worked.answer.results["in_range"] is False
    assert any(limit in caution for caution in worked.answer.cautions)


def test_planing_within_its_range_has_no_limit_to_name():
    """The 1964 example, the one hull that is surely inside (PLAN-07)."""
    answer = work(CALCULATORS["planing"], CALCULATORS["planing"].example.inputs).answer
    assert answer.results["in_range"] is True and answer.results["equilibrium"] is True
    assert answer.results["trim"] == pytest.approx(value("PLAN-07", "tau_deg"), abs=0.003)


def test_planing_says_so_when_there_is_no_equilibrium():
    worked = work(
        CALCULATORS["planing"],
        {"mass": "2", "beam": "0.2", "deadrise": "15", "lcg": "30", "vcg": "0.03", "speed": "20"},
    )
    assert worked.answer.results["equilibrium"] is False and worked.answer.results["in_range"] is False
    assert worked.answer.results["trim"] is None
    assert "No equilibrium" in worked.answer.cautions[0]


def test_balance_of_parts_moved_and_swapped():
    """MASS-08: 1710 g at 286.667 mm, and 292.749 mm with the pack 20 mm forward."""
    parts = CALCULATORS["balance"].example.inputs["part"]
    moved = _answer("balance", part=parts, move="pack;380", length="700")
    assert moved["lcg"]["value"] == pytest.approx(value("MASS-08", "LCG_pack+20"), abs=0.001)
    assert moved["lcg_change"]["value"] == pytest.approx(6.082, abs=0.001)
    assert moved["percent_of_length"]["value"] == pytest.approx(41.82, abs=0.01)
    heavier = _answer("balance", part=parts, swap="pack;700")
    assert heavier["mass_change"]["value"] == 180
    back = _answer("balance", part=parts.replace("pack;520;360", f"pack;700;{heavier['place_to_restore']['value']}"))
    assert back["lcg"]["value"] == pytest.approx(value("MASS-08", "LCG"), abs=0.001)


@pytest.mark.parametrize(("typed", "field"), [
    ({"part": "hull;620"}, "part"), ({"part": "hull;620;300;1;2;3"}, "part"), ({"part": ";620;300"}, "part"),
    ({"part": "hull;-5;300"}, "part"), ({"part": "hull;0;300"}, "part"),
    ({"part": "hull;620;300", "move": "mast;20"}, "move"), ({"part": "hull;620;300", "move": "hull"}, "move"),
    ({"part": "hull;620;300", "swap": "hull;abc"}, "swap"), ({"part": "hull;620;300", "swap": "hull;-4"}, "swap"),
])  # fmt: skip
def test_a_part_that_cannot_be_read_is_named_beside_its_field(typed, field):
    with pytest.raises(WrongInput) as wrong:
        work(CALCULATORS["balance"], typed)
    assert list(wrong.value.errors) == [field]


def test_a_strip_by_its_dimensions():
    """MAT-13: 448 kg/m³, 500 × 20 × 3 mm is 13.44 g. MAT-08: 2 mm at 100 mm is 1 % strain."""
    mass = _figure("strip", "mass", width="20", height="3", length="500", density="448")
    assert mass == pytest.approx(value("MAT-13", "m"))
    bent = _answer("strip", width="5", height="2", length="100", density="400", bend_radius="100")
    assert bent["strain"]["value"] == pytest.approx(value("MAT-08", "eps"))
    assert bent["smallest_radius_low"]["value"] == pytest.approx(value("MAT-11", "R_low"))


@pytest.mark.parametrize("section", ["rectangle", "triangle", "round", "half-round", "tube", "angle"])
def test_every_section_has_a_mass_and_a_bend(section):
    found = _answer(
        "strip", section=section, width="8", height="6", wall="1", length="100", density="500", bend_radius="900"
    )
    assert found["mass"]["value"] > 0 and found["strain"]["value"] > 0
    assert found["smallest_radius_low"]["value"] < found["smallest_radius_high"]["value"]


def test_metal_has_no_rule_for_bending_and_says_so():
    worked = work(CALCULATORS["strip"], {"width": "8", "height": "1", "length": "100", "material": "brass"})
    assert worked.answer.results["smallest_radius_low"] is None
    assert any("offcut" in caution for caution in worked.answer.cautions)


def test_resting_voltage_is_a_band_and_silent_curves_are_named():
    worked = work(CALCULATORS["rest-voltage"], {"voltage": "4.15"})
    band = worked.answer.results["state_of_charge"]
    assert isinstance(band, Ranged) and band.low < band.high
    assert any("4.103" in caution for caution in worked.answer.cautions)
    beyond = work(CALCULATORS["rest-voltage"], {"voltage": "4.4"})
    assert beyond.answer.results["state_of_charge"] == Ranged(None, None, None)
    assert beyond.answer.cautions[0].startswith("No published curve")


def test_a_range_is_written_with_its_ends():
    shaft = _answer("what-if", **CALCULATORS["what-if"].example.inputs)
    for name in ("shaft_speed", "speed", "current", "c_rate", "motor_power"):
        assert shaft[name]["low"] < shaft[name]["value"] < shaft[name]["high"]
        assert shaft[f"{name}_low"]["value"] == shaft[name]["low"]


def test_refill_by_definition():
    found = _answer("refill", charge="3000", duration="120", voltage="14", capacity="5000", distance="2000")
    assert found["mean_current"]["value"] == pytest.approx(90)
    assert found["c_rate"]["value"] == pytest.approx(18)
    assert found["energy"]["value"] == pytest.approx(42)
    assert found["energy_per_km"]["value"] == pytest.approx(21)
    part = _answer("refill", charge="3000", duration="120", voltage="14", full_throttle_share="0.6")
    assert part["full_throttle_current"]["low"] < part["full_throttle_current"]["high"] == pytest.approx(150)


def test_runs_needed_at_both_levels_of_confidence():
    """Cohen 1988: a difference of half a standard deviation takes 64 on each side."""
    found = _answer("runs-needed", run_sd="2", day_sd="0", difference="1")
    assert found["runs_per_side"]["value"] == found["runs_per_side_95"]["value"] == 64
    assert found["runs_per_side_90"]["value"] < 64
    assert found["other_days_95"]["value"] == 64


@given(st.floats(min_value=5, max_value=30), st.floats(min_value=2, max_value=20))
def test_a_level_pad_is_width_by_tangent_of_the_deadrise(deadrise, width):
    found = _answer("bottom-strip", deadrise=str(deadrise), width=str(width), length="100")
    assert found["outer_height"]["value"] == pytest.approx(width * math.tan(math.radians(deadrise)))
    assert found["inner_height"]["value"] == 0


@pytest.mark.parametrize(
    ("share", "words"), [("1", "counts as that of full throttle"), ("0.6", "The current is a mean")]
)
def test_what_if_never_takes_a_mean_current_for_that_of_full_throttle_in_silence(share, words):
    worked = work(CALCULATORS["what-if"], CALCULATORS["what-if"].example.inputs | {"full_throttle_share": share})
    assert any(words in caution for caution in worked.answer.cautions)


@pytest.mark.parametrize(("speed", "lcg", "large"), [
    ("6", "0.22", "trim"), ("20", "0.22", "in_range"), ("20", "30", "equilibrium"),
])  # fmt: skip
def test_outside_its_range_planing_shows_large_that_it_is_outside_and_not_a_trim(speed, lcg, large):
    typed = {"mass": "2.5", "beam": "0.2", "deadrise": "18", "lcg": lcg, "vcg": "0.04", "speed": speed}
    first = result_rows(work(CALCULATORS["planing"], typed))[0]
    assert first.name == large and (first.text == "no" or large == "trim")


_DEFAULTS = {
    "tip-speed": {"speed": 0}, "pack-load": {"parallel": 1}, "slip": {"basis": "measured"},
    "pack-heat": {"specific_heat": 1000, "loss_coefficient": 0},
    "resistance-at": {"reference": 25, "activation_energy": 21.6}, "rest-voltage": {"curve": "band"},
    "refill": {"full_throttle_share": 1}, "strip": {"count": 1}, "bottom-strip": {"face_angle": 0, "count": 2},
    "water": {"salinity": "fresh"}, "air": {"pressure": 1013.25, "humidity": 0.5}, "runs-needed": {"power": 0.8},
    "planing": {
        "shaft_angle": 0, "thrust_offset": 0, "density": 999.1, "kinematic_viscosity": 1.1386e-6,
        "friction_line": "ittc57", "allowance": 0.0004, "gravity": 9.80665,
    },
}  # fmt: skip


@pytest.mark.parametrize("name", sorted(_DEFAULTS))
def test_what_is_left_out_has_the_value_that_scripts_rely_on(name):
    calculator = CALCULATORS[name]
    typed = {key: text for key, text in calculator.example.inputs.items() if key not in _DEFAULTS[name]}
    inputs = as_json(work(calculator, typed))["inputs"]
    assert {key: inputs[key]["value"] for key in _DEFAULTS[name]} == _DEFAULTS[name]


def test_water_left_out_of_planing_is_fresh_at_15_degrees():
    at_15 = _answer("water", temperature="15")
    defaults = CALCULATORS["planing"].by_name
    assert float(defaults["density"].default) == pytest.approx(at_15["density"]["value"], abs=0.05)
    viscosity = float(defaults["kinematic_viscosity"].default)
    assert viscosity == pytest.approx(at_15["kinematic_viscosity"]["value"], rel=1e-4)
