"""What must hold whatever the runs: order and units change nothing, parts add up, words follow the numbers."""

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garage.calc.effect.answer import answer
from garage.calc.effect.priors import DEFAULT_PRIORS, meanings, wide, with_changes
from garage.calc.effect.runs import EffectRun, Factor, PackUse, Question
from garage.calc.effect.verdict import Effect, odds, verdict
from tests.calc.effect.cases import EIGHT, QUESTION, TABS

SPEED = st.floats(20, 120)


@st.composite
def some_runs(draw):
    count = draw(st.integers(2, 14))
    runs = []
    for number in range(count):
        # The first two runs are one without and one with.
        fitted = float(number) if number < 2 else draw(st.sampled_from([0.0, 1.0]))
        cycle = draw(st.one_of(st.none(), st.integers(1, 12)))
        runs.append(
            EffectRun(
                key=str(number),
                outcome=draw(SPEED),
                outing=draw(st.sampled_from(["d1", "d2", "d3"])),
                packs=(PackUse(draw(st.sampled_from("ABC")), cycle),),
                prop=draw(st.sampled_from(["P1", "P2"])),
                factors={"tabs": fitted, "strut": draw(st.sampled_from([-1.0, 0.0, 0.5]))},
                how=draw(st.sampled_from(["log", "display", "eye"])),
                passes=draw(st.one_of(st.none(), st.integers(1, 9))),
                air_c=draw(st.one_of(st.none(), st.floats(0, 35))),
                wind_ms=draw(st.one_of(st.none(), st.floats(0, 10))),
                headwind_ms=draw(st.one_of(st.none(), st.floats(-8, 8))),
                rested_v_per_cell=draw(st.one_of(st.none(), st.floats(3.7, 4.2))),
                cells=draw(st.sampled_from([3.0, 4.0])),
            )
        )
    return runs


FACTORS = [TABS, Factor("strut", is_setting=True, step=0.5)]


@settings(max_examples=15, deadline=None)
@given(runs=some_runs(), seed=st.integers(0, 1000), factor=st.sampled_from([1 / 1.609344, 1 / 3.6, 100.0]))
def test_order_of_runs_and_factors_and_unit_of_speed_change_nothing(runs, seed, factor):
    given_answer = answer(runs, FACTORS, QUESTION)
    shuffled = random.Random(seed).sample(runs, len(runs))
    other = [replace(run, outcome=run.outcome * factor) for run in shuffled]
    again = answer(other, FACTORS[::-1], QUESTION)
    assert again.effect.ln == pytest.approx(given_answer.effect.ln, abs=1e-8)
    assert again.effect.interval_90 == pytest.approx(given_answer.effect.interval_90, abs=1e-8)
    assert again.wide.probability_gain == pytest.approx(given_answer.wide.probability_gain, abs=1e-8)
    assert again.seen.amount == pytest.approx(given_answer.seen.amount * factor, rel=1e-8, abs=1e-8)
    # Whether the sides were run in turn is a matter of the order.
    assert again.judgement.by_numbers == given_answer.judgement.by_numbers


@settings(max_examples=15, deadline=None)
@given(runs=some_runs())
def test_parts_add_up_and_budget_adds_up(runs):
    found = answer(runs, FACTORS, QUESTION)
    assert sum(part.amount for part in found.seen.parts) == pytest.approx(found.seen.amount, abs=1e-9)
    assert sum(part.ln for part in found.seen.parts) == pytest.approx(found.seen.ln, abs=1e-9)
    named = (
        sum(found.budget.shares().values())
        + (found.budget.run_noise + sum(term.variance for term in found.budget.terms if term.is_own))
        / found.budget.total
    )
    assert named == pytest.approx(1, abs=1e-9)
    assert all(tangle.sentence == tangle.sentence.strip() for tangle in found.tangled)


@settings(max_examples=10, deadline=None)
@given(runs=some_runs())
def test_wide_doubt_is_never_narrower_in_its_priors(runs):
    for name in meanings():
        assert getattr(wide(DEFAULT_PRIORS), name).sd >= getattr(DEFAULT_PRIORS, name).sd
    found = answer(runs, FACTORS, QUESTION)
    assert found.effect.interval_90[0] < found.effect.ln < found.effect.interval_90[1]
    assert 0 <= found.effect.probability_gain <= 1


def _effect(chance: float, interval=(-0.05, 0.05)) -> Effect:
    return Effect(0.0, 0.01, interval, chance, 0.0, 0.0)


@pytest.mark.parametrize(
    ("default", "wider", "expected"),
    [
        (0.975, 0.95, "gain"),
        (0.975, 0.949, "probably a gain"),
        (0.974, 0.99, "cannot tell yet"),
        (0.025, 0.05, "loss"),
        (0.025, 0.051, "probably a loss"),
        (0.5, 0.5, "cannot tell yet"),
    ],
)
def test_verdicts_at_their_limits(default, wider, expected):
    assert verdict(_effect(default), _effect(wider)) == expected


def test_no_real_difference_needs_the_whole_interval_within_what_matters():
    narrow = _effect(0.6, (-0.008, 0.009))
    assert verdict(narrow, narrow) == "no real difference"
    assert verdict(narrow, narrow, smallest_percent=0.85) == "cannot tell yet"


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.8, "about 4 in 5 that it is faster"),
        (0.2, "about 4 in 5 that it is slower"),
        (0.5, "about 1 in 2 that it is faster"),
        (0.9678, "about 97 in 100 that it is faster"),
        (0.9999, "more than 99 in 100 that it is faster"),
    ],
)
def test_odds_in_words(chance, words):
    assert odds(chance) == words


