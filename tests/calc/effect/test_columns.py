"""The matrix of the model, its sides and its weights, each worked out by hand or by the plain textbook formula."""

import math
from dataclasses import fields

import numpy as np
import pytest

from garage.calc.effect.columns import columns
from garage.calc.effect.design import NothingToCompare, design
from garage.calc.effect.fits import Fits
from garage.calc.effect.pack_physics import gained_by_settling, speed_by_resistance, with_readings
from garage.calc.effect.parts import seen
from garage.calc.effect.planning.order import in_order
from garage.calc.effect.planning.planner import smallest_found_percent
from garage.calc.effect.planning.plans import (
    Available,
    Plan,
    Planned,
    as_run,
    candidates,
    counted_on,
    least_minutes,
    minutes,
)
from garage.calc.effect.point import at_point, v_inverse
from garage.calc.effect.priors import DEFAULT_PRIORS, Prior, Priors, wide, with_changes
from garage.calc.effect.ratings import compare_ratings
from garage.calc.effect.runs import EffectRun, Factor, PackUse, Question, break_in_ahead, sides
from garage.calc.effect.tangled import aliases
from tests.calc.effect.cases import QUESTION, TABS, TWELVE


def _runs(*facts: dict) -> list[EffectRun]:
    return [
        EffectRun(str(n), each.pop("outcome", 50.0 + n), each.pop("outing", "d1"), **each)
        for n, each in enumerate(map(dict, facts), start=1)
    ]


def _values(runs, factors=()) -> dict[str, list[float]]:
    return {one.key: one.values.round(9).tolist() for one in columns(runs, factors).kept}


@pytest.mark.parametrize(
    ("key", "field", "per"),
    [
        ("air", "air_c", 10), ("wind", "wind_ms", 5), ("pack_start", "pack_start_c", 10),
        ("rested", "rested_v_per_cell", 0.1), ("surface", "surface_step", 1), ("water", "water_c", 10),
    ],
)  # fmt: skip
def test_what_surrounded_a_run_counts_from_its_mean_in_the_steps_of_its_assumption(key, field, per):
    found = columns(_runs({field: 1.0}, {field: 4.0}, {field: None}), [])
    assert _values(_runs({field: 1.0}, {field: 4.0}, {field: None}))[key] == [-1.5 / per, 1.5 / per, 0]
    said = [note for note in found.notes if "missing" in note]
    assert len(said) == 1 and said[0].endswith("is missing for 1 run: the mean of the others was taken.")
    assert columns(_runs({field: 1.0}, {}, {}), []).notes[-1].find("missing for 2 runs") > 0 or key != "water"
    assert not any("missing" in note for note in columns(_runs({field: 1.0}, {field: 4.0}), []).notes)


def test_only_air_and_wind_are_missed_where_no_run_says_anything_of_them():
    assert columns(_runs({}, {}), []).notes == ("No run says anything of the air.", "No run says anything of the wind.")


def test_head_wind_counts_as_it_is_and_unknown_is_none():
    assert _values(_runs({"headwind_ms": -2.0}, {"headwind_ms": 3.0}, {}))["head_wind"] == [-2, 3, 0]
    assert "head_wind" not in _values(_runs({}, {}))


def test_a_setting_counts_in_steps_from_its_mean_and_bends_with_three_levels():
    strut = Factor("strut", True, 0.5)
    runs = _runs({"factors": {"strut": 1.0}}, {"factors": {"strut": 2.0}}, {"factors": {"strut": 3.0}}, {})
    assert _values(runs, [strut]) == {"strut": [-2, 0, 2, 0], "strut²": [4, 0, 4, 0]}
    assert list(_values(runs[:2], [strut])) == ["strut"]
    assert columns(runs[3:], [strut]).left_out[:1] == ("strut",)
    assert _values(_runs({"factors": {"fin": 1.0}}, {}), [Factor("fin")]) == {"fin": [1, 0]}


