"""No published figure is left aside in silence."""

import pytest

from garage.bench.catalog import CALCULATORS as BENCH
from tests.published import CHECKS
from tests.published_entries import BELONGS_TO_NONE, CALCULATORS, held, reason

_FIGURES = [(check, figure) for check, entry in CHECKS.items() for figure in entry["expected"]]


@pytest.mark.parametrize(("check", "figure"), _FIGURES, ids=lambda part: part)
def test_a_published_figure_is_held_to_its_tolerance_or_there_is_a_reason_why_not(check, figure):
    assert held().get((check, figure)) or reason(check, figure)


@pytest.mark.parametrize("check", CHECKS)
def test_an_entry_belongs_to_a_calculator_or_to_none(check):
    assert (check in CALCULATORS) != (check in BELONGS_TO_NONE)


def test_every_reason_is_of_a_figure_that_is_there():
    figures = {f"{check}: {figure}" for check, figure in _FIGURES}
    assert set(BELONGS_TO_NONE) <= set(CHECKS) | figures
    assert not [key for key in BELONGS_TO_NONE if tuple(key.split(": ")) in held()]


def test_every_entry_has_its_source_and_says_how_far_it_can_be_trusted():
    for check, entry in CHECKS.items():
        assert entry["source"]["title"] and entry["expected_origin"], check


def test_calculators_that_entries_belong_to_are_on_the_bench():
    named = {name for names in CALCULATORS.values() for name in names.split(", ")}
    assert named - set(BENCH) == {"use of a pack"}