def test_one_run_in_each_state_cannot_tell():
    assert answer([EIGHT[0], EIGHT[-1]], [TABS], QUESTION).verdict == "cannot tell yet"


def test_a_factor_that_always_goes_with_the_change_is_named_and_nothing_is_claimed():
    runs = [replace(run, factors=run.factors | {"fin": run.factors["tabs"]}) for run in EIGHT]
    found = answer(runs, [TABS, Factor("fin")], QUESTION)
    assert [alias.causes for alias in found.aliases] == [("fin",)] and found.aliases[0].is_exact
    assert found.verdict == "cannot tell yet"
    alone = answer(EIGHT, [TABS], QUESTION)
    assert found.effect.ln_sd > alone.effect.ln_sd * 1.5


def test_two_factors_that_together_make_up_the_change_are_found():
    """NIST/SEMATECH e-Handbook 5.3.3.4.3 (STAT-21): in a half fraction a main effect equals others together."""
    runs = [
        EffectRun(str(n), 50.0 + n % 2, "d1", factors={"tabs": float(a or b), "fin": float(a), "pad": float(b)})
        for n, (a, b) in enumerate([(0, 0), (1, 0), (0, 1)] * 4)
    ]
    found = answer(runs, [TABS, Factor("fin"), Factor("pad")], QUESTION)
    assert [sorted(alias.causes) for alias in found.aliases if alias.is_exact] == [["fin", "pad"]]


def test_a_setting_with_three_levels_may_bend_and_with_two_may_not():
    def runs(levels):
        return [
            EffectRun(str(n), 50 + n % 3, f"d{n % 2}", factors={"strut": level}) for n, level in enumerate(levels * 3)
        ]

    question = Question("setting", "strut")
    bent = answer(runs([-1.0, 0.0, 1.0]), [Factor("strut", True)], question)
    straight = answer(runs([-1.0, 1.0]), [Factor("strut", True)], question)
    assert "strut²" in bent.design.index() and "strut²" not in straight.design.index()
    assert straight.range_effect.ln == pytest.approx(2 * straight.effect.ln)


def test_the_best_of_more_passes_is_not_taken_for_speed():
    """Without any effect, a side that is the best of six passes reads 1.5 % high: the correction takes that off."""
    runs = [
        EffectRun(
            str(n), 50.0 * (1 + 0.012 * 1.2672 * (n % 2)), "d1", factors={"tabs": float(n % 2)}, passes=1 + 5 * (n % 2)
        )
        for n in range(8)
    ]
    assert answer(runs, [TABS], QUESTION).effect.ln == pytest.approx(0, abs=5e-4)
    assert answer([replace(run, passes=None) for run in runs], [TABS], QUESTION).effect.ln > 0.01


def test_a_prop_is_held_against_the_others():
    runs = [
        EffectRun(str(n), 50.0 * (1.05 if n % 2 else 1), f"d{n // 4}", prop="P2" if n % 2 else "P1") for n in range(12)
    ]
    found = answer(runs, [], Question("prop", "P2", against=("P1",)))
    assert found.effect.ln == pytest.approx(0.0488, abs=0.004) and found.verdict == "gain"


def test_two_build_states_are_compared_as_a_bundle():
    runs = [
        EffectRun(
            str(n), 50.0 * (1.05 if n % 2 else 1), f"d{n // 4}", factors={"tabs": float(n % 2), "fin": float(n % 2)}
        )
        for n in range(12)
    ]
    bundle = Question("states", "state 2", before={"tabs": 0, "fin": 0}, after={"tabs": 1, "fin": 1})
    found = answer(runs, [TABS, Factor("fin")], bundle)
    assert found.verdict == "gain" and found.effect.ln == pytest.approx(0.0488, abs=0.004)


def test_assumptions_can_be_changed_and_slips_are_told():
    changed = with_changes(DEFAULT_PRIORS, {"break_in": (0.05, 0.01)})
    assert changed.break_in.mean == 0.05 and changed.pack == DEFAULT_PRIORS.pack
    with pytest.raises(ValueError, match="no assumption"):
        with_changes(DEFAULT_PRIORS, {"luck": (0, 1)})
    with pytest.raises(ValueError, match="above 0"):
        with_changes(DEFAULT_PRIORS, {"air": (0, 0)})


@pytest.mark.parametrize(
    ("young_with", "young_without", "looks", "hides"),
    [(3, 4, False, False), (4, 3, False, False), (0, 20, True, False), (20, 0, False, True), (8, 8, False, False)],
)
def test_only_packs_plainly_younger_on_one_side_are_said_to_look_like_the_change(
    young_with, young_without, looks, hides
):
    """Of twenty runs a side so many are on a pack's first discharges."""
    sides = [(side, place < young) for side, young in ((1.0, young_with), (0.0, young_without)) for place in range(20)]
    runs = [
        EffectRun(str(n), 50.0 + n % 3, f"d{n // 4}", (PackUse(*(("A", 1 + n % 4) if young else ("B",))),),
                  factors={"fin": side})
        for n, (side, young) in enumerate(sides)
    ]  # fmt: skip
    said = {each.cause: each.brief for each in answer(runs, [Factor("fin")], Question("change", "fin")).tangled}
    assert ("looks like" in said["break-in"], "hides a part" in said["break-in"]) == (looks, hides)