def test_how_speeds_were_read_is_a_cause_only_where_they_were_read_in_several_ways():
    display, log = {"how": "display"}, {"how": "log"}
    assert _values(_runs(display, log))["display"] == [1, 0]
    for alike in (_runs(display, display), _runs(log, log)):
        found = columns(alike, [])
        assert not any("display" in cause for cause in (*found.left_out, *(one.cause for one in found.kept)))


def test_each_prop_and_pack_has_its_share_of_a_run():
    two = {"packs": (PackUse("A"), PackUse("B")), "prop": "P1"}
    assert _values(_runs(two, {"packs": (PackUse("B"),), "prop": "P2"}, {"prop": "P2"})) == {
        "prop:P1": [1, 0, 0], "prop:P2": [0, 1, 1], "pack:A": [0.5, 0, 0], "pack:B": [0.5, 1, 0], "pack:": [0, 0, 1],
    }  # fmt: skip
    assert columns(_runs({"prop": "P1"}, {"prop": "P1"}), []).left_out[:2] == ("prop", "pack")


def test_what_is_left_of_a_break_in_counts_against_a_run_for_the_usual_and_for_each_pack():
    """At the first discharge all of it, at the second exp(-1/1.5) of it; below half a percent it is over."""
    runs = _runs(
        {"packs": (PackUse("A", 1),)}, {"packs": (PackUse("A", 2), PackUse("B", 1))}, {"packs": (PackUse("B", 9),)}
    )
    ahead = math.exp(-1 / 1.5)
    found = _values(runs)
    assert found["break-in"] == pytest.approx([-1, -(1 + ahead) / 2, 0])
    assert found["break-in:A"] == pytest.approx([-1, -ahead / 2, 0]) and found["break-in:B"] == [0, -0.5, 0]
    assert "break-in:A" not in _values(runs[:1] + _runs({"packs": (PackUse("B"),)}))
    assert break_in_ahead(8) == pytest.approx(math.exp(-7 / 1.5)) and break_in_ahead(9) == 0.0


def test_cells_count_by_their_logarithm_against_the_usual_and_unknown_ones_are_usual():
    runs = _runs({"cells": 4}, {"cells": 4}, {"cells": 6}, {})
    assert _values(runs)["cells"] == pytest.approx([0, 0, math.log(1.5), 0])
    assert columns(runs, []).notes[-1] == "Cells in series are missing for 1 run: 4 were taken."
    assert not any("Cells" in note for note in columns(runs[:3], []).notes) and "cells" not in _values(runs[3:])


def test_a_display_and_a_charge_may_read_high_as_a_whole():
    found = _values(_runs({}, {"how": "display"}, {"how": "charge"}, {"how": "eye"}))
    assert found["display"] == [0, 1, 0, 0] and found["charge"] == [0, 0, 1, 0] and "eye" not in found
    assert "display" not in _values(_runs({"how": "display"}, {"how": "display"}))


RUNS = _runs(
    {"factors": {"fin": 1.0, "strut": 3.0}, "prop": "P1", "packs": (PackUse("A"), PackUse("B"))},
    {"factors": {"fin": 0.0, "strut": 1.0}, "prop": "P2", "packs": (PackUse("B"),)},
    {"factors": {"strut": 2.0}, "prop": "P3", "packs": (PackUse("A"),)}, {"factors": {"fin": 1.0}, "prop": "P1"},
)  # fmt: skip


@pytest.mark.parametrize(
    ("question", "having", "lacking"),
    [
        (Question("change", "fin"), [0, 3], [1, 2]), (Question("setting", "strut"), [0], [1]),
        (Question("setting", "none"), [], []), (Question("prop", "P1", ("P2",)), [0, 3], [1]),
        (Question("prop", "P3", ("P1", "P2")), [2], [0, 1, 3]), (Question("pack", "A", ("B",)), [2], [1]),
        (Question("states", "s", before={"fin": 0.0}, after={"fin": 1.0, "strut": 3.0}), [0], [1, 2]),
    ],
)  # fmt: skip
def test_which_runs_stand_for_which_side(question, having, lacking):
    assert sides(question, RUNS) == (having, lacking)


