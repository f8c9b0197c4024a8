"""A calculator's page put together from what was typed, what the garage fills in, and the answer."""

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from sqlmodel import Session

from garage.bench.definition import Calculator, Worked, WrongInput
from garage.bench.figures import Figure
from garage.bench.lists import with_lists_whole
from garage.bench.reading import work
from garage.bench.sheets import CalculatorSheet, FillFrom, IntoStep, Side, calculator_sheet, filled
from garage.bench.sides import SIDES, USUAL_SIDE, MadeWith, made_with_of
from garage.bench.step_values import step_values
from garage.bench.store import choices, figures
from garage.modifications.store import not_fitted_yet

_MOST_MODIFICATIONS = 12


@dataclass(frozen=True)
class Asked:
    """What an address asks of a calculator: texts by input, and what to fill from by kind."""

    typed: Mapping[str, str]
    fill_from: Mapping[str, int]
    side: str = USUAL_SIDE


def asked(calculator: Calculator, query: Mapping[str, str]) -> Asked:
    """What stands behind the question mark, taken apart; anything else there is left alone."""
    query = with_lists_whole(calculator, query)
    typed = {name: query[name] for name in calculator.by_name if name in query}
    numbers = {kind: query.get(kind, "") for kind in calculator.fills}
    chosen = {kind: int(text) for kind, text in numbers.items() if text.isascii() and text.isdigit() and len(text) < 10}
    side = query.get("side", "")
    return Asked(typed, chosen, side if side in SIDES else USUAL_SIDE)


def fillings(
    session: Session, calculator: Calculator, wanted: Asked, made_with: MadeWith | None = None
) -> dict[str, Figure]:
    """What the chosen things fill in, by input; a later kind gives way to an earlier one. Raises NotFound."""
    told: dict[str, Figure] = {}
    for kind in reversed(calculator.fills):
        if kind in wanted.fill_from:
            told |= figures(session, kind, wanted.fill_from[kind], wanted.side, made_with)
    return filled(calculator, told)


@dataclass(frozen=True)
class Gathered:
    """A page, the texts in its fields, and what is wrong with them."""

    sheet: CalculatorSheet
    texts: dict[str, str]
    errors: dict[str, str]


def gather(session: Session, calculator: Calculator, wanted: Asked) -> Gathered:
    """The page of a calculator. Nothing is asked for until something was typed or filled in."""
    run_id = wanted.fill_from.get("run")
    made_with = made_with_of(session, run_id) if run_id is not None else None
    figures_in = fillings(session, calculator, wanted, made_with)
    texts = {name: figure.text for name, figure in figures_in.items()} | dict(wanted.typed)
    worked, errors = _worked(calculator, texts)
    if not wanted.typed:
        # Filled in, but not yet asked: fields still empty are no mistake.
        errors = {}
    kept = {name: figure for name, figure in figures_in.items() if texts[name] == figure.text}
    steps = _into_steps(session, worked) if worked else []
    side = Side(wanted.side, made_with.sides) if made_with and made_with.sides else None
    sheet = calculator_sheet(calculator, worked, _fills(session, calculator, wanted), kept, steps, side)
    shown = {one.name: texts.get(one.name, one.default) for one in calculator.inputs}
    return Gathered(sheet, shown, errors)


def _worked(calculator: Calculator, texts: Mapping[str, str]) -> tuple[Worked | None, dict[str, str]]:
    if not any(text.strip() for text in texts.values()):
        return None, {}
    try:
        return work(calculator, texts), {}
    except WrongInput as wrong:
        return None, wrong.beside


def _fills(session: Session, calculator: Calculator, wanted: Asked) -> list[FillFrom]:
    return [FillFrom(kind, choices(session, kind), str(wanted.fill_from.get(kind, ""))) for kind in calculator.fills]


def _into_steps(session: Session, worked: Worked) -> list[IntoStep]:
    """The work under way whose next step the piece worked out could be."""
    values = step_values(worked)
    if not values:
        return []
    query = urlencode(values)
    return [
        IntoStep(one.title, f"/modifications/{one.id}/steps/new?{query}")
        for one in not_fitted_yet(session, limit=_MOST_MODIFICATIONS)
    ]
