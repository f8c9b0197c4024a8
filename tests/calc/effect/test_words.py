"""What an answer says in words: each form of each sentence, and the figures between which it changes."""

from dataclasses import replace

import pytest

from garage.calc.effect.answer import Answer, Next, RunWeight, Tangle, answer
from garage.calc.effect.design import design
from garage.calc.effect.judgement import Judgement
from garage.calc.effect.parts import Part
from garage.calc.effect.planning.plans import Plan, Planned
from garage.calc.effect.priors import DEFAULT_PRIORS
from garage.calc.effect.report import (
    as_lines,
    as_planned,
    effect_sentence,
    is_as_planned,
    next_lines,
    planned_factors,
    planned_words,
    seen_sentence,
    verdict_sentence,
)
from garage.calc.effect.runs import EffectRun, Factor, PackUse, Question
from garage.calc.effect.sentences import alias_sentence, listed, sentence, side_words
from garage.calc.effect.tangled import Alias, Budget, Term
from garage.calc.effect.verdict import Effect, odds, verdict
from tests.calc.effect.cases import EIGHT, QUESTION, TABS

FIN = Question("change", "fin")


def _run(number: int, side: float, **facts) -> EffectRun:
    own = facts.pop("factors", {})
    return EffectRun(str(number), 60.0, facts.pop("outing", "d1"), factors={"fin": side, **own}, **facts)


def _said(cause: str, having: list[dict], lacking: list[dict], question: Question = FIN, terms=()) -> str:
    """A cause's sentence where the runs with and without are of these facts."""
    runs = [_run(n, 1.0, **facts) for n, facts in enumerate(having)]
    runs += [_run(n, 0.0, **facts) for n, facts in enumerate(lacking, len(runs))]
    others = sorted({name for run in runs for name in run.factors} - {"fin"})
    made = design(runs, [Factor("fin"), *(Factor(name) for name in others)], question, DEFAULT_PRIORS)
    return sentence(cause, made, Budget(tuple(terms), 0, 0, 1))


def _on(*days: str) -> list[dict]:
    return [{"outing": day} for day in days]


@pytest.mark.parametrize(
    ("having", "lacking", "words"),
    [
        ("a", "a", ""), ("ab", "ba", "Every day has runs both with it and without it."),
        ("a", "b", "No day has runs both with it and without it: with it on a; without it on b."),
        ("aab", "acb", "Of 3 days, 2 days have runs both with it and without it."),
        ("ab", "ac", "Of 3 days, 1 day has runs both with it and without it."),
    ],
)  # fmt: skip
def test_how_the_days_lay(having, lacking, words):
    assert _said("day", _on(*having), _on(*lacking)) == words


def _packs(*discharges: int | None) -> list[dict]:
    return [{"packs": (PackUse("A", discharge),)} for discharge in discharges]


@pytest.mark.parametrize(
    ("having", "lacking", "words"),
    [
        ((4,), (5,), "Not the one run without it were on a pack's first 4 discharges, and so was the one with it: a "
                     "pack not yet broken in hides a part of it."),
        ((None,), (1,), "The one run without it were on a pack's first 4 discharges, not the one with it: the pack "
                        "getting better looks like the change doing better."),
        ((1, 9), (4, 9), "1 of the 2 runs without it were on a pack's first 4 discharges, 1 of the 2 with it."),
        ((9, 9), (9, 9, 1), "1 of the 3 runs without it were on a pack's first 4 discharges, none of the 2 with it: "
                            "the pack getting better looks like the change doing better."),
        ((2, 9), (9, 9), "None of the 2 runs without it were on a pack's first 4 discharges, 1 of the 2 with it: a "
                         "pack not yet broken in hides a part of it."),
    ],
)  # fmt: skip
def test_how_young_packs_lay(having, lacking, words):
    assert _said("break-in", _packs(*having), _packs(*lacking)) == words


def test_how_props_and_packs_lay():
    having, lacking = [{"prop": name} for name in ("P1", "P2", "P2")], [{"prop": name} for name in ("P3", "")]
    assert (
        _said("prop", having, lacking)
        == "Props with it: P2 (2) and P1 (1); without it: P3 (1) and not written down (1)."
    )
    both = [{"packs": (PackUse("A"), PackUse("B"))}]
    assert _said("pack", both, [{}]) == "Packs with it: A (1) and B (1); without it: not written down (1)."


