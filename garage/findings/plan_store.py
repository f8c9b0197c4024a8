"""What the next runs of a question may use: the boat as it stands, what can come off, packs in service."""

from sqlmodel import Session

from garage.builds.modification_store import modification
from garage.builds.slip_store import mended_content
from garage.builds.state import EMPTY
from garage.builds.state_query_store import current_state
from garage.calc.effect.answer import Answer
from garage.calc.effect.plans import Available
from garage.findings.runs_store import HullRuns, discharge_number
from garage.findings.tables import Finding
from garage.findings.thing import factors_of
from garage.packs.store import pack_standings, packs_by_ids

_MOST_PACKS, _MOST_LEVELS = 5, 5
_LATEST = 30


def available(session: Session, asked: Finding, given: Answer, gathered: HullRuns, wanted: list[str]) -> Available:
    """What can be run next. `wanted` are codes of packs to keep to; none: all that this hull used lately."""
    made = given.design
    now = _now(session, asked, gathered)
    factors: dict[str, tuple[float, ...]] = {
        factor.name: (now.get(factor.name, _middle(given, factor.name)),) for factor in made.factors
    }
    for name in _asked_names(given):
        factors[name] = _levels(session, asked, given, name, now)
    latest = list(made.runs)[-_LATEST:]
    props = [latest[-1].prop]
    if made.question.about == "prop":
        props = [made.question.name, *made.question.against[-2:]]
    usable = usable_packs(session, gathered)
    packs = {code: usable[code] for code in usable if not wanted or code in wanted} or usable
    if made.question.about == "pack" and made.question.name in usable:
        packs = {made.question.name: usable[made.question.name]} | packs
    return Available(factors, tuple(props), dict(list(packs.items())[:_MOST_PACKS]))


def usable_packs(session: Session, gathered: HullRuns) -> dict[str, int | None]:
    """Packs that this hull used lately and that are in use, with the discharge that comes next."""
    lately = list(
        dict.fromkeys(use.pack for run in list(gathered.runs.values())[: -_LATEST - 1 : -1] for use in run.packs)
    )
    ids = {code: pack_id for pack_id, code in gathered.packs.items()}
    rows = packs_by_ids(session, [ids[code] for code in lately])
    standings = pack_standings(session, list(rows))
    found = {}
    for code in lately:
        pack = rows[ids[code]]
        if not pack.retired_on and not pack.damage:
            found[code] = discharge_number(pack, standings[ids[code]].discharges)
    return dict(list(found.items())[:_MOST_PACKS])


def _now(session: Session, asked: Finding, gathered: HullRuns) -> dict[str, float]:
    current = current_state(session, asked.hull_id)
    content = mended_content(session, current) if current else EMPTY
    return {gathered.names[key]: value for key, value in factors_of(content).items() if key in gathered.names}


def _asked_names(given: Answer) -> list[str]:
    question = given.design.question
    if question.about in ("change", "setting"):
        return [question.name]
    return list(question.after) if question.about == "states" else []


def _levels(session: Session, asked: Finding, given: Answer, name: str, now: dict[str, float]) -> tuple[float, ...]:
    question = given.design.question
    if question.about == "states":
        return tuple(sorted({question.before[name], question.after[name]}))
    if question.about == "setting":
        values = sorted({run.factors[name] for run in given.design.runs if name in run.factors})
        return tuple(values if len(values) <= _MOST_LEVELS else [values[0], values[len(values) // 2], values[-1]])
    glued = modification(session, int(asked.subject)).permanence == "permanent"
    # What is glued on stays on.
    return (1.0,) if glued and now.get(name) else (0.0, 1.0)


def _middle(given: Answer, name: str) -> float:
    factor = next(each for each in given.design.factors if each.name == name)
    if not factor.is_setting:
        return 0.0
    values = [run.factors[name] for run in given.design.runs if name in run.factors]
    return values[-1]
