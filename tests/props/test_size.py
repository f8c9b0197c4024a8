"""Written sizes: each usual way is understood, and whatever could mean two things is asked about."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.props.size import MM_PER_INCH, UnclearSize, read_size


@pytest.mark.parametrize(
    ("written", "diameter_mm", "pitch_mm"),
    [
        # trade pages, read in excerpts: "40 x 52" is millimetres, 1.3; "1.34 x 2.06" inches are 34 x 52 mm
        ("40 x 52", 40, 52),
        ("1.34 x 2.06", 34.036, 52.324),
        # trade forum, read in excerpts: "x455" is 55 mm, ratio 1.4; "642" from memory: 42 mm, 1.6
        ("x455", 55, 77),
        ("X 455", 55, 77),
        ("642", 42, 67.2),
        ("40 x 1.4", 40, 56),
        ("40×1,4", 40, 56),
        ("40/1.4", 40, 56),
        ("40 mm / 1,4", 40, 56),
        ("42 mm x 58 mm", 42, 58),
        ("42 x 58 mm", 42, 58),
        ("4.2 cm x 5.8 cm", 42, 58),
        ("1 5/8 in x 2 1/4 in", 41.275, 57.15),
        ("1 5/8 x 2 1/4", 41.275, 57.15),
        ("1,34 x 2,06", 34.036, 52.324),
        ("1.5 in x ratio 1.4", 38.1, 53.34),
        ('1.5" x 2.1"', 38.1, 53.34),
        ("42 by 58", 42, 58),
        # four figures on a lifting prop, from memory: ratio in tenths, then millimetres
        ("1447", 47, 65.8),
    ],
)
def test_usual_ways_are_understood(written, diameter_mm, pitch_mm):
    reading = read_size(written)
    assert (reading.diameter_mm, reading.pitch_mm) == pytest.approx((diameter_mm, pitch_mm))


def test_a_cut_down_55_mm_prop_of_ratio_1_4_has_a_pitch_of_77_mm():
    """55 x 1.4 = 77 mm; cut to 52 mm it is 1.48 (worked out in the trade's own way)."""
    assert read_size("x455").pitch_mm / 52 == pytest.approx(1.48, abs=0.005)


@pytest.mark.parametrize("written", ["42x55x2", "42 × 55 × 2", "42 x 55 x 2 blades", "42 mm x 55 mm x 2"])
def test_a_third_figure_is_the_number_of_blades(written):
    """Diameter by pitch by blades, as the trade writes it; common practice, no source."""
    reading = read_size(written)
    assert (reading.diameter_mm, reading.pitch_mm, reading.blades) == (42, 55, 2)
    assert reading.words.endswith("2 blades") and read_size("42 x 55").blades is None


def test_four_figures_say_that_it_is_a_lifting_prop_and_three_do_not():
    assert read_size("1447").lifting == "lifting"
    assert read_size("642").lifting == ""


@pytest.mark.parametrize(
    "written",
    [
        "", " ", "42", "42 mm", "42 x 58 x 9", "42 x 58 x 2 x 2", "-42 x 58", "42 x -58", "0 x 0", "8 x 8", "40 x 5",
        "42 x 580",
        "2222", "5842", "055", "x1447", "abcd455", "1.5 in x 2", "40 x 1.4 mm", "42 x 58 kg",
        "5,000 x 7,000", "1e9 x 1e9", "nan x nan", "inf x inf", "🚤", "🚤 x 🚤", "x", "x x x", "9**9 x 2",
        "x" * 10_000, "42 x 58\x00", "٤٢ x ٥٨",
    ],
)  # fmt: skip
def test_what_is_unclear_is_asked_about(written):
    with pytest.raises(UnclearSize) as question:
        read_size(written)
    assert str(question.value)


@given(st.text(max_size=80))
def test_any_text_is_read_or_asked_about(written):
    try:
        reading = read_size(written)
    except UnclearSize:
        return
    assert 5 <= reading.diameter_mm <= 300 and 0.8 <= reading.ratio <= 2.5


@given(st.floats(15, 100).map(lambda mm: round(mm, 1)), st.floats(1.0, 2.0).map(lambda ratio: round(ratio, 2)))
def test_millimetres_and_inches_of_one_prop_read_alike(diameter_mm, ratio):
    pitch_mm = round(diameter_mm * ratio, 1)
    in_mm = read_size(f"{diameter_mm} mm x {pitch_mm} mm")
    in_inches = read_size(f"{diameter_mm / MM_PER_INCH:.6f} in x {pitch_mm / MM_PER_INCH:.6f} in")
    assert in_inches.diameter_mm == pytest.approx(in_mm.diameter_mm, abs=1e-3)
    assert in_inches.pitch_mm == pytest.approx(in_mm.pitch_mm, abs=1e-3)


@given(st.integers(1, 9), st.integers(15, 99))
def test_a_number_code_means_what_diameter_and_ratio_mean(first, diameter):
    by_code, by_ratio = read_size(f"{first}{diameter}"), read_size(f"{diameter} x {1 + first / 10}")
    assert (by_code.diameter_mm, by_code.pitch_mm) == pytest.approx((by_ratio.diameter_mm, by_ratio.pitch_mm))
