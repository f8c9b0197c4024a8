"""Every room's list of fields is sound, and every field that is to be asked for stands in its form."""

from collections.abc import Iterable
from importlib import import_module
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from garage.drives.figures import PART_KINDS
from garage.evening.forms import PACK_CELLS, cells
from garage.fields.definition import PLAIN_KINDS, Field
from garage.units import KINDS
from tests.forms import read_page

ROOMS = Path(__file__).parents[2] / "garage"
# Where each list is asked for; a list may be asked for by several forms, and by a tuple of forms together.
FORMS = {
    "drives.FIELDS": [tuple(f"/drives/new?kind={kind}" for kind in PART_KINDS)],
    "drives.RETIREMENT_FIELDS": ["/drives/1/retire"],
    "hulls.FIELDS": ["/hulls/new", "/hulls/1/edit"],
    "hulls.RETIREMENT_FIELDS": ["/hulls/1/retire"],
    "inventory.CHARGER_FIELDS": ["/chargers/new", "/chargers/1/edit"],
    "inventory.DRIVER_FIELDS": ["/drivers/new", "/drivers/1/edit"],
    "inventory.DRIVER_RETIREMENT_FIELDS": ["/drivers/1/retire"],
    "inventory.INSTRUMENT_FIELDS": ["/instruments/new", "/instruments/1/edit"],
    "inventory.RECEIVER_FIELDS": ["/receivers/new", "/receivers/1/edit"],
    "inventory.RETIREMENT_FIELDS": ["/receivers/1/retire", "/instruments/1/retire", "/chargers/1/retire"],
    "inventory.SUPPLIER_FIELDS": ["/suppliers/new", "/suppliers/1/edit"],
    "inventory.SUPPLIER_RETIREMENT_FIELDS": ["/suppliers/1/retire"],
    "modifications.FIELDS": ["/hulls/1/modifications/new", "/modifications/1/edit"],
    "modifications.QUICK_STEP_FIELDS": ["/modifications/1"],
    "modifications.STEP_FIELDS": ["/modifications/1/steps/new", "/steps/1/edit"],
    "own_fields.FIELDS": ["/own-fields/run/new"],
    "packs.FIELDS": ["/packs/new", "/packs/1/edit"],
    "packs.LOG_FIELDS": ["/packs/1/log", "/packs/1"],
    "packs.READING_FIELDS": ["/packs/1/readings"],
    "packs.RETIREMENT_FIELDS": ["/packs/1/retire"],
    "packs.SET_FIELDS": ["/packs/sets"],
    "runs.FIELDS": ["/runs/new", "/runs/1/edit"],
    "runs.PACK_FIELDS": ["/runs/new", "/runs/1/edit"],
    "runs.TEMPERATURE_FIELDS": ["/runs/new", "/runs/1/edit"],
    "runs.INCIDENT_FIELDS": ["/runs/new", "/runs/1/edit", "/runs/1"],
    "waters.FIELDS": ["/waters/new", "/waters/1"],
    "waters.OUTING_FIELDS": ["/outings/new", "/outings/1/edit"],
    "waters.RETIREMENT_FIELDS": ["/waters/1/retire"],
    "props.RETIREMENT_FIELDS": ["/props/1/retire"],
    "props.FIELDS": ["/props/new", "/props/1/edit"],
    "services.FIELDS": ["/hulls/1/service/new"],
    "services.RULE_FIELDS": ["/hulls/1/service/rules"],
    "shelf.LENT_FIELDS": ["/lend/pack/1", "/lend/charger/1"],
    "shelf.LOAN_FIELDS": ["/loans/1"],
    "shelf.OWNED": ["/receivers/1/edit", "/instruments/new", "/chargers/new"],
    "shelf.FIELDS": ["/shelf/pack/1", "/shelf/supply/1"],
    "stock.RETIREMENT_FIELDS": [],
    "stock.FIELDS": ["/stock/supplies/new", "/stock/supplies/1/edit"],
    "props.EDITION_FIELDS": ["/props/new", "/props/1/rework", "/props/1/editions/1/mend"],
}
# How the fields of a list begin in a form that asks for it in several rows.
ROWS = {"runs.PACK_FIELDS": "pack1_", "runs.TEMPERATURE_FIELDS": "t1_", "runs.INCIDENT_FIELDS": "i1_"}


