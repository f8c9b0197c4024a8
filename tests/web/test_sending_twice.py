"""A form that is sent once more writes once: the same number and the same texts lead to what was made first."""

import base64
import json
import re
from concurrent.futures import ThreadPoolExecutor

import pytest
from sqlmodel import Session, SQLModel

from garage.db.engine import reading
from garage.db.sent import ONLY_SETS
from garage.web import pages
from garage.web.numbers import NUMBER_FIELD, Numbered
from tests.forms import read_page
from tests.seeded import with_history

NUMBER = "0123456789abcdef" * 2
# What a form shows goes only into those that come back to their own page.
OWN = "{{ shown_field() }}"
TEAL = {"name": "Teal", "kind": "mono", "screws": "1"}


@pytest.fixture
def garage(session: Session):
    made = with_history(session)
    session.commit()
    return made


def _numbers(client, page: str) -> list[str]:
    return re.findall(f'name="{NUMBER_FIELD}" value="([0-9a-f]*)"', client.get(page).text)


def _count(app, table: str) -> int:
    with reading(app.state.engine) as session:
        return session.connection().exec_driver_sql(f"SELECT count(*) FROM {table}").scalar_one()


def _post(client, address: str, data: dict, number: str = NUMBER, **more):
    return client.post(address, data=data | {NUMBER_FIELD: number}, follow_redirects=False, **more)


def _notice(answer) -> list[str]:
    return json.loads(base64.urlsafe_b64decode(answer.cookies["garage_notice"].strip('"')))


def test_each_form_of_each_rendering_has_a_number_of_its_own(client, garage):
    seen = [number for page in ("/hulls/new", "/runs/1", "/runs/1") for number in _numbers(client, page)]
    assert len(seen) > 5 and all(re.fullmatch("[0-9a-f]{32}", number) for number in seen)
    assert len(set(seen)) == len(seen)


def test_an_equal_form_sent_again_writes_nothing_and_leads_to_what_was_made_first(app, client, garage):
    first = _post(client, "/hulls/new", TEAL)
    for _ in range(5):
        again = _post(client, "/hulls/new", TEAL)
        assert (again.status_code, again.headers["location"]) == (303, first.headers["location"])
    assert _count(app, "hull") == len(garage.hulls) + 1 and _count(app, "sent_form") == 1
    said, undo, another = _notice(again)
    assert said.startswith("Was written already: ") and "open a new form" in said
    assert (undo, another) == (_notice(first)[1], "/hulls/new")
    page = client.get(first.headers["location"]).text
    assert "Was written already" in page and '<a href="/hulls/new">Write another one</a>' in page


def test_equal_forms_at_once_write_once(app, client, garage):
    before = _count(app, "attachment")
    outing = client.get("/outings.json").json()["rows"][0]["id"]
    at = f"/attachments/outing/{outing}"
    with ThreadPoolExecutor(5) as crowd:
        answers = list(crowd.map(lambda _: _post(client, at, {"attach_text": "a heron stood there"}), range(5)))
    assert {(answer.status_code, answer.headers["location"]) for answer in answers} == {
        (303, answers[0].headers["location"])
    }
    assert _count(app, "attachment") == before + 1


def test_without_a_number_or_with_none_of_ours_it_is_as_before(app, client, garage):
    before = _count(app, "attachment")
    for number in ("", "x", "0" * 31, "A" * 32, NUMBER + "0"):
        for _ in range(2):
            assert _post(client, "/attachments/quick", {"attach_text": "rain"}, number).status_code == 303
    assert _count(app, "attachment") == before + 10 and _count(app, "sent_form") == 0


def test_a_refused_form_keeps_its_number_and_is_written_once_it_is_right(app, client, garage):
    refused = _post(client, "/hulls/new", TEAL | {"length": "x"})
    assert refused.status_code == 422 and _count(app, "sent_form") == 0
    [form] = [form for form in read_page(refused.text, "/hulls/new")[0] if "name" in form.fields]
    assert form.fields[NUMBER_FIELD].value == NUMBER
    assert _post(client, "/hulls/new", TEAL).status_code == 303
    assert _post(client, "/hulls/new", TEAL).status_code == 303
    assert _count(app, "hull") == len(garage.hulls) + 1


def test_another_text_in_a_form_that_was_written_is_asked_about_and_then_written(app, client, garage):
    _post(client, "/hulls/new", TEAL)
    asked = _post(client, "/hulls/new", TEAL | {"name": "Teal II"})
    assert asked.status_code == 422 and "was written already" in asked.text and "Teal II" in asked.text
    assert _count(app, "hull") == len(garage.hulls) + 1
    [form] = [form for form in read_page(asked.text, "/hulls/new")[0] if "name" in form.fields]
    number = form.fields[NUMBER_FIELD].value
    assert number != NUMBER
    assert _post(client, "/hulls/new", TEAL | {"name": "Teal II"}, number).status_code == 303
    assert _count(app, "hull") == len(garage.hulls) + 2


