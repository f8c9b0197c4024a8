"""The next runs: those that narrow the answer most for their time, on one new day."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from math import comb, sqrt

from garage.calc.effect.design import Design
from garage.calc.effect.planning.order import in_order
from garage.calc.effect.planning.plans import Available, Plan, Planned, as_run, candidates, counted_on, minutes
from garage.calc.effect.planning.search import best_of_all, extended, new_day, one_by_one, search
from garage.calc.effect.point import at_point
from garage.calc.effect.priors import Priors

EXHAUSTIVE_UP_TO = 6000
MOST_RUNS = 8
HALF_WIDTH_90 = 1.6448536269514722
MOST_OUTINGS = 12


def best_plan(made: Design, priors: Priors, sigma: float, tau: float, available: Available, count: int) -> Plan | None:
    """The best `count` runs (1 to 8) on one new day, fewer where no pack may run so often; None when nothing is
    available.

    Every choice is tried while there are at most 6,000, else runs are added one by one, the best first, and then
    exchanged while that helps.
    """
    if not 1 <= count <= MOST_RUNS:
        raise ValueError(f"A plan has 1 to {MOST_RUNS} runs.")
    possible = candidates(available)
    if available.most_uses is not None:
        count = min(count, available.most_uses * len({run.pack for run in possible}))
    if not possible or not count:
        return None
    setting = search(made, priors, (sigma, tau), available, possible, count)
    is_small = comb(len(possible) + count - 1, count) <= EXHAUSTIVE_UP_TO
    chosen = (best_of_all if is_small else one_by_one)(setting, count)
    order = in_order(chosen, possible, {index: setting.level(index) for index in set(chosen)})
    ordered = counted_on([possible[index] for index in order], available, {})
    now = sqrt(at_point(made.model(priors), sigma, tau).variance(made.contrast))
    return Plan(ordered, now, sd_after(made, priors, sigma, tau, [ordered], available), minutes(ordered))


def sd_after(
    made: Design, priors: Priors, sigma: float, tau: float, days: Sequence[Sequence[Planned]], available: Available
) -> float:
    """Standard deviation of the answer, in log points, once these runs were made, each list on a day of its own."""
    more = [as_run(planned, available, new_day(day)) for day, runs in enumerate(days) for planned in runs]
    union = extended(made, more, priors)
    return sqrt(at_point(union.model(priors), sigma, tau).variance(union.contrast))


def outings_needed(
    made: Design, priors: Priors, sigma: float, tau: float, plan: Plan, available: Available, target_ln: float
) -> int | None:
    """After how many outings like the plan the 90 % half-width is at most `target_ln`; None if not within 12."""
    before: Counter[str] = Counter()
    days: list[tuple[Planned, ...]] = []
    for outing in range(1, MOST_OUTINGS + 1):
        days.append(counted_on(plan.runs, available, before))
        before.update(run.pack for run in plan.runs)
        if HALF_WIDTH_90 * sd_after(made, priors, sigma, tau, days, available) <= target_ln:
            return outing
    return None


def smallest_found_percent(sigma: float, runs_a_side: int) -> float:
    """Gain in percent found 4 times in 5 by n runs with and n without on one day, in turn: 2.8 sigma sqrt(2 / n).

    2.8 is the sum of the normal quantiles for 97.5 % and 80 %. ValueError below one run a side.
    """
    if runs_a_side < 1:
        raise ValueError("At least one run on each side is needed.")
    return 100 * 2.8 * sigma * sqrt(2 / runs_a_side)
