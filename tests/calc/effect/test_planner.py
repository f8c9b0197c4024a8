"""Which runs to make next: the fixture to its printed digits, and what any plan must keep to."""

from collections import Counter
from dataclasses import replace
from itertools import combinations_with_replacement
from math import sqrt

import pytest

from garage.calc.effect.answer import CANNOT_SETTLE, answer, next_runs
from garage.calc.effect.availability import available_from
from garage.calc.effect.design import design
from garage.calc.effect.planning.planner import best_plan, outings_needed, sd_after, smallest_found_percent
from garage.calc.effect.planning.plans import Available, Planned, as_run, candidates, counted_on, least_minutes
from garage.calc.effect.planning.search import best_of_all, search
from garage.calc.effect.point import at_point
from garage.calc.effect.priors import DEFAULT_PRIORS
from garage.calc.effect.runs import EffectRun, Factor, PackUse, Question
from tests.calc.effect.cases import EIGHT, GLUED, QUESTION, REMOVABLE, TABS, TWELVE

SIGMA, TAU = 0.010652, 0.012337
MADE = design(EIGHT, [TABS], QUESTION, DEFAULT_PRIORS)


def _after(*runs: tuple[int, str, int | None]) -> float:
    planned = [Planned({"tabs": float(tabs)}, "P1", pack, discharge) for tabs, pack, discharge in runs]
    return sd_after(MADE, DEFAULT_PRIORS, SIGMA, TAU, [planned], REMOVABLE)


OLD, WITH, WITHOUT = ("old", None), 1, 0


@pytest.mark.parametrize(
    ("runs", "expected"),
    [
        ([(WITH, *OLD), (WITHOUT, *OLD), (WITHOUT, "new", 8), (WITH, "new", 9)], 0.008972),
        ([(WITH, *OLD), (WITH, *OLD), (WITHOUT, *OLD), (WITHOUT, *OLD)], 0.009000),
        ([(WITHOUT, "new", 8), (WITH, "new", 9), (WITH, "new", 10), (WITHOUT, "new", 11)], 0.009096),
        ([(WITHOUT, *OLD)] * 4, 0.017131),
        ([(WITH, *OLD)] * 3 + [(WITH, "new", 8)], 0.014181),
        ([(WITH, *OLD)] * 4, 0.014198),
        ([(WITH, "new", 8), (WITH, "new", 9), (WITH, "new", 10), (WITH, "new", 11)], 0.015528),
    ],
)
def test_what_a_batch_of_runs_would_do(runs, expected):
    """Own evaluation of the stated model, done once outside this program."""
    assert _after(*runs) == pytest.approx(expected, abs=1.2e-6)


def test_where_the_answer_stands_now():
    point = at_point(MADE.model(DEFAULT_PRIORS), SIGMA, TAU)
    assert sqrt(point.variance(MADE.contrast)) == pytest.approx(0.017407, abs=5e-7)


def test_removable_tabs_are_best_run_with_and_without_on_both_packs():
    plan = best_plan(MADE, DEFAULT_PRIORS, SIGMA, TAU, REMOVABLE, 4)
    assert {(run.factors["tabs"], run.pack) for run in plan.runs} == {(0, "old"), (0, "new"), (1, "old"), (1, "new")}
    assert plan.sd_after == pytest.approx(0.008972, abs=1.2e-6)
    assert [run.factors["tabs"] for run in plan.runs] in ([0, 1, 1, 0], [1, 0, 0, 1])
    assert [run.discharge for run in plan.runs if run.pack == "new"] == [8, 9]


