"""Routes of the calculators: a list, and one page for each question."""

from fastapi import Response
from fastapi.responses import JSONResponse

from garage.bench import sheets
from garage.bench.catalog import CALCULATORS
from garage.bench.definition import Calculator, WrongInput
from garage.bench.gather import asked, fillings, gather
from garage.bench.lists import in_fields, is_reshaped, with_lists_whole
from garage.bench.reading import as_json, unanswered, work
from garage.errors import NotFound
from garage.web.desk import Desk, Typed
from garage.web.pages import Pages
from garage.web.representations import representation_addresses
from garage.web.rows import MORE
from garage.web.templates import Entry, render

pages = Pages()


@pages.sheet("/bench", "bench/list.html")
def show_bench(desk: Desk) -> sheets.BenchSheet:
    """Every calculator by its question."""
    return sheets.bench_sheet(list(CALCULATORS.values()))


@pages.response("/bench/{name}.json")
def answer(desk: Desk, name: str) -> Response:
    """One answer as JSON; what is wrong with the inputs with status 422."""
    calculator = _calculator(name)
    wanted = asked(calculator, desk.query)
    known = fillings(desk.session, calculator, wanted)
    filled = {one: figure.text for one, figure in known.items()}
    query = with_lists_whole(calculator, desk.query)
    typed = {one: text for one, text in query.items() if one not in (*calculator.fills, "side")}
    try:
        return JSONResponse(as_json(work(calculator, filled | typed)))
    except WrongInput as wrong:
        if not typed:
            # As on the page: filled in, but not yet asked, so what is still open is no mistake.
            return JSONResponse(unanswered(calculator, filled))
        return JSONResponse({"calculator": name, "errors": wrong.errors}, status_code=422)


@pages.response("/bench/{name}")
def show(desk: Desk, name: str) -> Response:
    """One question: its fields, its answer, its worked example."""
    calculator = _calculator(name)
    found = gather(desk.session, calculator, asked(calculator, desk.query))
    pressed = {MORE: desk.query[MORE]} if MORE in desk.query else {}
    typed = Typed({field: [text] for field, text in (in_fields(calculator, found.texts) | pressed).items()})
    errors = {} if is_reshaped(desk.query) else found.errors
    return render(
        desk.request,
        "bench/calculator.html",
        found.sheet,
        Entry(typed, errors),
        status=422 if errors else 200,
        representations=representation_addresses(desk.request.url.path, "", desk.request.url.query, is_list=False),
    )


def _calculator(name: str) -> Calculator:
    if name not in CALCULATORS:
        raise NotFound("There is no such calculator on the bench.")
    return CALCULATORS[name]
