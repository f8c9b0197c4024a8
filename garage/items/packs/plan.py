"""A pack's break-in plan as its log ticks it off: how many gentle discharges, at most what C."""

from collections.abc import Sequence
from dataclasses import dataclass

from garage.calc.pack_use import c_rate, current_of_c
from garage.measures import Measure
from garage.moments import Moment

# What a mean current may be above the plan before it is said: readings and the charger are not that exact.
_ALLOWED = 1.05


@dataclass(frozen=True)
class FirstDischarge:
    """One of a pack's first discharges. `current_a` is set or the mean of a run; None if it is not known."""

    at: Moment
    kind: str
    current_a: float | None
    run_id: int | None


@dataclass(frozen=True)
class PlanStep:
    """One step of the plan: done (then when and how hard) or still to do."""

    number: int
    done: bool
    what: str
    at: Moment | None
    rate: str
    harder: bool
    run_id: int | None


@dataclass(frozen=True)
class Plan:
    """The plan: its steps, and the current that the next gentle discharge may have (no value without a C)."""

    steps: list[PlanStep]
    next_current: Measure
    next_c: str
    finished: bool
    harder: int


def break_in_plan(
    charges: int,
    at_most_c: float | None,
    capacity_mah: float,
    before: int,
    first: Sequence[FirstDischarge],
) -> Plan:
    """The plan of a pack that came with `before` discharges; `first` are those of its log, oldest first."""
    steps = [
        PlanStep(number, True, "before this notebook", None, "", False, None)
        for number in range(1, min(before, charges) + 1)
    ]
    for number, one in enumerate(first[: max(charges - before, 0)], start=len(steps) + 1):
        rate = c_rate(one.current_a, capacity_mah) if one.current_a is not None else None
        harder = rate is not None and at_most_c is not None and rate > _ALLOWED * at_most_c
        words = f"{rate:.1f} C{' on average' if one.kind == 'run' else ''}" if rate is not None else ""
        steps.append(PlanStep(number, True, _WORDS[one.kind], one.at, words, harder, one.run_id))
    done = len(steps)
    steps += [
        PlanStep(number, False, "a gentle discharge", None, "", False, None) for number in range(done + 1, charges + 1)
    ]
    amps = current_of_c(at_most_c, capacity_mah) if at_most_c is not None and done < charges else None
    c_words = f"{at_most_c:g} C" if at_most_c is not None else ""
    current = Measure(amps, "current", f"{c_words} × capacity, your rule" if amps is not None else "")
    return Plan(steps, current, c_words, done >= charges, sum(step.harder for step in steps))


_WORDS = {"run": "run", "bench": "discharge on the bench", "capacity": "capacity test"}
