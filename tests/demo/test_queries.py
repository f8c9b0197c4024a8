"""Every kind of page of the demo asks no more than its budget, nothing twice, and no more of a long history."""

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from garage.paths import DATABASE_NAME
from tests.benchmarks.enlarge import enlarge
from tests.demo.conftest import client_on, renewing
from tests.demo.saves import SAVES, Save
from tests.forms import read_page
from tests.queries import MOST_IN_A_SAVE, MOST_ON_A_PAGE, Statements, counted, kind_of

# One address of each kind, that of the page which asked most.
ADDRESSES = (Path(__file__).parent / "page_addresses.txt").read_text().split()
TIMES = 10


def asked_for(client: TestClient, address: str) -> Statements:
    """What a page asks."""
    with counted(client.app.state.engine) as statements:
        answer = client.get(address)
    assert answer.status_code == 200, f"{address} is no page of the demo any more: see `python -m tests.queries`"
    return statements


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_page_asks_no_more_than_its_budget_and_nothing_twice(demo_client: TestClient, address: str):
    statements = asked_for(demo_client, address)
    assert len(statements) <= MOST_ON_A_PAGE, "\n".join(map(str, statements.table()))
    assert statements.again == 0, "\n".join(map(str, statements.table()))


def test_no_kind_of_page_stands_twice_in_the_table():
    kinds = [kind_of(address) for address in ADDRESSES]
    assert len(kinds) == len(set(kinds))


@pytest.fixture(scope="module")
def as_new(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[[], TestClient]]:
    """A client on a copy of the demo, which is the demo again at each call."""
    with renewing(demo_folder, tmp_path_factory.mktemp("saved") / "garage") as renewed:
        yield renewed


def sent(client: TestClient, save: Save) -> tuple[Statements, int]:
    """What a save asks, and what was answered."""
    forms, _ = read_page(client.get(save.page).text, save.page)
    path = save.action.partition("?")[0]
    form = next(form for form in forms if form.method == "post" and form.action.partition("?")[0] == path)
    files = {"sheet": ("past.csv", save.sheet)} if save.sheet else None
    with counted(client.app.state.engine) as statements:
        answer = client.post(save.action, data=form.data | save.typed, files=files)
    return statements, answer.status_code


@pytest.mark.parametrize("save", SAVES, ids=lambda save: save.action)
def test_a_save_asks_no_more_than_its_budget_and_nothing_twice(as_new: Callable, save: Save):
    statements, status = sent(as_new(), save)
    assert status == 303, "the form was not taken as it was typed"
    assert len(statements) <= save.most, "\n".join(map(str, statements.table()))
    assert statements.again <= save.again, "\n".join(map(str, statements.table()))


def test_few_saves_have_a_budget_of_their_own():
    own = [save for save in SAVES if save.most > MOST_IN_A_SAVE]
    assert sum(save.action.startswith("/otherwise") for save in own) <= 3
    assert sum(not save.action.startswith("/otherwise") for save in own) <= 6


@pytest.mark.long
def test_pages_ask_as_much_of_a_garage_ten_times_as_large(demo_folder: Path, tmp_path: Path, demo_client: TestClient):
    shutil.copytree(demo_folder, tmp_path / "garage")
    enlarge(tmp_path / "garage" / DATABASE_NAME, TIMES)
    with client_on(tmp_path / "garage") as large:
        more = {
            address: (len(small), len(great))
            for address in ADDRESSES
            if len(great := asked_for(large, address)) > len(small := asked_for(demo_client, address))
        }
    assert more == {}