@pytest.mark.parametrize(
    ("cause", "field", "high", "low", "unit", "more"),
    [
        ("air", "air_c", "in warmer air", "in colder air", "K", "warmer air"),
        ("wind", "wind_ms", "windier", "calmer", "m/s", "more wind"),
        ("head wind", "headwind_ms", "more against the wind", "less against the wind", "m/s", "more head wind"),
        ("pack temperature at the start", "pack_start_c", "on a warmer pack", "on a colder pack", "K", "warmer packs"),
        ("rested volts", "rested_v_per_cell", "on fuller packs", "on emptier packs", "V per cell",
         "higher rested voltage"),
        ("cells in series", "cells", "on more cells", "on fewer cells", "S", "more cells"),
        ("surface of the water", "surface_step", "on rougher water", "on smoother water", "steps", "rougher water"),
        ("water temperature", "water_c", "in warmer water", "in colder water", "K", "warmer water"),
    ],
)  # fmt: skip
def test_how_what_was_measured_lay(cause, field, high, low, unit, more):
    def said(having, lacking) -> str:
        return _said(cause, [{field: v} for v in having], [{field: v} for v in lacking])

    assert said([3, 4], [1, 2]) == f"Every run with it was {high}."
    assert said([1, 2], [3, 4]) == f"Every run with it was {low}."
    assert said([1, 4], [1, 2]) == f"Runs with it had 1 {unit} {more} on average."
    assert said([1, 2], [1, 4]) == f"Runs without it had 1 {unit} {more} on average."
    assert said([2, 4], [2.008, 4]) == f"Runs with it and without it had the same {cause} on average."
    assert said([2, 4], [2.012, 4]) == f"Runs without it had 0.006 {unit} {more} on average."
    assert said([2, None], [2]) == f"Runs with it and without it had the same {cause} on average."
    unknown = f"Nothing is known of the {cause} on one of the two sides."
    assert said([None], [2]) == said([2], [None]) == unknown


def test_how_another_change_or_setting_lay():
    def said(having, lacking) -> str:
        return _said(
            "pad", *([{"factors": {} if v is None else {"pad": v}} for v in side] for side in (having, lacking))
        )

    assert said([1.0, 0.0], [0.0]) == "1 of the 2 runs with it also had pad, not the one without it."
    assert said([1.0], [1.0, 0.0, 1.0]) == "The one run with it also had pad, 2 of the 3 without it."
    assert said([2.0, 3.0], [1.0]) == "pad was 2.5 on average with it and 1 without it."
    assert said([2.0, 3.0], [None]) == ""


def _term(cause: str, shift: float, sd: float, is_own: bool = False) -> Term:
    return Term(cause, cause, 0.0, shift, sd, is_own)


def test_what_a_wrong_assumption_would_do():
    sides = ([{"air_c": 2.0}], [{"air_c": 1.0}])

    def shift(*terms: Term, cause: str = "air") -> str:
        return _said(cause, *sides, terms=terms).partition("If ")[2]

    assert shift(_term("air", -0.3, 0.02)) == (
        "the effect of air really were 2 percent more than assumed, it gained 0.6 less."
    )
    assert shift(_term("air", 0.3, 0.02)).endswith("it gained 0.6 more.")
    assert shift(_term("air", 0.3, 0.02), _term("air", -0.1, 0.08)).endswith(
        "8 percent more than assumed, it gained 0.8 less."
    )
    # Less than a twentieth of a point is not worth it.
    assert shift(_term("air", 0.0249, 0.02)) == "" != shift(_term("air", 0.0251, 0.02))
    assert shift(_term("air", 0.3, 0.02, is_own=True)) == shift(_term("wind", 0.3, 0.02)) == ""
    assert shift(_term("prop", 0.3, 0.02), cause="prop") == shift(_term("pack", 0.3, 0.02), cause="pack") == ""
    assert shift(_term("break-in", 0.3, 0.02), cause="break-in").startswith("the break-in really were 2 percent")


@pytest.mark.parametrize(
    ("question", "having", "lacking"),
    [
        (Question("change", "fin"), "with it", "without it"),
        (Question("setting", "strut"), "with strut at its highest", "with strut at its lowest"),
        (Question("states", "state 2"), "with the later state", "with the earlier state"),
        (Question("prop", "P1", ("P2",)), "with prop P1", "with prop P2"),
        (Question("pack", "A", ("B", "C", "D")), "with pack A", "with pack B or C or D"),
        (Question("pack", "A", ("B", "C", "D", "E")), "with pack A", "with other packs"),
    ],
)  # fmt: skip
def test_how_the_two_sides_are_spoken_of(question, having, lacking):
    words = side_words(question)
    assert (words.having, words.lacking) == (having, lacking)


