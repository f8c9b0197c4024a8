"""The door for quantities: what people write, what is stored, what is shown."""

import json
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garage.paths import SHARED_DIR
from garage.units import (
    KINDS,
    DisplayUnits,
    UnreadableQuantity,
    convert,
    entry_text,
    parse_number,
    parse_quantity,
    reading,
    show,
)

CHECKS = {
    check["id"]: check for check in json.loads((SHARED_DIR / "reference" / "checks.json").read_text(encoding="utf-8"))
}
EVERY_UNIT = [(kind.name, unit) for kind in KINDS.values() for unit in kind.units]
A_MEASURE = st.one_of(
    st.floats(min_value=1e-6, max_value=1e9), st.floats(min_value=-1e9, max_value=-1e-6), st.just(0.0)
)


def _origin(check_id: str) -> str:
    return f"{check_id}: {CHECKS[check_id]['expected_origin']}"


@pytest.mark.parametrize(("kind", "unit"), EVERY_UNIT)
@settings(derandomize=True, max_examples=40, deadline=None)
@given(value=A_MEASURE)
def test_what_stands_in_a_field_reads_back_as_the_same_stored_value(kind, unit, value):
    text = entry_text(value, kind, unit)
    assert text.isascii()
    assert parse_quantity(text, kind, unit) == value
    assert parse_quantity(f"{text} {unit}", kind) == value


