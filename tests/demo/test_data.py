"""The demo as data: every answer is as the description says, every table has the columns it names."""

import csv
import io
import re
from collections.abc import Mapping
from dataclasses import dataclass

import pytest

from garage.addresses import examples
from garage.web.desk import Desk
from tests.described import path_of, patterns_of, validators_of
from tests.durability.pages import addresses

OF_EACH = 2
# Forms take what is begun elsewhere: any of their fields may stand behind the question mark.
_FORMS = re.compile(r"/(new|edit|mend|past|sheet|fit|rework|take-off|withdraw)\.json$")


@pytest.fixture(scope="module")
def description(demo_client):
    return demo_client.get("/openapi.json").json()


@pytest.fixture(scope="module")
def validators(description):
    return validators_of(description)


class _Noting(Mapping):
    """What stands behind the question mark, noting what is asked of it by name."""

    def __init__(self, query, asked):
        self._query, self._asked = query, asked

    def __getitem__(self, name):
        self._asked.add(name)
        return self._query[name]

    def __contains__(self, name):
        self._asked.add(name)
        return name in self._query

    def __iter__(self):
        return iter(self._query)

    def __len__(self):
        return len(self._query)


@dataclass(frozen=True)
class _Answer:
    """What stood at an address, under which path it is described, and what it looked at behind the question mark."""

    path: str
    status: int
    content: dict
    asked: frozenset[str]


@pytest.fixture(scope="module")
def answers(demo_client, demo_folder, description):
    """The data of some pages of every kind, by address."""
    found, asked, patterns = {}, set(), patterns_of(description["paths"])
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Desk, "query", property(lambda desk: _Noting(desk.request.query_params, asked)))
        for address in addresses(demo_client.app, demo_folder, ".json", OF_EACH):
            # The bench has a test of its own.
            if address != "/openapi.json" and not address.startswith("/bench/"):
                asked.clear()
                answer = demo_client.get(address)
                path = path_of(patterns, address)
                found[address] = _Answer(path, answer.status_code, answer.json(), frozenset(asked))
    return found


def test_every_answer_of_the_demo_is_as_its_description_says(answers, validators):
    wrong = {}
    for answer in answers.values():
        fault = next(validators[answer.path, answer.status].iter_errors(answer.content), None)
        if fault is not None:
            wrong[answer.path] = f"{fault.json_path}: {fault.message[:200]}"
    assert wrong == {}
    assert len({answer.path for answer in answers.values() if answer.status == 200}) > 95


def test_whatever_a_page_reads_behind_the_question_mark_is_described(answers, description):
    hidden, read = {}, 0
    for answer in answers.values():
        if answer.status == 200 and not _FORMS.search(answer.path):
            named = {one["name"] for one in description["paths"][answer.path]["get"]["parameters"]}
            read += len(answer.asked)
            if answer.asked - named:
                hidden[answer.path] = sorted(answer.asked - named)
    assert hidden == {} and read > 30


def test_the_fields_of_a_thing_and_of_one_that_is_not_there(demo_client, validators):
    path = "/data/fields.json"
    for name, status in (("runs.lines.line.RunLine", 200), ("runs.tables.Run", 404)):
        answer = demo_client.get(path, params={"of": name})
        assert answer.status_code == status
        validators[path, status].validate(answer.json())


def test_what_a_calculator_answers_is_as_its_description_says(demo_client, validators):
    cases = {
        "/bench/slip.json": 200,
        "/bench/slip.json?shaft_speed=30000&pitch=60&speed=90": 200,
        "/bench/slip.json?shaft_speed=fast": 422,
        "/bench/slip.json?colour=red": 422,
        "/bench/slip.json?prop=999999": 404,
    }
    for address, status in cases.items():
        answer = demo_client.get(address)
        assert answer.status_code == status, address
        validators["/bench/slip.json", status].validate(answer.json())


def _heading(column):
    is_measure = column["unit"] and "measure" in column["kind"]
    return f"{column['name']} [{column['unit']}]" if is_measure else column["name"]


def test_every_table_has_the_columns_that_are_named(demo_client, demo_folder):
    tables = {one["path"]: one for one in demo_client.get("/data.json").json()["tables"]}
    patterns = patterns_of(tables)
    met = 0
    for address in addresses(demo_client.app, demo_folder, ".csv", 1):
        answer = demo_client.get(address)
        if answer.status_code != 200:
            continue
        columns = tables[path_of(patterns, address)]["columns"]
        headings = {_heading(one) for one in columns}
        bare = {one["name"] for one in columns}
        for heading in next(csv.reader(io.StringIO(answer.text.lstrip("\ufeff"))), []):
            name = re.sub(r" known by$| mind$", "", heading)
            name = re.sub(r" (low|high) (?=\[)", " ", name)
            by_name = name.rsplit(".", 1)[0]
            assert name in headings or re.sub(r" \[.*\]$", "", name) in bare or by_name in bare, (address, heading)
            met += 1
    assert met > 150


def test_the_examples_for_python_run(demo_client, monkeypatch, capsys):
    def answered(address):
        return io.BytesIO(demo_client.get(address.removeprefix("http://testserver")).content)

    monkeypatch.setattr("urllib.request.urlopen", answered)
    exec(examples.PYTHON.replace("{base}", "http://testserver"), {})
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) > 5 and all(" km/h " in line for line in lines)


def test_the_example_with_a_frame_names_columns_that_are_there(demo_client):
    headings = next(csv.reader(io.StringIO(demo_client.get("/runs.csv").text.lstrip("\ufeff"))))
    wanted = re.findall(r'(?:groupby\(|\[)"([^"]+)"', examples.FRAMES)
    assert len(wanted) == 2 and set(wanted) <= set(headings)