def test_names_in_a_row_are_listed_up_to_four():
    assert [listed("abcdef"[:count]) for count in range(7)] == [
        "", "a", "a and b", "a, b and c", "a, b, c and d", "a, b, c, d and 1 more", "a, b, c, d and 2 more",
    ]  # fmt: skip


def test_causes_that_move_alike_are_told_exactly_or_nearly():
    made = design([_run(1, 1.0), _run(2, 0.0)], [Factor("fin")], FIN, DEFAULT_PRIORS)
    exact = alias_sentence(Alias(("pack", "air"), 0.99e-8), made)
    assert exact == "Pack and air moved exactly as the runs went from without it to with it: no sum can part them."
    nearly = alias_sentence(Alias(("pack",), 1.01e-8), made)
    assert nearly == "Pack together moved nearly as the runs went from without it to with it."


def _effect(chance: float, low: float = -0.05, high: float = 0.05, on: float = 0.02, off: float = 0.0004) -> Effect:
    return Effect((low + high) / 2, 0.01, (low, high), chance, on, off)


@pytest.mark.parametrize(
    ("default", "wide", "said"),
    [
        (0.975, 0.95, "gain"), (0.975, 0.949, "probably a gain"), (0.974, 0.99, "cannot tell yet"),
        (0.0249, 0.0499, "loss"), (0.0249, 0.051, "probably a loss"), (0.026, 0.01, "cannot tell yet"),
    ],
)  # fmt: skip
def test_a_verdict_asks_for_39_in_40_and_for_19_in_20_in_doubt(default, wide, said):
    assert verdict(_effect(default), _effect(wide)) == said


@pytest.mark.parametrize(
    ("low", "high", "is_none"), [(-0.0099, 0.0099, True), (-0.0102, 0.005, False), (-0.005, 0.0101, False)]
)
def test_no_real_difference_is_one_that_lies_within_what_matters(low, high, is_none):
    assert (verdict(_effect(0.5, low, high), _effect(0.5)) == "no real difference") == is_none
    assert verdict(_effect(0.5, 2 * low, 2 * high), _effect(0.5), 2.0) == (
        "no real difference" if is_none else "cannot tell yet"
    )


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.996, "more than 99 in 100 that it is up"), (0.994, "about 99 in 100 that it is up"),
        (0.931, "about 93 in 100 that it is up"), (0.929, "about 9 in 10 that it is up"),
        (0.83, "about 5 in 6 that it is up"), (0.80, "about 4 in 5 that it is up"),
        (0.75, "about 3 in 4 that it is up"),
        (0.66, "about 2 in 3 that it is up"), (0.61, "about 3 in 5 that it is up"), (0.5, "about 1 in 2 that it is up"),
        (0.49, "about 1 in 2 that it is down"), (0.2, "about 4 in 5 that it is down"),
        (0.004, "more than 99 in 100 that it is down"),
    ],
)  # fmt: skip
def test_odds_are_those_that_people_use(chance, words):
    assert odds(chance, "up", "down") == words


GIVEN = answer(EIGHT, [TABS], QUESTION)


def _given(verdict_: str, **more) -> Answer:
    return replace(GIVEN, judgement=Judgement(verdict_, verdict_), tangled=(), **more)


def test_the_price_of_a_wrong_guess_is_told_while_nothing_is_settled():
    given = _given("cannot tell yet", effect=_effect(0.8), wide=_effect(0.3))
    said = "Cannot tell yet: about 4 in 5 that it is faster; 70 in 100 if packs, props and days differ more than usual."
    price = "The price of guessing wrong, on average"
    assert verdict_sentence(given) == f"{said} {price}: 2.0 % if you keep it, less than 0.1 % if you go back."
    turned = verdict_sentence(given, "more", "less", "Whatever", more_is_better=False)
    assert turned.startswith("Whatever: about 4 in 5 that it is more;")
    assert turned.endswith(f"{price}: less than 0.1 % if you keep it, 2.0 % if you go back.")
    assert price not in verdict_sentence(_given("gain", effect=_effect(0.99), wide=_effect(0.96)))
    sure = verdict_sentence(_given("gain", effect=_effect(0.999), wide=_effect(0.999)))
    assert "; more than 99 in 100 if packs" in sure and "100 in 100" not in sure
    tenth = _given("cannot tell yet", effect=_effect(0.8, on=0.00101, off=0.00099), wide=_effect(0.8))
    assert verdict_sentence(tenth).endswith("0.1 % if you keep it, less than 0.1 % if you go back.")


