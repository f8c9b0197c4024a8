"""Wrong input into every form of every kind of page: words beside the field, nothing lost, never a fault of ours."""

import re
import shutil
from collections import deque
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from garage.app import create_app
from garage.paths import TEMPLATES_DIR
from garage.settings import Settings
from garage.web.numbers import NUMBER_FIELD
from tests.forms import Form, read_page

MOST_PAGES = 700
# Where the looking begins; a form that is posted only once what was typed was looked at is not linked to.
BEGINNINGS = (
    "/", "/otherwise/state/36/never?look=yes", "/otherwise/modification/13/boat?look=yes&hull=1",
    "/otherwise/outing/54/day?look=yes&day=2026-10-30", "/otherwise/run/221/packs?look=yes&pack=13",
)  # fmt: skip
DESK = ("127.0.0.1", 50000)
HOSTILE = {
    "empty": "",
    "negative": "-5",
    "absurd": "99999999999",
    "other unit": "45 parsec",
    "emoji": "\U0001f6a4\U0001f525",
    "ten thousand characters": "x" * 10_000,
    "a date in the future": "2099-01-01T10:00",
    "markup": "<script>alert(1)</script>\"'&",
    "not a number": "nan",
    "a power": "9**9**9 mm",
    "a null": "a\x00b",
}


def _kind(address: str) -> str:
    """Pages and forms that differ only in their numbers are of one kind."""
    return re.sub(r"\d+", "N", address.split("?")[0])


def _crawl(client: TestClient) -> dict[str, tuple[str, Form]]:
    """One form of each kind, with the page it stands on."""
    seen, found = set(BEGINNINGS), {}
    visits: dict[str, int] = {}
    waiting = deque(BEGINNINGS)
    while waiting and len(seen) < MOST_PAGES:
        path = waiting.popleft()
        if visits.setdefault(_kind(path), 0) >= 4:
            continue
        visits[_kind(path)] += 1
        answer = client.get(path)
        assert answer.status_code == 200, f"{path} answers {answer.status_code}"
        if not answer.headers["content-type"].startswith("text/html"):
            continue
        forms, links = read_page(answer.text, path.split("?")[0])
        for form in forms:
            if form.method == "post":
                found.setdefault(_kind(form.action) + " " + ",".join(sorted(map(_kind, form.fields))), (path, form))
        for link in links:
            if link not in seen:
                seen.add(link)
                waiting.append(link)
    return found


@pytest.fixture(scope="module")
def every_form(demo_folder: Path, tmp_path_factory, make_app_for_module) -> dict[str, tuple[str, Form]]:
    folder = Path(shutil.copytree(demo_folder, tmp_path_factory.mktemp("forms") / "demo"))
    return _crawl(TestClient(make_app_for_module(folder), client=DESK))


@pytest.fixture(scope="module")
def make_app_for_module():
    return lambda folder: create_app(Settings(folder, hosts=("testserver",)))


def test_every_form_that_posts_carries_a_number_of_its_own(every_form):
    numbers = [form.data.get(NUMBER_FIELD, "") for _, form in every_form.values()]
    assert len(numbers) > 30
    without = [f"{form.action} (on {page})" for page, form in every_form.values() if NUMBER_FIELD not in form.fields]
    assert without == []
    assert all(re.fullmatch("[0-9a-f]{32}", number) for number in numbers) and len(set(numbers)) == len(numbers)


def test_nothing_is_posted_but_by_a_form():
    tags = [
        (path.name, tag)
        for path in sorted(TEMPLATES_DIR.rglob("*.html"))
        for tag in re.findall(r"<\w+[^<]*hx-(?:post|put|patch|delete)=", path.read_text())
    ]
    assert [(name, tag) for name, tag in tags if not tag.startswith("<form ")] == []


_TAKES_AWAY = re.compile(r"aside|retire|drop|take-back|withdraw|wave|close")


def _expected_back(text: str) -> str:
    # A browser sends line breaks as CR LF and a field cannot hold a null.
    return text.replace("\x00", "")


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_input(name: str, every_form, demo_folder: Path, tmp_path: Path, make_app_for_module):
    copy = tmp_path / "demo"
    shutil.copytree(demo_folder, copy)
    client = TestClient(make_app_for_module(copy), client=DESK)
    text, faults = HOSTILE[name], []
    assert len(every_form) > 30
    # What takes a thing out of the lists comes last: the others are about things that are there.
    for page, form in sorted(every_form.values(), key=lambda found: bool(_TAKES_AWAY.search(found[1].action))):
        data = form.data | {part.name: text for part in form.fields.values() if part.is_typed}
        answer = client.post(form.action, data=data)
        label = f"{form.action} (on {page})"
        if answer.status_code >= 500:
            faults.append(f"{label}: {answer.status_code}")
        elif answer.status_code == 422:
            again = [back for back in read_page(answer.text, form.action)[0] if set(form.fields) <= set(back.fields)]
            if 'class="error"' not in answer.text and 'class="errors"' not in answer.text:
                faults.append(f"{label}: nothing is said")
            if not again:
                faults.append(f"{label}: the form is gone")
            elif lost := [
                part.name
                for part in form.fields.values()
                if part.is_typed and _expected_back(again[0].fields[part.name].value) != _expected_back(text)
            ]:
                faults.append(f"{label}: lost what was typed in {lost}")
    assert faults == []


def test_a_choice_that_was_not_offered(every_form, demo_folder: Path, tmp_path: Path, make_app_for_module):
    copy = tmp_path / "demo"
    shutil.copytree(demo_folder, copy)
    client = TestClient(make_app_for_module(copy), client=DESK)
    faults = []
    for page, form in every_form.values():
        foreign = {part.name: "not offered" for part in form.fields.values() if part.kind in ("select", "radio")}
        answer = client.post(form.action, data=form.data | foreign)
        if answer.status_code >= 500:
            faults.append(f"{form.action} (on {page}): {answer.status_code}")
    assert faults == []