@pytest.mark.parametrize(("kind", "unit"), EVERY_UNIT)
@settings(derandomize=True, max_examples=20, deadline=None)
@given(value=A_MEASURE)
def test_conversion_there_and_back_gives_the_same_value(kind, unit, value):
    stored = KINDS[kind].storage_unit
    there = convert(value, kind, stored, unit)
    assert convert(there, kind, unit, stored) == pytest.approx(value, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(("kind", "unit"), EVERY_UNIT)
@settings(derandomize=True, max_examples=30, deadline=None)
@given(value=st.floats(min_value=-1e6, max_value=1e6))
def test_what_is_shown_can_be_typed_in_again(kind, unit, value):
    shown = show(value, kind, unit, decimals=3)
    stored = KINDS[kind].storage_unit
    half_a_digit = convert(0.0005, kind, unit, stored) - convert(0.0, kind, unit, stored)
    assert parse_quantity(str(shown), kind) == pytest.approx(value, abs=half_a_digit * 1.001)


@pytest.mark.parametrize("kind", KINDS.values(), ids=list(KINDS))
def test_a_kind_is_whole(kind):
    assert kind.units[0] == kind.storage_unit
    assert {kind.metric, kind.imperial} <= set(kind.units) == set(kind.decimals)


@pytest.mark.parametrize(
    ("text", "kind", "stored"),
    [
        ("22,2 V", "voltage", 22.2),
        ("22.2", "voltage", 22.2),
        ("5 000 mAh", "charge", 5000),
        ("5\u2009000 mAh", "charge", 5000),
        ("5\u00a0000 mAh", "charge", 5000),
        ("5\u202f000,5", "charge", 5000.5),
        ("1 234 567", "charge", 1234567),
        ("4.5 Ah", "charge", 4500),
        ("5000mAh", "charge", 5000),
        ("5000 mah", "charge", 5000),
        ("5000 MAH", "charge", 5000),
        ("3/16 in", "length", 4.7625),
        ("1 1/2 in", "length", 38.1),
        ("1-1/2 in", "length", 38.1),
        ('5½"', "length", 139.7),
        ("2 ft", "length", 609.6),
        ("0,125 in", "length", 3.175),
        ("\u22123,5", "angle", -3.5),
        ("-3.5 °", "angle", -3.5),
        ("+2 deg", "angle", 2),
        ("1:45", "duration", 105),
        ("1:02:03", "duration", 3723),
        ("2 min", "duration", 120),
        ("0:30", "time_after", 30),
        ("30000 rpm", "shaft_speed", 30000),
        ("1780 Kv", "kv", 1780),
        ("1780 rpm/V", "kv", 1780),
        ("1.5 mΩ", "resistance", 1.5),
        ("1.5 m\u2126", "resistance", 1.5),
        ("1.5 mohm", "resistance", 1.5),
        ("0.0015 ohm", "resistance", 1.5),
        ("212 °F", "temperature", 100),
        ("-40 F", "temperature", -40),
        ("18 °F", "temperature_rise", 10),
        ("470 µF", "capacitance", 470),
        ("470 \u03bcF", "capacitance", 470),
        ("2.7 g/cm3", "density", 2700),
        ("1e3 mm", "length", 1000),
        ("  12  ", "mass", 12),
    ],
)
def test_reads_what_people_write(text, kind, stored):
    assert parse_quantity(text, kind) == pytest.approx(stored, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("nan", "mass"),
        ("inf", "mass"),
        ("-infinity", "mass"),
        ("1e400", "mass"),
        ("1e9999", "mass"),
        ("1e-400", "mass"),
        ("9" * 40, "mass"),
        ("9**9 mm", "length"),
        ("9**9**9", "length"),
        ("10 C", "current"),
        ("70 C", "current"),
        ("4S", "current"),
        ("30000 rpm", "mass"),
        ("3 Mm", "length"),
        ("3 Mohm", "resistance"),
        ("3 MV", "voltage"),
        ("50 00 mAh", "charge"),
        ("5 0000", "charge"),
        ("1,2,3", "mass"),
        ("1.234,5", "mass"),
        ("1,234.5", "mass"),
        ("5'000", "mass"),
        ("10-12 mm", "length"),
        ("1/0 in", "length"),
        ("1 5/4 in", "length"),
        ("1/2/3", "length"),
        ("1:75", "duration"),
        ("1:45", "mass"),
        ("10² mm", "length"),
        ("\u0663", "mass"),
        ("🚤", "mass"),
        ("12 🚤", "mass"),
        ("", "mass"),
        ("-", "mass"),
        ("g", "mass"),
        ("1\n2", "mass"),
        ("1\x002", "mass"),
    ],
)
def test_refuses_in_words_what_would_have_to_be_guessed(text, kind):
    with pytest.raises(UnreadableQuantity) as refused:
        parse_quantity(text, kind)
    message = str(refused.value)
    assert message.endswith((".", "?"))
    assert "Traceback" not in message and len(message) < 200


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("5,000", "5,000: five or five thousand? Write 5.0 or 5000."),
        ("5,000 mAh", "5,000: five or five thousand? Write 5.0 or 5000."),
        ("12,345", "12,345: 12.345 or 12345? Write 12.345 or 12345."),
        ("-1,780", "1,780: 1.78 or 1780? Write 1.78 or 1780."),
    ],
)
def test_a_comma_before_exactly_three_digits_is_asked_about(text, message):
    with pytest.raises(UnreadableQuantity) as refused:
        parse_quantity(text, "charge")
    assert str(refused.value) == message


def test_an_unknown_unit_is_answered_with_the_units_understood():
    with pytest.raises(UnreadableQuantity, match="“furlong” is not understood.* mm, cm, m, in"):
        parse_quantity("3 furlong", "length")