def _planned(tabs: float, prop: str = "P1", packs=(("old", None),)) -> Planned:
    (pack, discharge), *beside = packs
    return Planned({"tabs": tabs}, prop, pack, discharge, tuple(PackUse(*each) for each in beside))


def test_only_what_is_asked_or_changes_is_said_of_a_planned_run():
    runs = (_planned(1.0), _planned(0.0, packs=(("new", 8),)))
    plan = Plan(runs, sd_now=0.02, sd_after=0.01, minutes=0)
    assert [planned_words(GIVEN, run, plan) for run in runs] == [
        "with tabs, pack old", "without tabs, pack new (discharge 8)",
    ]  # fmt: skip
    assert planned_words(GIVEN, runs[0], plan, with_prop=True) == "with tabs, prop P1, pack old"
    other = Plan((_planned(1.0), _planned(1.0, "P2")), 0.02, 0.01, 0)
    assert planned_words(GIVEN, other.runs[1], other) == "with tabs, prop P2, pack old"
    assert as_planned(plan) == "All with prop P1." and as_planned(other) == ""
    assert as_planned(Plan((_planned(1.0, ""),), 0.02, 0.01, 0)) == ""
    two = Plan((_planned(1.0, packs=(("G", 3), ("H", None))),), 0.02, 0.01, 0)
    assert planned_words(GIVEN, two.runs[0], two) == "with tabs, packs G (discharge 3) and H"


def test_a_run_is_as_planned_if_it_is_all_that_the_words_say():
    run = EffectRun("1", 60, "d1", (PackUse("G", 5), PackUse("H")), "P1", {"tabs": 1.0, "strut": 2.0})
    names = ["tabs", "fin", "strut"]
    for words in (
        "with tabs",
        "without fin, prop P1",
        "strut 2, packs G (discharge 3) and H",
        "with tabs, without fin",
    ):
        assert is_as_planned(words, run, names), words
    for words in ("without tabs", "with fin", "prop P2", "pack G", "with tabs, prop P2", "strut 2.5", "packs G and I"):
        assert not is_as_planned(words, run, names), words


def test_the_next_runs_are_told_with_what_they_would_do():
    plan = Plan((_planned(1.0), _planned(0.0)), sd_now=0.02, sd_after=0.01, minutes=0)
    lines = next_lines(GIVEN, Next(plan, "", 1))
    # Half of the 90 % interval is 1.645 standard deviations.
    assert lines == [
        "Best next 2 runs, on one day, in this order: with tabs, pack old · without tabs, pack old.",
        "The interval would shrink from ±3.3 % to ±1.6 %.", "1 such outing brings it to ±1.5 % or better.",
    ]  # fmt: skip
    assert next_lines(GIVEN, Next(plan, "", 3))[-1] == "3 such outings bring it to ±1.5 % or better."
    assert "cannot settle" not in next_lines(GIVEN, Next(plan, "", 3))[-1]
    assert next_lines(GIVEN, Next(plan, "", None))[-1].endswith("they alone cannot settle it.")
    assert next_lines(GIVEN, Next(None, "Because.", None)) == ["Because."]
    alone = Plan((_planned(1.0),), 0.02, 0.01, 0)
    assert next_lines(GIVEN, Next(alone, "", 1))[0].startswith("Best next 1 run, on one day")
    runs = [replace(run, prop=f"P{number % 2 + 1}") for number, run in enumerate(EIGHT)]
    two = answer(runs, [TABS], QUESTION)
    assert next_lines(two, Next(plan, "", 1))[1] == "All with prop P1."


def test_what_was_seen_of_a_setting_is_said_per_step():
    runs = [replace(run, factors={"strut": 2.0 * run.factors["tabs"]}) for run in EIGHT]
    given = answer(runs, [Factor("strut", True, 0.5)], Question("setting", "strut"))
    alone = replace(given, seen=replace(given.seen, amount=0.7, parts=(Part("strut", 0.7, 0.01),)))
    assert seen_sentence(alone) == (
        "You saw +0.7 km/h per 0.5 with strut at its highest, against with strut at its lowest."
    )


