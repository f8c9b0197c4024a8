"""The description of the data: whole, sound by its own standard, made when asked for, and behind the same door."""

import dataclasses
import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from starlette.testclient import TestClient

from garage.addresses.schemas import Schemas
from garage.measures import Measure
from garage.moments import Moment
from garage.units import KINDS
from garage.web.representations import plain

DESK = ("127.0.0.1", 50000)


@pytest.fixture
def description(client):
    return client.get("/openapi.json").json()


def _refs(thing: Any):
    if isinstance(thing, dict):
        yield from (value for name, value in thing.items() if name == "$ref")
        thing = list(thing.values())
    if isinstance(thing, list):
        for one in thing:
            yield from _refs(one)


def test_every_address_of_data_is_described_and_nothing_else(app, description):
    served = {
        re.sub(r":\w+\}", "}", route.path)
        for route in app.routes
        if re.search(r"\.(json|csv)$", route.path) and route.path not in ("/openapi.json", "/bench/{name}.json")
    }
    described = {path for path in description["paths"] if not re.match(r"/bench/[^{]+\.json", path)}
    assert described == served
    assert "/bench/slip.json" in description["paths"]
    assert all(set(item) == {"get"} for item in description["paths"].values())


def test_every_schema_is_one_and_every_reference_leads_somewhere(description):
    schemas = description["components"]["schemas"]
    Draft202012Validator.check_schema({"$defs": schemas})
    assert {ref.removeprefix("#/components/schemas/") for ref in _refs(description)} <= set(schemas)
    assert description["openapi"].startswith("3.1.")


def test_every_address_has_a_title_its_values_and_what_it_may_refuse_with(description):
    names = []
    for path, item in description["paths"].items():
        one = item["get"]
        names.append(one["operationId"])
        assert one["summary"] and {"200", "403", "404"} <= set(one["responses"]), path
        in_path = {value["name"] for value in one["parameters"] if value["in"] == "path"}
        assert in_path == set(re.findall(r"\{(\w+)\}", path)), path
        asked = [value["name"] for value in one["parameters"]]
        assert len(set(asked)) == len(asked), path
    assert len(set(names)) == len(names)


def test_nothing_is_described_before_somebody_asks(app):
    assert not hasattr(app.state, "description")
    assert TestClient(app, client=DESK).get("/openapi.json").status_code == 200
    assert hasattr(app.state, "description")


def test_a_phone_that_was_not_let_in_sees_neither(make_app, tmp_path):
    phone = TestClient(make_app(tmp_path / "garage", lan=True), client=("192.168.1.7", 5000), follow_redirects=False)
    for address in ("/openapi.json", "/data", "/data.json", "/data/fields?of=runs.lines.RunLine"):
        answer = phone.get(address)
        assert (answer.status_code, answer.headers["location"]) == (303, "/pair"), address


def test_a_screen_that_only_shows_has_both(make_app, tmp_path):
    make_app(tmp_path / "garage").state.engine.dispose()
    client = TestClient(make_app(tmp_path / "garage", read_only=True), client=DESK)
    assert client.get("/openapi.json").status_code == client.get("/data").status_code == 200


def test_the_page_needs_no_other_host_and_leads_to_the_description(client):
    html = client.get("/data").text
    assert 'href="/openapi.json"' in html and "<script src=" in html
    assert set(re.findall(r'(?:src|href)="(https?:[^"]*)"', html)) == set()
    assert 'href="/data"' in client.get("/hulls").text


@dataclasses.dataclass(frozen=True)
class _Inner:
    """A thing within."""

    word: str
    number: int | None


@dataclasses.dataclass(frozen=True)
class _Outer:
    """Every sort of field that a sheet may have."""

    speed: Measure
    figures: list[tuple[str, Measure | str]]
    at: Moment | None
    inner: list[_Inner]
    pair: tuple[int, float]
    by_name: dict[str, list[str]]
    flag: bool


_numbers = st.floats(-1e6, 1e6)
_inner = st.builds(_Inner, st.text(), st.none() | st.integers())
_any_measure = st.builds(
    Measure, st.none() | _numbers, st.sampled_from(sorted(KINDS)), st.text(), st.text(), st.none() | _numbers,
    st.none() | _numbers,
)  # fmt: skip
_speed = st.builds(Measure, st.none() | _numbers, st.just("speed"), st.text())
_at = st.none() | st.builds(Moment, st.just("2026-05-09T14:30:00Z"), st.integers(-840, 840))
_outer = st.builds(
    _Outer, _speed, st.lists(st.tuples(st.text(), _any_measure | st.text())), _at, st.lists(_inner),
    st.tuples(st.integers(), _numbers), st.dictionaries(st.text(), st.lists(st.text())), st.booleans(),
)  # fmt: skip


def _schema(thing: Any) -> dict:
    schemas = Schemas()
    return schemas.of(thing) | {"components": {"schemas": schemas.components}}


_VALIDATOR = Draft202012Validator(_schema(_Outer))


@settings(max_examples=25)
@given(_outer)
def test_whatever_a_sheet_holds_is_as_the_schema_of_its_type_says(thing):
    _VALIDATOR.validate(plain(thing))


@settings(max_examples=25)
@given(_outer, st.sampled_from(["speed", "at", "pair", "flag", "inner"]))
def test_a_field_of_another_type_or_one_too_few_is_against_the_schema(thing, name):
    assert not _VALIDATOR.is_valid(plain(thing) | {name: "a word"})
    assert not _VALIDATOR.is_valid({key: value for key, value in plain(thing).items() if key != name})


def test_a_speed_in_another_unit_is_against_the_schema():
    content = plain(_Outer(Measure(3, "wind"), [], None, [], (1, 2.0), {}, True))
    assert not _VALIDATOR.is_valid(content)


def test_a_type_that_no_sheet_may_hold_is_told():
    with pytest.raises(TypeError, match="bytes"):
        Schemas().of(bytes)