def test_a_setting_that_was_never_moved_has_one_side():
    still = _runs({"factors": {"strut": 2.0}}, {"factors": {"strut": 2.0}})
    assert sides(Question("setting", "strut"), still) == ([0, 1], [])


@pytest.mark.parametrize(
    ("question", "runs", "words"),
    [
        (Question("change", "fin"), [], "There are no runs."),
        (Question("setting", "strut"), RUNS[:1], "All runs have strut at the same value"),
        (Question("change", "fin"), RUNS[:1], "The only run is with it: .* at least one run without it"),
        (Question("change", "fin"), RUNS[1:3], "All 2 runs are without it: .* at least one run with it"),
        (Question("prop", "P9", ("P8",)), RUNS, "No run is with P9 or with what it is held against"),
    ],
)  # fmt: skip
def test_runs_that_cannot_speak_say_why(question, runs, words):
    with pytest.raises(NothingToCompare, match=words):
        design(runs, [Factor("fin"), Factor("strut", True)], question, DEFAULT_PRIORS)


def _contrast(question: Question, runs=RUNS, factors=(Factor("fin"), Factor("strut", True, 0.5))) -> dict[str, float]:
    made = design(runs, list(factors), question, DEFAULT_PRIORS)
    return {one.key: float(weight) for one, weight in zip(made.columns, made.contrast, strict=True) if weight}


def test_a_question_weighs_the_columns_it_is_about():
    assert _contrast(Question("change", "fin")) == {"fin": 1}
    # Held against P2, of which there is one run, and P1, of which there are two.
    assert _contrast(Question("prop", "P3", ("P1", "P2", "P7"))) == pytest.approx(
        {"prop:P3": 1, "prop:P1": -2 / 3, "prop:P2": -1 / 3}
    )
    # From 1 to 3 in steps of a half, from the mean of 2: as far above as below, so the bend is nothing.
    assert _contrast(Question("setting", "strut")) == {"strut": 1}
    uneven = _runs(*({"factors": {"strut": value}} for value in (1.0, 1.0, 1.0, 2.0, 5.0)))
    # The mean is 2: two steps below to six above, and 36 - 4 over the 8 between.
    assert _contrast(Question("setting", "strut"), uneven) == pytest.approx({"strut": 1, "strut²": 4})
    states = Question("states", "s", before={"fin": 0.0}, after={"fin": 1.0, "strut": 3.0})
    # A setting that was not written down stood at nought: four steps of a half below the mean, to two above.
    assert _contrast(states) == pytest.approx({"fin": 1, "strut": 6, "strut²": 4 - 16})


def test_a_design_takes_off_what_the_best_of_more_passes_gains_and_counts_steps():
    runs = _runs({"factors": {"strut": 1.0}, "passes": 3}, {"factors": {"strut": 3.0}, "passes": None, "how": "eye"})
    made = design(runs, [Factor("strut", True, 0.5)], Question("setting", "strut"), DEFAULT_PRIORS)
    assert made.steps == 4 and made.more_passes.tolist() == pytest.approx([0.012 * 0.8463, 0])
    assert made.y.tolist() == pytest.approx([math.log(51) - 0.012 * 0.8463, math.log(52)])
    assert made.k.tolist() == [1, 4] and made.outing.tolist() == [0, 0] and made.came_first == "without"
    assert made.notes[-2:] == (
        "Not all runs are known in the same way (judged by eye, from logs): the rougher ones count less.",
        "Of how many passes a speed is the best is not known for 1 of 2 runs: not corrected for.",
    )


