"""What the next runs of a question may use: the boat as she stands, what can still be changed, packs in service."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlmodel import Session

from garage.calc.effect.answer import Answer
from garage.calc.effect.planning.plans import Available
from garage.findings.evidence.factor import factors_of
from garage.findings.evidence.runs_store import HullRuns
from garage.findings.plan.packs_store import UsablePacks, usable_packs
from garage.findings.plan.sides_store import Side, prop_now, sides_of
from garage.findings.tables import Finding
from garage.states.mending_store import mended_content
from garage.states.query_store import current_state


@dataclass(frozen=True)
class Wanted:
    """What the person keeps to: keys of ways to run, first codes of packs, and whether a pack runs once only. None:
    nothing was said, so everything that can be used."""

    sides: Sequence[str] | None = None
    packs: Sequence[str] | None = None
    once: bool = False


@dataclass(frozen=True)
class Means:
    """Everything a question may be answered with."""

    now: Mapping[str, float]
    prop: str
    sides: Mapping[str, Side]
    packs: Sequence[UsablePacks]


def means(session: Session, asked: Finding, given: Answer, gathered: HullRuns) -> Means:
    """What can be run next."""
    now = _now(session, asked, gathered)
    sides = sides_of(session, asked, given, gathered, now)
    packs = usable_packs(session, gathered)
    name = given.design.question.name
    # The pack asked about comes first.
    packs = sorted(packs, key=lambda each: given.design.question.about != "pack" or each.lead != name)
    return Means(now, prop_now(session, gathered), sides, packs)


def available(given: Answer, there: Means, wanted: Wanted) -> Available | None:
    """What is there of it as far as the person keeps to it; None where nothing is left to run with."""
    sides = [side for key, side in there.sides.items() if wanted.sides is None or key in wanted.sides]
    packs = [each for each in there.packs if wanted.packs is None or each.lead in wanted.packs]
    if (there.packs and not packs) or (there.sides and not sides) or not (packs or sides):
        return None
    factors = {
        factor.name: (there.now.get(factor.name, _last_known(given, factor.name)),) for factor in given.design.factors
    }
    props = tuple(side.prop for side in sides if side.prop) or (there.prop,)
    return Available(
        factors,
        props,
        {each.lead: each.packs[0].discharge for each in packs},
        states=tuple(side.factors for side in sides if side.factors),
        beside={each.lead: each.packs[1:] for each in packs},
        cells={each.lead: each.cells for each in packs if each.cells},
        most_uses=1 if wanted.once else None,
    )


def _now(session: Session, asked: Finding, gathered: HullRuns) -> dict[str, float]:
    current = current_state(session, asked.hull_id)
    if current is None:
        return {}
    content = gathered.contents.get(current.id) or mended_content(session, current)
    return {gathered.names[key]: value for key, value in factors_of(content).items() if key in gathered.names}


def _last_known(given: Answer, name: str) -> float:
    factor = next(each for each in given.design.factors if each.name == name)
    if not factor.is_setting:
        return 0.0
    return [run.factors[name] for run in given.design.runs if name in run.factors][-1]
