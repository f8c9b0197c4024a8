"""Every kind of page of the demo asks no more than its budget, nothing twice, and no more of a long history."""

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from garage.paths import DATABASE_NAME
from tests.benchmarks.enlarge import enlarge
from tests.demo.conftest import client_on
from tests.forms import Form, read_page
from tests.queries import MOST_IN_A_SAVE, MOST_ON_A_PAGE, Statements, counted, kind_of

# One address of each kind, that of the page which asked most.
ADDRESSES = (Path(__file__).parent / "page_addresses.txt").read_text().split()
# Pages that ask more than a page should, each with the number it has come down to and may not go above again; one of
# them is which fields a person added.
OF_THEIR_OWN = {
    # Every room has a word on these two, and each says it in one or two questions.
    "/": 32,
    "/hulls/N": 32,
    "/hulls/N?way": 32,
    # All that a boat was, beside all that she is.
    "/runs/N/rebuild": 32,
    # The evidence (13), what was decided and planned, and what can still be run (8).
    "/findings/N": 27,
    # Without an outing of today it also offers the waters and the outing that is still open.
    "/runs/new": 27,
}
# The page with the form, and where that is sent as it stands.
SAVES = [
    ("/logs/6", "/logs/6/cut"),
    ("/outings/54", "/outings/54/close"),
    ("/outings/54", "/outings/54/wave"),
    ("/outings/54/evening", "/outings/54/evening"),
    ("/packs/6/log", "/packs/6/log"),
    ("/preferences", "/preferences"),
]
# Closing an outing judges every question about each of its hulls: about twenty for a hull. And one, as in every save,
# whether the form was sent before.
SAVES_OF_THEIR_OWN = {"/outings/54/close": 62}
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
    most = OF_THEIR_OWN.get(kind_of(address), MOST_ON_A_PAGE)
    assert len(statements) <= most, "\n".join(map(str, statements.table()))
    assert statements.again == 0, "\n".join(map(str, statements.table()))


def test_no_kind_of_page_stands_twice_in_the_table_or_has_a_looser_budget_for_nothing():
    kinds = [kind_of(address) for address in ADDRESSES]
    assert len(kinds) == len(set(kinds)) and set(OF_THEIR_OWN) <= set(kinds)
    assert min(OF_THEIR_OWN.values()) > MOST_ON_A_PAGE


@pytest.fixture(scope="module")
def as_new(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[[], TestClient]]:
    """A client on a copy of the demo, which is the demo again at each call."""
    folder = tmp_path_factory.mktemp("saved") / "garage"
    shutil.copytree(demo_folder, folder)
    with client_on(folder) as client:

        def renewed() -> TestClient:
            client.app.state.engine.dispose()
            with sqlite3.connect(demo_folder / DATABASE_NAME) as kept, sqlite3.connect(folder / DATABASE_NAME) as used:
                kept.backup(used)
            return client

        yield renewed


def form_on(client: TestClient, page: str, action: str) -> Form:
    """The form of a page that goes to an address."""
    forms, _ = read_page(client.get(page).text, page)
    return next(form for form in forms if form.method == "post" and form.action == action)


@pytest.mark.parametrize(("page", "action"), SAVES)
def test_a_save_asks_no_more_than_its_budget_and_nothing_twice(as_new: Callable, page: str, action: str):
    client = as_new()
    form = form_on(client, page, action)
    with counted(client.app.state.engine) as statements:
        assert client.post(action, data=form.data).status_code == 303
    assert len(statements) <= SAVES_OF_THEIR_OWN.get(action, MOST_IN_A_SAVE), "\n".join(map(str, statements.table()))
    assert statements.again == 0, "\n".join(map(str, statements.table()))


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