def test_outings_are_numbered_as_they_come_and_the_side_that_came_first_is_told():
    days = [{"outing": day, "factors": {"fin": fin}} for day, fin in (("b", 1.0), ("a", 1.0), ("b", 0.0))]
    made = design(_runs(*days), [Factor("fin")], Question("change", "fin"), DEFAULT_PRIORS)
    assert (made.outing.tolist(), made.outing_names, made.came_first) == ([0, 1, 0], ("b", "a"), "with")
    days.append({"outing": "c", "factors": {"fin": 1.0}})
    assert design(_runs(*days), [Factor("fin")], Question("change", "fin"), DEFAULT_PRIORS).came_first == ""


SIGMA, TAU = 0.012, 0.02
MADE = design(TWELVE, [TABS], QUESTION, DEFAULT_PRIORS)


def _dense() -> np.ndarray:
    """The variances of the runs, written out: sigma² k each, and tau² between runs of one outing."""
    return np.diag(MADE.k * SIGMA**2) + TAU**2 * (MADE.outing[:, None] == MADE.outing[None, :])


def test_the_model_at_one_pair_of_scatters_is_generalised_least_squares():
    model, inverse = MADE.model(DEFAULT_PRIORS), np.linalg.inv(_dense())
    point = at_point(model, SIGMA, TAU)
    x = np.column_stack([np.ones(len(model.y)), model.x - model.x.mean(axis=0)])
    precision = x.T @ inverse @ x + np.diag([0, *1 / model.prior_sd**2])
    assert point.precision == pytest.approx(precision, rel=1e-9)
    assert v_inverse(model.y, model.outing, model.k, SIGMA, TAU) == pytest.approx(inverse @ model.y, rel=1e-8)
    covariance, c = np.linalg.inv(precision), np.array([0, *MADE.contrast])
    assert point.variance(MADE.contrast) == pytest.approx(c @ covariance @ c, rel=1e-8)
    assert point.weights_of_runs(MADE.contrast) == pytest.approx(inverse @ x @ covariance @ c, rel=1e-7, abs=1e-9)
    # Woodbury, written out.
    p = inverse - inverse @ x @ covariance @ x.T @ inverse
    mean = covariance @ (x.T @ inverse @ model.y + np.array([0, *model.prior_mean / model.prior_sd**2]))
    off, diagonal = point.residuals_of_runs(model.y, model.prior_mean)
    assert off == pytest.approx(inverse @ (model.y - x @ mean), rel=1e-6, abs=1e-6)
    assert diagonal == pytest.approx(np.diag(p), rel=1e-8)


def test_what_is_left_of_a_run_is_what_neither_the_model_nor_its_outing_explains():
    fits = Fits(MADE, DEFAULT_PRIORS)
    left = MADE.y - fits.default.intercept - MADE.x @ fits.default.coefficients
    for outing in range(len(MADE.outing_names)):
        rows = np.flatnonzero(MADE.outing == outing)
        weight = 1 / MADE.k[rows]
        shrunk = fits.point.tau**2 * (weight @ left[rows]) / (fits.point.sigma**2 + weight.sum() * fits.point.tau**2)
        assert fits.residuals[rows] == pytest.approx(left[rows] - shrunk, abs=1e-12)
    assert fits.far_off == ()


def test_exactly_and_nearly_alike_are_told_by_what_is_left():
    def left(other: list[float]) -> list[tuple[tuple[str, ...], float]]:
        runs = _runs(
            *({"factors": {"fin": float(n % 2), "pad": pad}, "outing": f"d{n}"} for n, pad in enumerate(other))
        )
        made = design(runs, [Factor("fin"), Factor("pad", True)], Question("change", "fin"), DEFAULT_PRIORS)
        return [(one.causes, one.left) for one in aliases(made, 1)]

    assert left([0, 1, 0, 1]) == [(("pad",), pytest.approx(0, abs=1e-9))]
    # Of correlation r there is left 1 - r²: told below a quarter.
    base, across = np.array([-1.0, 1, -1, 1] * 2), np.array([-1.0, -1, 1, 1] * 2)
    for r2, is_told in ((0.76, True), (0.74, False)):
        mixed = base * r2**0.5 + across * (1 - r2) ** 0.5
        found = left(mixed.tolist())
        assert bool(found) == is_told
        if found:
            assert found[0][1] == pytest.approx(1 - r2, abs=0.02)


