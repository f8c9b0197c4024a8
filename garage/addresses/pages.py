"""Routes about the data: the description for programs, and the same to read. Both are made when first asked for."""

from fastapi import Response
from fastapi.responses import JSONResponse

from garage.addresses import sheets
from garage.addresses.description import addresses, describe
from garage.addresses.schemas import things_within
from garage.bench.catalog import CALCULATORS
from garage.db.migrate import HEAD
from garage.errors import NotFound
from garage.web.desk import Desk
from garage.web.pages import Pages

pages = Pages()


@pages.response("/openapi.json")
def show_description(desk: Desk) -> Response:
    """Every address of data in OpenAPI 3.1."""
    state = desk.request.app.state
    if not hasattr(state, "description"):
        state.description = JSONResponse(describe(desk.request.app.routes, HEAD)).body
    return Response(state.description, media_type="application/json")


@pages.sheet("/data", "addresses/data.html")
def show_data(desk: Desk) -> sheets.DataSheet:
    base = f"{desk.request.url.scheme}://{desk.request.url.netloc}"
    return sheets.data_sheet(addresses(desk.request.app.routes), CALCULATORS, base)


@pages.sheet(
    "/data/fields",
    "addresses/fields.html",
    asks={"of": "the name of a thing, as this page lists them without one"},
)
def show_fields(desk: Desk) -> sheets.FieldsSheet:
    found = things_within(one.sheet for one in addresses(desk.request.app.routes))
    name = desk.query.get("of", "")
    if name and name not in found:
        raise NotFound("Nothing of that name stands in the notebook’s data.")
    return sheets.fields_sheet(found[name]) if name else sheets.things_sheet(found)
