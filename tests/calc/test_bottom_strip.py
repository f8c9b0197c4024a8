"""Strips on a V bottom: plane geometry, by a second way of reckoning it."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc.bottom_strip import bottom_strip

_DEADRISE = st.floats(min_value=0, max_value=40)
_FACE = st.floats(min_value=-30, max_value=45)
_MM = st.floats(min_value=1, max_value=100)


def _polygon_area(points):
    turned = zip(points, points[1:] + points[:1], strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in turned)) / 2


@given(_DEADRISE, _FACE, _MM, _MM)
def test_area_is_that_of_the_corners(deadrise, face, width, length):
    made = bottom_strip(deadrise, width, face, length, 1)
    rise = width * math.tan(math.radians(deadrise))
    corners = [(0, 0), (width, rise), (width, rise - made.outer_height_mm), (0, -made.inner_height_mm)]
    assert made.section_area_mm2 == pytest.approx(_polygon_area(corners), rel=1e-6, abs=1e-6)
    assert made.volume_mm3 == pytest.approx(made.section_area_mm2 * length)


@given(_DEADRISE, _FACE, _MM)
def test_the_face_lies_at_the_angle_asked_for(deadrise, face, width):
    made = bottom_strip(deadrise, width, face, 100)
    rise = width * math.tan(math.radians(deadrise)) - made.outer_height_mm + made.inner_height_mm
    assert math.degrees(math.atan2(rise, width)) == pytest.approx(face, abs=1e-6)


@given(_DEADRISE, _MM)
def test_a_face_along_the_bottom_is_no_strip(deadrise, width):
    made = bottom_strip(deadrise, width, deadrise, 100)
    assert made.inner_height_mm == made.outer_height_mm == made.section_area_mm2 == 0
    assert made.face_area_mm2 == pytest.approx(made.back_width_mm * 100 * 2)


@given(st.floats(min_value=1, max_value=35), _MM)
def test_more_deadrise_makes_a_level_pad_higher_outside(deadrise, width):
    assert (
        bottom_strip(deadrise + 1, width, 0, 100).outer_height_mm
        > bottom_strip(deadrise, width, 0, 100).outer_height_mm
    )


@given(_DEADRISE, _MM, st.integers(min_value=1, max_value=6))
def test_strips_add_up(deadrise, width, count):
    one, many = bottom_strip(deadrise, width, 0, 100, 1), bottom_strip(deadrise, width, 0, 100, count)
    assert many.volume_mm3 == pytest.approx(count * one.volume_mm3)
    assert many.face_area_mm2 == pytest.approx(count * one.face_area_mm2)
    assert many.section_area_mm2 == one.section_area_mm2


def test_a_steeper_face_is_thick_at_the_keel():
    made = bottom_strip(10, 10, 20, 100)
    assert made.inner_height_mm > 0 and made.outer_height_mm == 0


@pytest.mark.parametrize("given_", [(60, 10, 0, 100), (-1, 10, 0, 100), (20, 0, 0, 100), (20, 10, 60, 100)])
def test_what_cannot_be_is_refused(given_):
    with pytest.raises(ValueError, match="must"):
        bottom_strip(*given_)