def test_what_was_seen_is_allotted_to_its_causes():
    found = seen(MADE, Fits(MADE, DEFAULT_PRIORS).default, "tabs")
    with_, without = [TWELVE[row] for row in MADE.with_rows], [TWELVE[row] for row in MADE.without_rows]
    mean = [sum(run.outcome for run in side) / len(side) for side in (with_, without)]
    logs = [sum(math.log(run.outcome) for run in side) / len(side) for side in (with_, without)]
    assert (found.amount, found.ln) == pytest.approx((mean[0] - mean[1], logs[0] - logs[1]))
    air = next(part for part in found.parts if part.cause == "air")
    by = sum(run.air_c for run in with_) / len(with_) - sum(run.air_c for run in without) / len(without)
    place = MADE.index()["air"]
    assert air.ln == pytest.approx(by / 10 * Fits(MADE, DEFAULT_PRIORS).default.coefficients[place])
    # In km/h by the scale of what was seen.
    assert air.amount == pytest.approx(air.ln * found.amount / found.ln)


def test_where_means_and_logs_tell_two_stories_the_mean_speed_is_the_scale():
    runs = _runs(
        {"outcome": 30.0, "factors": {"fin": 0.0}, "wind_ms": 1.0},
        {"outcome": 90.0, "factors": {"fin": 0.0}, "wind_ms": 2.0},
        {"outcome": 59.0, "factors": {"fin": 1.0}, "wind_ms": 4.0},
        {"outcome": 60.0, "factors": {"fin": 1.0}, "wind_ms": 5.0},
    )  # fmt: skip
    made = design(runs, [Factor("fin")], Question("change", "fin"), DEFAULT_PRIORS)
    found = seen(made, Fits(made, DEFAULT_PRIORS).default, "fin")
    for part in found.parts:
        if part.cause != "unexplained":
            assert part.amount == pytest.approx(part.ln * 59.75)
    assert sum(part.amount for part in found.parts) == pytest.approx(-0.5)


@pytest.mark.parametrize(("having", "lacking"), [([3, 5, 4, 4], [1, 2, 4]), ([5, 5], [1, 1]), ([2], [3])])
def test_the_interval_of_a_chance_is_hanley_and_mcneils_on_the_logit(having, lacking):
    """Written out once more; half a pair is taken off a clean sweep."""
    found = compare_ratings(having, lacking)
    n, m = len(having), len(lacking)
    wins = sum(1.0 if a > b else 0.5 if a == b else 0.0 for a in having for b in lacking)
    assert found.chance_above == wins / (n * m)
    a = (wins + 0.5) / (n * m + 1)
    variance = (a * (1 - a) + (n - 1) * (a / (2 - a) - a * a) + (m - 1) * (2 * a * a / (1 + a) - a * a)) / (n * m)
    half = 1.6448536269514722 * math.sqrt(variance) / (a * (1 - a))
    ends = [1 / (1 + math.exp(-(math.log(a / (1 - a)) + sign * half))) for sign in (-1, 1)]
    assert found.interval_90 == pytest.approx(ends)


def test_ratings_that_are_all_alike_are_no_more_than_luck():
    assert compare_ratings([3] * 20, [3] * 20).p_value == 1.0 and compare_ratings([3], [3]).p_value == 1.0