@pytest.mark.parametrize("length", [10_000, 3_000_000])
def test_a_text_far_too_long_is_refused_before_any_pattern_is_tried_on_it(length, monkeypatch):
    monkeypatch.setattr(reading, "_split", None)
    monkeypatch.setattr(reading, "_CLOCK", None)
    for text in ("9" * length, "1 " * (length // 2), "9**" * (length // 3), "🚤" * length):
        with pytest.raises(UnreadableQuantity, match="characters were written"):
            parse_quantity(text, "mass")


@settings(derandomize=True, max_examples=400, deadline=None)
@given(text=st.text(max_size=80), kind=st.sampled_from(sorted(KINDS)))
def test_any_text_is_read_or_refused_in_words(text, kind):
    try:
        value = parse_quantity(text, kind)
    except UnreadableQuantity:
        return
    assert abs(value) < float("inf")


def test_a_bare_number_is_in_the_unit_the_person_sees():
    assert parse_quantity("2", "length", "in") == 50.8
    assert parse_quantity("2 mm", "length", "in") == 2
    assert entry_text(50.8, "length", "in") == "2"
    assert entry_text(None, "length", "in") == ""


def test_a_plain_number_takes_no_unit():
    assert parse_number("1,5") == 1.5
    with pytest.raises(UnreadableQuantity, match="only a number"):
        parse_number("1.5 mm")


@pytest.mark.parametrize(
    ("value", "kind", "unit", "shown"),
    [
        (1780, "kv", None, "1\u202f780 rpm/V"),
        (999, "kv", None, "999 rpm/V"),
        (-1234.5, "mass", None, "\u22121\u202f234.5 g"),
        (-0.001, "mass", None, "0 g"),
        (742, "length", None, "742 mm"),
        (96, "speed", None, "96.0 km/h"),
        (1234567, "charge", None, "1\u202f234\u202f567 mAh"),
        (25.4, "length", "in", "1 in"),
        (20, "temperature", "°F", "68 °F"),
        (10, "temperature_rise", "°F", "18 °F"),
    ],
)
def test_shows_groups_of_three_and_a_true_minus(value, kind, unit, shown):
    assert str(show(value, kind, unit)) == shown


def test_display_units_are_chosen_by_kind_and_fall_back_to_metric():
    units = DisplayUnits({"length": "in", "mass": "stone", "nonsense": "x"})
    assert (units.unit("length"), units.unit("mass"), units.unit("speed")) == ("in", "g", "km/h")
    assert units.with_unit("speed", "kn").unit("speed") == "kn"
    assert units.unit("speed") == "km/h"
    assert DisplayUnits(dict(DisplayUnits.imperial())) == DisplayUnits.imperial() != DisplayUnits.metric()
    assert hash(DisplayUnits()) == hash(DisplayUnits.metric())


@pytest.mark.parametrize(
    ("name", "kind", "from_unit", "to_unit"),
    [
        ("kn_kmh", "speed", "kn", "km/h"),
        ("mph_kmh", "speed", "mph", "km/h"),
        ("kn_ms", "speed", "kn", "m/s"),
        ("kn_ms", "wind", "kn", "m/s"),
        ("kn_mph", "speed", "kn", "mph"),
    ],
    ids=lambda part: part if "_" not in part else f"{_origin('GPS-23')} {part}",
)
def test_speed_conversions_against_nist_sp_811(name, kind, from_unit, to_unit):
    expected = CHECKS["GPS-23"]["expected"][name]
    assert convert(1, kind, from_unit, to_unit) == pytest.approx(expected["value"], abs=1e-12)


def test_inches_in_a_nautical_mile_against_nist_sp_811():
    """PROP-10, own evaluation of the exact definitions: 1 knot for an hour, counted in inches."""
    expected = CHECKS["PROP-10"]["expected"]["in_per_NM"]
    metres = convert(1, "speed", "kn", "km/h") * 1000
    feet = convert(metres, "distance", "m", "ft")
    assert feet * 12 == pytest.approx(expected["value"], abs=expected["tolerance"]["value"])


@pytest.mark.parametrize(
    ("kind", "unit", "stored"),
    [
        ("mass", "lb", 453.59237),
        ("mass", "oz", 28.349523125),
        ("length", "in", 25.4),
        ("length", "ft", 304.8),
        ("distance", "mi", 1609.344),
        ("area", "in²", 645.16),
    ],
    ids=lambda part: f"from memory, NIST SP 811 app. B: {part}" if isinstance(part, str) else str(part),
)
def test_exact_definitions_of_customary_units(kind, unit, stored):
    assert convert(1, kind, unit, KINDS[kind].storage_unit) == stored


def test_the_units_library_is_not_loaded_for_stored_units():
    """A quarter of a second of start-up is spent only when another unit is asked for."""
    code = (
        "import sys; from garage.units import parse_quantity, show;"
        "parse_quantity('5 mm', 'length'); show(5, 'length'); sys.exit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], cwd=SHARED_DIR.parent).returncode == 0
