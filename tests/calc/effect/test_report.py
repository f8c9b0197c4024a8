"""What was seen, and of that the largest other cause, in one sentence."""

from dataclasses import replace

import pytest

from garage.calc.effect.answer import answer
from garage.calc.effect.parts import UNEXPLAINED
from garage.calc.effect.priors import DEFAULT_PRIORS
from garage.calc.effect.report import seen_sentence
from tests.calc.effect.cases import EIGHT, QUESTION, TABS

GIVEN = answer(EIGHT, [TABS], QUESTION, DEFAULT_PRIORS)


def _with_parts(*parts: tuple[str, float]):
    """The same answer with other amounts of some causes."""
    of_cause = dict(parts)
    kept = [replace(part, amount=of_cause.get(part.cause, 0.0)) for part in GIVEN.seen.parts]
    return replace(GIVEN, seen=replace(GIVEN.seen, parts=tuple(kept)))


def test_a_pack_breaking_in_is_told_with_its_discharges_on_both_sides():
    """The fixture: the new pack ran without tabs on its first four discharges, with them on the next three."""
    assert seen_sentence(GIVEN) == (
        "You saw +2.8 km/h with it, compared with the runs without it. About +0.7 of that is pack new breaking in: "
        "on discharges 1 to 4 without it, on discharges 5 to 7 with it."
    )


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ([("air", -0.3), ("wind", 0.2)], " About -0.3 of that is the air."),
        ([("air", 0.1), ("wind", 0.2)], " About +0.2 of that is the wind."), ([("wind", 0.049)], ""),
        ([("wind", 0.05)], " About +0.1 of that is the wind."), ([("pack", 0.4)], " About +0.4 of that is the pack."),
        ([(UNEXPLAINED, 2.0), ("tabs", 2.0)], ""),
    ],
)  # fmt: skip
def test_the_largest_other_cause_is_told_if_it_is_worth_a_sentence(parts, words):
    assert (
        seen_sentence(_with_parts(*parts), "mph")
        == f"You saw +2.8 mph with it, compared with the runs without it.{words}"
    )