def test_what_resistance_says_of_speed_is_worked_out_by_hand():
    # 100 A through 10 mohm take 1 V of 10.
    assert speed_by_resistance(100, 10, 10) == pytest.approx(-0.1 / 1.1)
    gained = gained_by_settling(-0.1, 0.5)
    assert (gained.mean, gained.sd) == pytest.approx((0.1 * math.log(1.5), 0.05 * math.log(1.5)))
    assert gained_by_settling(-0.1, 0.01).sd == 0.005
    own = dict(with_readings(DEFAULT_PRIORS, {}, [], {"A": (-0.1, 8.0), "B": (-0.2, 18.0)}).own)
    for pack, mean in (("A", 0.1 * math.log(1.5)), ("B", -0.2 * math.log(1.5))):
        assert own[f"pack:{pack}"].mean == pytest.approx(mean)
        assert own[f"pack:{pack}"].sd == pytest.approx(math.hypot(0.04, mean / 2))
    one = dict(with_readings(DEFAULT_PRIORS, {"A": Prior(0.05, 0.02)}, ["A", "B"], {}).own)
    assert one == {"break-in:A": Prior(pytest.approx(0.02), 0.02)}
    assert with_readings(DEFAULT_PRIORS, {"B": Prior(0.05, 0.02)}, ["A"], {}).own == ()


# What is assumed, typed once more: mean and spread in percent.
ASSUMED = {
    "change": (0, 8), "setting": (0, 4), "bend": (0, 3), "prop": (0, 10), "pack": (0, 4), "break_in": (3, 2.5),
    "break_in_own": (0, 1.5), "air": (1, 1.5), "wind": (0, 2), "head_wind": (-0.6, 0.4), "pack_start": (1.5, 1),
    "rested": (2, 1), "cells": (70, 15), "display": (1, 1), "surface": (-1, 1.5), "water": (0.5, 0.8),
    "sigma": (1.7, 45), "tau": (1.5, 60), "pass_sd": (1.2, 0),
}  # fmt: skip


def test_what_is_assumed_is_what_is_stated_and_doubt_doubles_packs_props_break_in_and_days():
    assert {one.name for one in fields(Priors)} == {*ASSUMED, "own"}
    doubt = wide(DEFAULT_PRIORS.with_own({"pack:A": Prior(0.01, 0.03)}))
    for name, (mean, sd) in ASSUMED.items():
        assert getattr(DEFAULT_PRIORS, name) == Prior(pytest.approx(mean / 100), pytest.approx(sd / 100))
        by = 2 if name in ("pack", "prop", "break_in", "break_in_own") else 1
        moved = 2 if name == "tau" else 1
        assert getattr(doubt, name) == Prior(pytest.approx(moved * mean / 100), pytest.approx(by * sd / 100))
    assert doubt.own == (("pack:A", Prior(0.01, 0.06)),)


@pytest.mark.parametrize(
    ("name", "mean", "sd", "is_good"),
    [
        ("air", -1, 0.001, True), ("air", 0, 0, False), ("sigma", 0, 0.4, False), ("tau", 0, 0.4, False),
        ("sigma", 0.001, 0.4, True), ("pass_sd", 0.01, 0, True), ("tau", -1, 0.4, False),
    ],
)  # fmt: skip
def test_an_assumption_has_a_spread_and_a_scatter_has_a_size(name, mean, sd, is_good):
    if is_good:
        assert getattr(with_changes(DEFAULT_PRIORS, {name: (mean, sd)}), name) == Prior(mean, sd)
    else:
        with pytest.raises(ValueError, match="the spread must be above 0"):
            with_changes(DEFAULT_PRIORS, {name: (mean, sd)})


def _plan(*packs: str, fin=None) -> list[Planned]:
    return [Planned({"fin": side}, "P1", pack) for pack, side in zip(packs, fin or [0.0] * len(packs), strict=True)]


def test_a_day_takes_a_quarter_of_an_hour_for_a_setup_and_an_hour_for_a_charge():
    runs = _plan("A", "B", "A", fin=[0.0, 1.0, 0.0])
    assert (minutes(runs), least_minutes(runs)) == (2 * 15 + 60, 15 + 60) and minutes(runs[:1]) == 0
    assert Plan(tuple(runs), 0.02, 0.0169, 0).is_worth_making and not Plan(tuple(runs), 0.02, 0.0171, 0).is_worth_making
    assert Plan(tuple(runs), 0.02, 0.015, 0).narrows_by == pytest.approx(0.25)