def test_glued_tabs_are_best_run_thrice_on_the_old_pack_and_cannot_be_settled():
    plan = best_plan(MADE, DEFAULT_PRIORS, SIGMA, TAU, GLUED, 4)
    assert sorted(run.pack for run in plan.runs) == ["new", "old", "old", "old"]
    assert plan.sd_after == pytest.approx(0.014181, abs=1.2e-6)
    assert outings_needed(MADE, DEFAULT_PRIORS, SIGMA, TAU, plan, GLUED, 0.015) is None
    eight_days = sd_after(MADE, DEFAULT_PRIORS, SIGMA, TAU, [plan.runs] * 8, GLUED)
    assert 100 * 1.645 * eight_days == pytest.approx(2.0, abs=0.1)


def test_one_outing_with_removable_tabs_settles_it():
    plan = best_plan(MADE, DEFAULT_PRIORS, SIGMA, TAU, REMOVABLE, 4)
    assert outings_needed(MADE, DEFAULT_PRIORS, SIGMA, TAU, plan, REMOVABLE, 0.015) == 1


def test_runs_that_settle_nothing_are_not_proposed():
    given = answer(EIGHT, [TABS], QUESTION)
    without = Available({"tabs": (0.0,)}, ("P1",), {"old": None}, air_c=19, wind_ms=2.0)
    following = next_runs(given, without)
    assert (following.plan, following.reason, following.outings_needed) == (None, CANNOT_SETTLE, None)


def test_a_settled_question_asks_for_no_more_runs():
    following = next_runs(answer(TWELVE, [TABS], QUESTION), REMOVABLE)
    assert following.plan is None and following.outings_needed == 0


def test_one_by_one_is_nearly_as_good_as_trying_everything(monkeypatch):
    best = best_plan(MADE, DEFAULT_PRIORS, SIGMA, TAU, REMOVABLE, 4)
    monkeypatch.setattr("garage.calc.effect.planning.planner.EXHAUSTIVE_UP_TO", 0)
    greedy = best_plan(MADE, DEFAULT_PRIORS, SIGMA, TAU, REMOVABLE, 4)
    assert greedy.sd_after <= best.sd_after * 1.02


@pytest.mark.parametrize("count", range(1, 9))
def test_every_number_of_runs_is_planned_and_more_runs_narrow_more(count):
    plan = best_plan(MADE, DEFAULT_PRIORS, SIGMA, TAU, REMOVABLE, count)
    assert len(plan.runs) == count and plan.sd_after < plan.sd_now
    if count > 1:
        assert plan.sd_after < best_plan(MADE, DEFAULT_PRIORS, SIGMA, TAU, REMOVABLE, count - 1).sd_after


@pytest.mark.parametrize("count", [4, 6, 8])
def test_the_order_resists_drift(count):
    """Through the day, runs with and without come as early as late on average."""
    runs = best_plan(MADE, DEFAULT_PRIORS, SIGMA, TAU, REMOVABLE, count).runs
    middle = (count - 1) / 2
    drift = sum((place - middle) * run.factors["tabs"] for place, run in enumerate(runs))
    assert abs(drift) <= 1


def test_a_plan_for_a_pack_breaking_in_counts_its_discharges_on():
    runs = [
        EffectRun(str(n), 50 + n % 3, f"d{n // 2}", (PackUse("A", n + 1),), factors={"fin": float(n > 2)})
        for n in range(6)
    ]
    made = design(runs, [Factor("fin")], Question("change", "fin"), DEFAULT_PRIORS)
    plan = best_plan(made, DEFAULT_PRIORS, SIGMA, TAU, Available({"fin": (0.0, 1.0)}, ("",), {"A": 7}), 3)
    assert [run.discharge for run in plan.runs] == [7, 8, 9]