def test_what_holds_a_verdict_back_is_told():
    effect = _effect(0.9, -0.01, 0.03)
    one = Judgement("probably a gain", "gain", ("4",), False, effect)
    assert one.brief == "a run is far off" and one.is_held_back and not Judgement("gain", "gain").is_held_back
    rest = "between -1.0 and +3.0."
    assert one.reason(str) == f"Not settled, for 4 is far off what the others say: without it +1.0 %, {rest}"
    two = replace(one, far_off=("4", "7"), came_first="with tabs")
    assert two.brief == "2 runs are far off and never run in turn"
    assert two.reason(str) == (
        f"Not settled, for 4 and 7 are far off what the others say: without them +1.0 %, {rest} Not settled, for "
        "the two sides were never run in turn: all runs with tabs came first."
    )
    assert replace(one, hangs=True).reason(str).startswith("It hangs on 4, far off what the others say: without it")
    assert replace(one, others=None).reason(str).endswith("nothing is left to compare without.")
    assert Judgement("gain", "gain").reason(str) == Judgement("gain", "gain").brief == ""


def _lines(given: Answer, **more) -> list[str]:
    told = {"following": Next(None, "Because.", None), "ignored": (), "notes": ()} | more
    return as_lines(given, **told)


@pytest.mark.parametrize(("count", "rest"), [(1, ""), (20, ""), (21, " and 1 more"), (25, " and 5 more")])
def test_rows_far_off_are_named_up_to_twenty(count, rest):
    rows = tuple(RunWeight(str(row), 0.1, 0.2, row < count) for row in range(30))
    [line] = [line for line in _lines(replace(GIVEN, weights=rows)) if line.startswith("Far off")]
    named = ", ".join(map(str, range(min(count, 20))))
    assert line == f"Far off what the others say, look at them: row {named}{rest}."
    assert not any(line.startswith("Far off") for line in _lines(replace(GIVEN, weights=rows[count:])))


def test_the_answer_in_lines_has_its_parts_what_it_is_tangled_with_and_what_was_left_out():
    parts = (Part("tabs", 1.234, 0.0123), Part("wind", -0.5, -0.005))
    tangled = (Tangle("day", 0.42, "Days differ.", ""), Tangle("air", 0.05, "", ""))
    given = replace(
        GIVEN, seen=replace(GIVEN.seen, parts=parts), tangled=tangled,
        aliases=(Alias(("fin", "pad"), 0.0), Alias(("air",), 0.1)),
        design=replace(GIVEN.design, left_out=("prop", "cells"), notes=("A note.",)),
    )  # fmt: skip
    lines = _lines(given, ignored=["mood"], notes=["Of the table."])
    assert (
        f"  {'tabs':<28}  +1.23 km/h   +1.23 percent" in lines
        and f"  {'wind':<28}  -0.50 km/h   -0.50 percent" in lines
    )
    assert "   42% day: Days differ." in lines and "    5% air" in lines
    assert "  Cannot be told from: fin, pad." in lines and not any("told from: air" in line for line in lines)
    assert lines[-4:] == [
        "Of the table.", "A note.", "The same in all runs, so not in the model: prop, cells.",
        "Columns not used: mood.",
    ]  # fmt: skip
    bare = _lines(replace(given, design=replace(GIVEN.design, left_out=(), notes=())))
    assert bare[-1] == "Because." and "Columns" not in "".join(bare)


def test_an_effect_is_told_with_its_interval_and_its_runs():
    effect = replace(GIVEN.effect, ln=0.02, interval_90=(-0.01, 0.05))
    said = effect_sentence(replace(GIVEN, effect=effect, reference=50.0), "mph")
    assert said == "tabs: +2.0 %, between -1.0 and +5.1 (about +1.0 mph). 5 runs without it, 3 with it."
    runs = [replace(run, factors={"strut": 2.0 * run.factors["tabs"]}) for run in EIGHT]
    given = answer(runs, [Factor("strut", True, 0.5)], Question("setting", "strut"))
    said = effect_sentence(replace(given, effect=effect, range_effect=replace(effect, ln=0.08)))
    assert said.startswith("strut per 0.5: +2.0 %") and "Highest against lowest: +8.3 %, between -1.0 and +5.1." in said
    assert said.endswith("Two levels: a straight line only.")


def test_a_planned_run_is_told_by_its_factors():
    run = Planned({"tabs": 1.0, "strut": 2.5}, "P1", "A", 3)
    assert planned_factors(run) == {"tabs": 1, "strut": 2.5, "pack": "A", "prop": "P1", "pack_cycle": 3}
    assert planned_factors(Planned({"tabs": 0.0}, "", "")) == {"tabs": 0}