def test_a_pack_is_counted_on_from_where_it_was():
    beside = {"A": (PackUse("C", 5), PackUse("D"))}
    available = Available(
        {"fin": (0.0,)}, ("P1",), {"A": 3, "B": None}, cells={"A": 4.0}, beside=beside, air_c=9, wind_ms=2
    )
    runs = counted_on(_plan("A", "B", "A"), available, {"A": 1})
    assert [run.discharge for run in runs] == [4, None, 5]
    assert [[use.discharge for use in run.beside] for run in runs] == [[6, None], [], [7, None]]
    assert runs[0].packs == (PackUse("A", 4), PackUse("C", 6), PackUse("D"))
    made = as_run(runs[0], available, "d9")
    assert (made.outing, made.prop, made.air_c, made.wind_ms, made.cells, made.packs) == (
        "d9",
        "P1",
        9,
        2,
        4,
        runs[0].packs,
    )
    assert dict(made.factors) == {"fin": 0.0} and Planned({}, "", "").packs == ()


def test_candidates_are_all_states_props_and_packs_and_at_most_500():
    few = candidates(Available({"fin": (0.0, 1.0)}, ("P1", "P2"), {"A": 1, "B": None}))
    assert len(few) == len({(one.setup, one.pack) for one in few}) == 8
    many = {f"f{n}": (0.0, 1.0) for n in range(9)}
    assert len(candidates(Available(many, ("P1",), {"A": 1}))) == 256
    assert {dict(one.factors)["f8"] for one in candidates(Available(many, ("P1",), {"A": 1}))} == {1.0}
    assert len(candidates(Available({}, tuple(map(str, range(30))), dict.fromkeys("ABCDEFGHIJKLMNOPQRST")))) == 500
    (bare,) = candidates(Available({}, (), {}))
    assert (bare.prop, bare.pack) == ("", "")
    joint = Available({"fin": (0.0, 1.0), "pad": (0.0, 1.0)}, ("",), {}, states=({"fin": 0.0}, {"fin": 1.0}))
    assert len(candidates(joint)) == 4


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6, 7, 8])
def test_in_its_order_what_is_asked_is_as_early_as_late(count):
    runs = _plan(*"ABABABAB"[:count], fin=[float(n % 2) for n in range(count)])
    level = {n: float(n % 2) for n in range(count)}
    order = in_order(tuple(range(count)), runs, level)
    assert sorted(order) == list(range(count))
    middle = (count - 1) / 2
    drift = abs(sum(level[index] * (place - middle) for place, index in enumerate(order)))
    assert drift <= (0.5 if count in (2, 6) else 0)


def test_the_smallest_gain_found_by_so_many_runs_a_side():
    assert smallest_found_percent(0.017, 2) == pytest.approx(4.76) and smallest_found_percent(0.01, 8) == pytest.approx(
        1.4
    )
    assert smallest_found_percent(0.01, 1) > 0
    with pytest.raises(ValueError, match="At least one run"):
        smallest_found_percent(0.01, 0)


@pytest.mark.parametrize(("count", "is_told"), [(6, False), (7, True), (12, True)])
def test_of_few_runs_two_causes_together_explain_anything(count, is_told):
    """Three are made of: neither, the one, the other; two causes are told of more than six runs."""
    pairs = [(0, 0), (1, 0), (0, 1)] * 4
    facts = [{"factors": {"tabs": float(a + b), "fin": float(a), "pad": float(b)}} for a, b in pairs[:count]]
    made = design(_runs(*facts), [TABS, Factor("fin"), Factor("pad")], QUESTION, DEFAULT_PRIORS)
    assert bool([one for one in aliases(made) if one.is_exact]) == is_told
    assert not [one for one in aliases(made, 1) if one.is_exact]