def test_a_planned_run_has_the_cells_of_its_pack():
    """A pack of four cells among packs of three is not planned as if it had three."""
    runs = [
        EffectRun(str(n), 50 + 10 * (n % 2), f"d{n // 2}", (PackUse("ABCD"[n % 4]),), factors={"fin": float(n > 3)},
                  cells=3.0 + n % 2)
        for n in range(8)
    ]  # fmt: skip
    fin = Factor("fin")
    there = available_from("pack=A,B", runs, [fin])
    assert there.cells == {"A": 3, "B": 4, "C": 3, "D": 4}
    made = design(runs, [fin], Question("change", "fin"), DEFAULT_PRIORS)
    told = as_run(Planned({"fin": 1.0}, "", "B"), there, "new")
    assert told.cells == 4
    day = [Planned({"fin": 1.0}, "", "B"), Planned({"fin": 0.0}, "", "A")]
    known, unknown = (
        sd_after(made, DEFAULT_PRIORS, SIGMA, TAU, [day], each) for each in (there, replace(there, cells={}))
    )
    assert known != pytest.approx(unknown, rel=1e-3)


def test_a_plan_uses_no_pack_more_often_than_it_may_and_says_so_by_being_shorter():
    for count in range(1, 9):
        once = best_plan(MADE, DEFAULT_PRIORS, SIGMA, TAU, replace(REMOVABLE, most_uses=1), count)
        assert sorted(run.pack for run in once.runs) == ["new", "old"][: len(once.runs)] or len(once.runs) == 1
        assert len(once.runs) == min(count, 2)
        twice = best_plan(MADE, DEFAULT_PRIORS, SIGMA, TAU, replace(REMOVABLE, most_uses=2), count)
        assert max(Counter(run.pack for run in twice.runs).values()) <= 2 and len(twice.runs) == min(count, 4)


def test_no_pack_runs_twice_in_a_row_where_that_can_be_had():
    runs = best_plan(MADE, DEFAULT_PRIORS, SIGMA, TAU, REMOVABLE, 4).runs
    assert all(first.pack != second.pack for first, second in zip(runs, runs[1:], strict=False))


def test_factors_that_change_together_are_never_mixed():
    both = replace(
        REMOVABLE, factors={"tabs": (0.0, 1.0), "fin": (0.0, 1.0)},
        states=({"tabs": 0.0, "fin": 1.0}, {"tabs": 1.0, "fin": 0.0}),
    )  # fmt: skip
    assert {(each.factors["tabs"], each.factors["fin"]) for each in candidates(both)} == {(0, 1), (1, 0)}
    assert len(candidates(both)) == 4


@pytest.mark.parametrize(
    ("runs_a_side", "expected"), [(2, (2.8, 4.8, 7.0)), (4, (2.0, 3.4, 4.9)), (8, (1.4, 2.4, 3.5))]
)
def test_what_alternating_runs_find(runs_a_side, expected):
    """2.8 is 1.96 + 0.84, the normal quantiles: its square is NIST's 7.85 for two sides, 80 % (STAT-19)."""
    found = [smallest_found_percent(sigma, runs_a_side) for sigma in (0.010, 0.017, 0.025)]
    assert found == pytest.approx(expected, abs=0.051)
    with pytest.raises(ValueError):
        smallest_found_percent(0.01, 0)


def test_an_hour_more_at_the_water_is_worth_a_hundredth_of_the_width():
    """Of all choices of three runs, tried one by one: the narrowest once each width is 1 % greater an hour."""
    possible = candidates(REMOVABLE)
    setting = search(MADE, DEFAULT_PRIORS, (SIGMA, TAU), REMOVABLE, possible, 3)

    def cost(choice: tuple[int, ...], an_hour: float) -> float:
        runs = [possible[each] for each in choice]
        hours = least_minutes(runs) / 60
        return sd_after(MADE, DEFAULT_PRIORS, SIGMA, TAU, [counted_on(runs, REMOVABLE, {})], REMOVABLE) * (
            1 + an_hour * hours
        )

    threes = list(combinations_with_replacement(range(len(possible)), 3))
    assert best_of_all(setting, 3) == min(threes, key=lambda three: cost(three, 0.01))
    assert min(threes, key=lambda three: cost(three, 0.01)) != min(threes, key=lambda three: cost(three, 36))
