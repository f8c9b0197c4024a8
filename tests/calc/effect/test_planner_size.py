"""A plan stays within memory however much could be changed."""

from garage.calc.effect.planning.plans import MOST_CANDIDATES, Available, candidates


def test_a_hull_with_a_dozen_removable_things_keeps_the_question_open_and_the_plan_small():
    factors = {f"m{number}": (0.0, 1.0) for number in range(12)}
    found = candidates(Available(factors=factors, props=("P1", "P2"), packs={"A": None, "B": 3}))
    assert len(found) <= MOST_CANDIDATES
    assert {planned.factors["m0"] for planned in found} == {0.0, 1.0}
    assert {planned.factors["m11"] for planned in found} == {1.0}


def test_few_candidates_are_all_kept():
    found = candidates(Available(factors={"tabs": (0.0, 1.0)}, props=("P1",), packs={"A": None, "B": 3}))
    assert len(found) == 4


def test_very_many_packs_and_props_are_cut_off():
    packs = {f"K{number}": None for number in range(100)}
    available = Available({"tabs": (0.0, 1.0)}, tuple(f"P{number}" for number in range(50)), packs)
    assert len(candidates(available)) == MOST_CANDIDATES