def _lists() -> Iterable[tuple[str, tuple[Field, ...]]]:
    for path in sorted(ROOMS.glob("*/fields.py")):
        for name, value in vars(import_module(f"garage.{path.parent.name}.fields")).items():
            if isinstance(value, tuple) and value and all(isinstance(one, Field) for one in value):
                yield f"{path.parent.name}.{name}", value


LISTS = dict(_lists())


@pytest.fixture(scope="module")
def garage(make_app, tmp_path_factory):
    """A client on a garage with one of each, which is only looked at."""
    with TestClient(make_app(tmp_path_factory.mktemp("lists") / "garage")) as client:
        yield _filled(client)


def _filled(client):
    client.post("/hulls/new", data={"name": "Quince", "kind": "mono", "screws": "2"})
    prop = {"code": "P1", "size": "42 x 58", "blades": "2", "hand": "right", "condition": "good"}
    client.post("/props/new", data=prop)
    client.post("/hulls/1/modifications/new", data={"title": "Trim tabs", "permanence": "removable"})
    client.post("/modifications/1/steps", data={"action": "cut", "what": "to length"})
    client.post("/packs/new", data={"code": "J", "cells_s": "3", "capacity": "4000"})
    client.post("/stock/supplies/new", data={"code": "SU1", "name": "brass sheet"})
    client.post("/shelf/supply/1", data={"quantity": "3"})
    kinds = {"/receivers": "GPS", "/instruments": "scale"}
    for address in ("/drivers", "/receivers", "/instruments", "/chargers", "/suppliers"):
        client.post(f"{address}/new", data={"name": "Quince", "kind": kinds.get(address, "")})
    client.post("/drives/new?kind=motor", data={"code": "M1"})
    client.post("/lend/pack/1", data={"lent_to": "Alder Finch"})
    client.post("/waters/new", data={"name": "Hollow Mere"})
    client.post("/outings/new", data={"water": "1"})
    client.post("/runs/new", data={"hull": "1", "outing": "1", "pack": "1", "speed": "80", "i1_kind": "flip"})
    return client


def test_every_list_is_known_with_its_forms():
    assert set(LISTS) == set(FORMS)


@pytest.mark.parametrize("name", LISTS)
def test_every_field_that_is_asked_for_stands_in_its_forms(garage, name):
    for addresses in FORMS[name]:
        together = (addresses,) if isinstance(addresses, str) else addresses
        asked = {field for address in together for field in _asked(garage, address)}
        assert {ROWS.get(name, "") + field.name for field in LISTS[name] if field.asked} <= asked, addresses


def _asked(garage, address: str) -> set[str]:
    return {field for form in read_page(garage.get(address).text, address)[0] for field in form.fields}


def test_every_cell_that_the_evening_asks_for_stands_in_its_table(garage):
    """A run written down and an empty row each have their own; whether a speed counts is asked where something
    happened."""
    (form,) = [form for form in read_page(garage.get("/outings/1/evening").text, "")[0] if "r1_here" in form.fields]
    asked = {f"{row}_{cell.name}" for row in ("r1", "n1") for cell in cells()} - {"n1_speed_counts"}
    asked |= {f"{row}_{cell.name}" for row in ("r1_p1", "n1_p0") for cell in PACK_CELLS}
    assert asked <= form.fields.keys() and len(asked) > 25


@pytest.mark.parametrize("name", LISTS)
def test_names_and_columns_are_each_said_once(name):
    for said in ([field.name for field in LISTS[name]], [field.column for field in LISTS[name]]):
        assert len(said) == len(set(said))


@pytest.mark.parametrize(
    "field", [field for fields in LISTS.values() for field in fields], ids=lambda field: field.name
)
def test_a_field_means_what_it_says(field):
    assert field.kind in KINDS or field.kind in PLAIN_KINDS
    assert field.searched in ("", "title", "text")
    assert bool(field.choices) == (field.kind == "choice") or field.kind == "whole"
    assert field.low is None or field.high is None or field.low < field.high
    assert field.is_number or (field.low, field.high) == (None, None)
    if field.choices and field.default is not None:
        assert str(field.default) in field.values
    if field.kind == "whole" and field.choices:
        assert {field.low, field.high} == {min(map(int, field.values)), max(map(int, field.values))}