def test_a_run_asked_about_for_its_form_was_written_keeps_the_pack_that_ran_meanwhile(client, garage):
    """Written, back, another speed: the pack is none of those “not yet run that day” any more, and stays chosen."""
    page = client.get("/runs/new?hull=1").text
    [form] = [form for form in read_page(page, "/runs/new")[0] if "speed" in form.fields]
    pack = next(value for value in form.fields["pack"].choices if value)
    typed = form.data | {"pack": pack, "speed": "70"}
    assert client.post("/runs/new", data=typed, follow_redirects=False).status_code == 303
    asked = client.post("/runs/new", data=typed | {"speed": "71"}, follow_redirects=False)
    assert asked.status_code == 422
    [again] = [form for form in read_page(asked.text, "/runs/new")[0] if "speed" in form.fields]
    assert (again.fields["pack"].value, again.fields["speed"].value) == (pack, "71")
    assert client.post("/runs/new", data=again.data, follow_redirects=False).status_code == 303


def test_two_forms_that_share_a_number_are_not_taken_for_each_other(app, client, garage):
    waters = _count(app, "water")
    for _ in range(2):
        assert _post(client, "/hulls/new", TEAL).status_code == 303
        assert _post(client, "/waters/new", {"name": "Long Water"}).status_code == 303
    assert (_count(app, "hull"), _count(app, "water")) == (len(garage.hulls) + 1, waters + 1)


def test_another_file_of_the_same_name_is_not_taken_for_a_repeat(app, client, garage):
    answers = [
        _post(client, "/import", {}, files={"sheet": ("a.csv", f"Date;Boat\n2026-03-{day};Medlar\n", "text/csv")})
        for day in (20, 21, 20)
    ]
    assert [answer.status_code for answer in answers] == [303, 422, 303]
    assert answers[0].headers["location"] == answers[2].headers["location"]
    assert _count(app, "past_import") == 1


def test_what_was_taken_back_does_not_come_back_by_the_form_sent_again(app, client, garage):
    first = _post(client, "/hulls/new", TEAL)
    assert client.post(_notice(first)[1]).status_code == 200
    assert _count(app, "hull") == len(garage.hulls)
    again = _post(client, "/hulls/new", TEAL)
    assert _count(app, "hull") == len(garage.hulls)
    assert again.status_code == 303 and client.get(again.headers["location"]).status_code == 200
    said, undo, another = _notice(again)
    assert "taken back since" in said and undo == "" and another == "/hulls/new"
    # Something else in it is no repeat, and nothing stands that it could double.
    assert _post(client, "/hulls/new", TEAL | {"name": "Teal II"}).status_code == 303
    assert _count(app, "hull") == len(garage.hulls) + 1


def test_a_repeat_leaves_the_last_act_to_be_taken_back(app, client, garage):
    first = _post(client, "/hulls/new", TEAL)
    again = _post(client, "/hulls/new", TEAL)
    assert client.post(_notice(again)[1]).status_code == 200
    assert _count(app, "hull") == len(garage.hulls)
    assert _notice(first)[1] == _notice(again)[1]


def test_what_only_sets_something_is_done_each_time(app, client, garage):
    for unit in ("imperial", "metric", "imperial"):
        assert _post(client, f"/preferences/{unit}", {}).status_code == 303
    assert "mph" in client.get("/runs/1").text
    values = client.get("/hulls/1/edit.json").json()["values"]
    for name in ("Medlar II", "Medlar", "Medlar II"):
        assert _post(client, "/hulls/1/edit", values | {"name": name}).status_code == 303
    assert client.get("/hulls/1.json").json()["name"] == "Medlar II"
    assert _count(app, "sent_form") == 0


def test_a_write_that_fails_keeps_no_number(app, client, garage, monkeypatch):
    def fails(*_):
        raise RuntimeError("the disk gave out")

    with monkeypatch.context() as patched:
        patched.setattr(pages, "keep_sent", fails)
        with pytest.raises(RuntimeError):
            _post(client, "/hulls/new", TEAL)
    assert _count(app, "hull") == len(garage.hulls) and _count(app, "sent_form") == 0
    assert _post(client, "/hulls/new", TEAL).status_code == 303


def test_tables_that_only_set_something_are_there():
    assert set(SQLModel.metadata.tables) > ONLY_SETS


@pytest.mark.parametrize(
    ("tag", "posts"),
    [
        ('<form method="post">', True),
        ('<form class="a" method=post action="/x">', True),
        ('<form action="{% if a > b %}/x{% endif %}" method="post">', True),
        ('<form action="{{ a > b }}"\n method="post">', True),
        ('<form method="get" action="/post">', False),
        ('<form data-method="post">', False),
        ("<formal>", False),
    ],
)
def test_the_field_stands_right_behind_the_tag_of_a_form_that_posts(tag: str, posts: bool):
    source = f"<p>{tag}<button>"
    assert Numbered.preprocess(None, source, "x") == (  # type: ignore[arg-type]
        f"<p>{tag}{{{{ number_field() }}}}{OWN * ('action=' not in tag)}<button>" if posts else source
    )
