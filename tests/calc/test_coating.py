"""Coatings: a published thickness by mass balance, and two ways to the same mass."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc import coating

_AREA = st.floats(min_value=10, max_value=20000)
_FILM = st.floats(min_value=5, max_value=500)


def test_a_square_metre_of_a_tenth_of_a_millimetre_is_a_tenth_of_a_litre():
    assert coating.film_volume_ml(10000, 1, 100) == pytest.approx(100)
    assert coating.mass_g(100, 1200) == pytest.approx(120)


@given(_AREA, st.integers(min_value=1, max_value=10), _FILM)
def test_film_and_spread_rate_agree_where_nothing_evaporates(area, coats, film):
    by_film = coating.film_volume_ml(area, coats, film)
    assert coating.spread_volume_ml(area, coats, 1000 / film) == pytest.approx(by_film)


@given(_AREA, st.integers(min_value=1, max_value=10), _FILM)
def test_coats_add_up(area, coats, film):
    one = coating.film_volume_ml(area, 1, film)
    assert coating.film_volume_ml(area, coats, film) == pytest.approx(coats * one)


def test_what_evaporates_does_not_stay():
    assert coating.mass_g(50, 1000, 0.4) == pytest.approx(20)
