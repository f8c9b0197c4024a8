"""The demo's stated true effects lie in their intervals as often as the intervals say.

Its seasons are kept as they are written down (who ran what, when, in which weather); the speeds are drawn anew by the
demo's simulator under other seeds.
"""

from dataclasses import replace

import pytest
from sqlmodel import select

from garage.calc.effect.answer import several
from garage.calc.effect.runs import EffectRun, Question
from garage.demo.simulate import Circumstances, read_speed_kmh, stream
from garage.demo.truth import HullTruth, Truth, read_truth
from garage.findings.evidence.factor import setting_name
from garage.findings.evidence.outcomes import OUTCOMES
from garage.findings.evidence.runs_store import HullRuns, hull_runs, only_closed
from garage.findings.judge import varying
from garage.hulls.tables import Hull
from garage.states.settings_list import setting_of
from garage.units import DisplayUnits

_HOW = {"log": "log", "display": "display", "eye": "by eye"}
_SETTLED = 60


def _redrawn(truth: Truth, hull: str, number: int, run: EffectRun) -> EffectRun:
    known = truth.hulls[hull]
    where = Circumstances(
        hull=hull,
        props="+".join(part.replace(" ed. ", "/") for part in run.prop.split(" + ")),
        packs=tuple((use.pack, use.discharge or _SETTLED) for use in run.packs),
        modifications=frozenset(name for name in known.modifications if run.factors.get(name)),
        settings=_settings(known, run),
        air_c=truth.common.air_mean_c if run.air_c is None else run.air_c,
        wind_ms=truth.common.wind_mean_ms if run.wind_ms is None else run.wind_ms,
        pack_c=truth.common.pack_mean_c if run.pack_start_c is None else run.pack_start_c,
    )
    draws = stream(truth, hull, "run", number)
    return replace(run, outcome=read_speed_kmh(truth, where, run.outing, _HOW[run.how], run.passes or 1, draws))


def _settings(known: HullTruth, run: EffectRun) -> dict[str, float]:
    found = {}
    for key in known.settings:
        values = [
            run.factors[name] for place in ("single", "left") if (name := setting_name(f"{key}@{place}")) in run.factors
        ]
        assert setting_of(key)
        if values:
            found[key] = values[0]
    return found


def _seasons(session) -> dict[str, HullRuns]:
    hulls = session.exec(select(Hull)).all()
    return {
        hull.name: only_closed(hull_runs(session, hull.id, OUTCOMES["speed"], DisplayUnits({})))
        for hull in hulls
        if hull.name in read_truth().hulls
    }


def _held(seasons: dict[str, HullRuns], seed: int, beside: float = 0.0) -> list[bool]:
    """For every modification of every hull: whether its 90 % interval holds the true effect (or one beside it)."""
    truth = replace(read_truth(), seed=f"another season {seed}")
    held = []
    for hull, season in seasons.items():
        runs = [
            _redrawn(truth, hull, number, run) for number, run in season.runs.items() if _is_known(truth, hull, run)
        ]
        factors = varying(season)
        names = [factor.name for factor in factors if factor.name in truth.hulls[hull].modifications]
        for name, brief in zip(
            names, several(runs, factors, [Question("change", name) for name in names]), strict=True
        ):
            if brief is not None:
                low, high = brief.effect.interval_90
                held.append(low <= truth.hulls[hull].modifications[name] + beside <= high)
    return held


def _is_known(truth: Truth, hull: str, run: EffectRun) -> bool:
    props = "+".join(part.replace(" ed. ", "/") for part in run.prop.split(" + "))
    return props in truth.hulls[hull].props and bool(run.packs) and all(use.pack in truth.packs for use in run.packs)


def test_true_effects_lie_in_their_intervals_over_ten_seeds(demo_session):
    seasons = _seasons(demo_session)
    held = [each for seed in range(10) for each in _held(seasons, seed)]
    assert len(held) >= 80
    assert sum(held) / len(held) >= 0.85


def test_the_intervals_are_no_wider_than_is_useful(demo_session):
    """An effect 12 points beside the truth lies outside of most of them."""
    held = _held(_seasons(demo_session), 1, beside=0.12)
    assert sum(held) / len(held) <= 0.5


@pytest.mark.long
def test_true_effects_lie_in_their_intervals_over_two_hundred_seeds(demo_session):
    seasons = _seasons(demo_session)
    held = [each for seed in range(200) for each in _held(seasons, seed)]
    assert sum(held) / len(held) >= 0.9
