"""The door: which names are answered, which writes carried out, who may enter, what browsers are told."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from starlette.testclient import TestClient

from garage.app import create_app
from garage.settings import Settings
from garage.web.guard import DEVICE_COOKIE

HOME = "192.168.1.20:8321"
HULL = {"name": "Heron", "kind": "mono", "screws": "1"}


class Clock:
    """A clock that a test can move."""

    def __init__(self) -> None:
        self.now = datetime(2026, 5, 9, 14, 30, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def lan_app(tmp_path, clock):
    """An app that also serves the home network."""
    hosts = ("127.0.0.1", "localhost", "[::1]", "192.168.1.20", "bench.local")
    return create_app(replace(Settings(tmp_path / "garage"), lan=True, port=8321, hosts=hosts, clock=clock))


@pytest.fixture
def desk(lan_app):
    return TestClient(lan_app, base_url="http://127.0.0.1:8321", client=("127.0.0.1", 40000))


@pytest.fixture
def phone(lan_app):
    return TestClient(lan_app, base_url=f"http://{HOME}", client=("192.168.1.77", 40000))


def code(desk) -> str:
    return desk.get("/access.json").json()["code"]


def pair(desk, phone, name: str = "my phone"):
    return phone.post("/pair", data={"code": code(desk), "name": name}, follow_redirects=False)


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "", "192.168.1.21", "localhost.evil:80"])
def test_a_foreign_host_name_is_not_answered(desk, host):
    answer = desk.get("/hulls", headers={"host": host})
    assert answer.status_code == 421
    assert "Heron" not in answer.text


@pytest.mark.parametrize(
    "host", ["127.0.0.1:8321", "localhost", "LOCALHOST:1", "[::1]:8321", "[::1]", "bench.local:8321"]
)
def test_our_own_names_are_answered_on_any_port(desk, host):
    assert desk.get("/hulls", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"sec-fetch-site": "cross-site", "origin": "http://127.0.0.1:8321"},
    ],
)
def test_a_write_from_another_site_is_not_carried_out(desk, headers):
    assert desk.post("/hulls/new", data=HULL, headers=headers).status_code == 403
    assert desk.get("/hulls.json").json()["rows"] == []


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"origin": "http://127.0.0.1:8321"},
        {"origin": "http://127.0.0.1:8321", "sec-fetch-site": "same-origin"},
    ],
)
def test_a_write_from_our_own_page_is_carried_out(desk, headers):
    assert desk.post("/hulls/new", data=HULL, headers=headers, follow_redirects=False).status_code == 303


def test_a_plain_form_from_a_paired_phone_over_http_is_carried_out(desk, phone):
    # Over plain http to a home address, browsers send Origin and no Sec-Fetch headers.
    pair(desk, phone)
    answer = phone.post("/hulls/new", data=HULL, headers={"origin": f"http://{HOME}"}, follow_redirects=False)
    assert answer.status_code == 303
    assert [row["name"] for row in desk.get("/hulls.json").json()["rows"]] == ["Heron"]


@pytest.mark.parametrize(
    "path", ["/", "/hulls", "/hulls.json", "/access", "/access/qr.svg", "/files/" + "0" * 64, "/pairs/.."]
)
def test_a_strange_phone_is_led_to_the_pairing_page_and_sees_nothing_else(phone, path):
    answer = phone.get(path, follow_redirects=False)
    assert answer.status_code in (303, 404)
    assert answer.status_code == 404 or answer.headers["location"] == "/pair"
    assert phone.get("/pair").status_code == 200
    assert phone.get("/static/garage.css").status_code == 200


def test_a_strange_phone_cannot_write(desk, phone):
    assert phone.post("/hulls/new", data=HULL, follow_redirects=False).headers["location"] == "/pair"
    assert desk.get("/hulls.json").json()["rows"] == []


def test_a_made_up_cookie_lets_nobody_in(phone):
    for cookie in (f"{DEVICE_COOKIE}=guess", f"{DEVICE_COOKIE}=", f'{DEVICE_COOKIE}="', ";;=,", "x" * 4000):
        answer = phone.get("/hulls", headers={"cookie": cookie}, follow_redirects=False)
        assert answer.status_code == 303


def test_the_code_lets_one_phone_in_with_a_cookie_out_of_reach_of_scripts(desk, phone):
    answer = pair(desk, phone)
    assert answer.status_code == 303
    [cookie] = [line for line in answer.headers.get_list("set-cookie") if line.startswith(DEVICE_COOKIE)]
    told = {part.strip().lower() for part in cookie.split(";")[1:]}
    assert {"httponly", "samesite=strict", f"max-age={90 * 24 * 3600}", "path=/"} <= told
    assert phone.get("/hulls").status_code == 200
    assert "my phone" in desk.get("/access").text


def test_a_code_is_good_for_one_phone_only(lan_app, desk, phone):
    shown = code(desk)
    phone.post("/pair", data={"code": shown, "name": "first"})
    other = TestClient(lan_app, base_url=f"http://{HOME}", client=("192.168.1.78", 40000))
    answer = other.post("/pair", data={"code": shown, "name": "second"})
    assert answer.status_code == 422
    assert other.get("/hulls", follow_redirects=False).status_code == 303


def test_the_code_may_be_typed_with_spaces(desk, phone):
    shown = code(desk)
    assert " " in shown
    assert phone.post("/pair", data={"code": f" {shown}-", "name": "x"}, follow_redirects=False).status_code == 303


def test_guesses_are_limited_until_the_desk_shows_a_new_code(desk, phone):
    shown = code(desk)
    wrong = f"{(int(shown.replace(' ', '')) + 1) % 10**8:08d}"
    for _ in range(5):
        answer = phone.post("/pair", data={"code": wrong, "name": "guesser"})
        assert answer.status_code == 422
        assert "That is not the code shown on the desk." in answer.text
    answer = phone.post("/pair", data={"code": shown, "name": "guesser"})
    assert answer.status_code == 422
    assert "Too many wrong codes." in answer.text and 'value="guesser"' in answer.text
    assert code(desk) != shown
    assert pair(desk, phone).status_code == 303


def test_a_code_runs_out_after_ten_minutes(desk, phone, clock):
    shown = code(desk)
    clock.now += timedelta(minutes=10, seconds=1)
    answer = phone.post("/pair", data={"code": shown, "name": "late"})
    assert answer.status_code == 422
    assert "The code has run out." in answer.text and 'id="e-code"' in answer.text
    assert code(desk) != shown


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"code": "", "name": "x"}, "code"),
        ({"code": "🚤", "name": "x"}, "code"),
        ({"code": "1" * 10_000, "name": "x"}, "code"),
        ({"code": "１２３４５６７８", "name": "x"}, "code"),
        ({"code": "12345678", "name": ""}, "name"),
        ({"code": "12345678", "name": "n" * 61}, "name"),
    ],
)
def test_a_wrong_entry_at_the_door_gets_a_message_by_its_field(desk, phone, typed, field):
    code(desk)
    answer = phone.post("/pair", data=typed)
    assert answer.status_code == 422
    assert f'id="e-{field}"' in answer.text


def test_a_phone_sent_away_is_refused_from_then_on(desk, phone):
    pair(desk, phone)
    assert phone.get("/hulls").status_code == 200
    page = desk.post("/access/1/send-away")
    assert "my phone is sent away" in page.text and "None yet." in page.text
    assert phone.get("/hulls", follow_redirects=False).headers["location"] == "/pair"
    assert desk.post("/access/9/send-away").status_code == 404


def test_a_phone_sent_away_by_mistake_is_let_back_in_from_the_desk_alone(desk, phone):
    pair(desk, phone)
    sent = desk.post("/access/1/send-away", follow_redirects=False)
    assert "/access/1/let-back-in" in desk.get("/access", cookies=sent.cookies).text
    assert phone.post("/access/1/let-back-in", follow_redirects=False).headers["location"] == "/pair"
    assert phone.get("/hulls", follow_redirects=False).status_code == 303
    assert desk.post("/access/1/let-back-in", follow_redirects=False).status_code == 303
    assert phone.get("/hulls", follow_redirects=False).status_code == 200
    assert desk.post("/access/9/let-back-in").status_code == 404


def test_a_paired_phone_lets_no_other_back_in_by_taking_back_the_last_act(lan_app, desk, phone):
    pair(desk, phone)
    other = TestClient(lan_app, base_url=f"http://{HOME}", client=("192.168.1.78", 40000))
    pair(desk, other, "other")
    desk.post("/access/1/send-away")
    for act in range(1, 6):
        assert other.post(f"/undo/{act}", follow_redirects=False).status_code in (404, 409)
    assert other.post("/access/1/let-back-in").status_code == 404
    assert phone.get("/hulls", follow_redirects=False).headers["location"] == "/pair"


def test_a_phone_takes_its_own_pairing_back_and_no_other(lan_app, desk, phone):
    paired = pair(desk, phone)
    other = TestClient(lan_app, base_url=f"http://{HOME}", client=("192.168.1.78", 40000))
    pair(desk, other, "other")
    assert "/pair/leave" in phone.get("/", cookies=paired.cookies).text
    assert phone.post("/pair/leave", follow_redirects=False).headers["location"] == "/pair"
    assert phone.get("/hulls", follow_redirects=False).headers["location"] == "/pair"
    assert other.get("/hulls", follow_redirects=False).status_code == 200
    stranger = TestClient(lan_app, base_url=f"http://{HOME}", client=("192.168.1.79", 40000))
    assert stranger.post("/pair/leave", follow_redirects=False).status_code == 404


def test_phones_let_in_by_a_screen_that_only_shows_are_sent_away_from_it(desk, lan_app, tmp_path, clock):
    hosts = ("127.0.0.1", "192.168.1.20")
    shows = create_app(replace(Settings(tmp_path / "garage"), lan=True, read_only=True, hosts=hosts, clock=clock))
    here = TestClient(shows, base_url="http://127.0.0.1:8322", client=("127.0.0.1", 40000))
    tablet = TestClient(shows, base_url="http://192.168.1.20:8322", client=("192.168.1.90", 40000))
    pair(here, tablet)
    assert "1 phone was let in to this screen" in here.get("/access").text
    assert tablet.get("/hulls", follow_redirects=False).status_code == 200
    assert tablet.post("/access/forget").status_code == 404
    assert here.post("/access/forget", follow_redirects=False).status_code == 303
    assert tablet.get("/hulls", follow_redirects=False).headers["location"] == "/pair"


def test_a_phone_stays_for_ninety_days(desk, phone, clock):
    pair(desk, phone)
    clock.now += timedelta(days=89)
    assert phone.get("/hulls", follow_redirects=False).status_code == 200
    clock.now += timedelta(days=2)
    assert phone.get("/hulls", follow_redirects=False).status_code == 303
    assert desk.get("/access.json").json()["phones"] == []


def test_a_phone_that_was_let_in_sees_no_code_and_sends_nobody_away(desk, phone):
    pair(desk, phone)
    shown = code(desk)
    for path in ("/access", "/access.json", "/access/qr.svg"):
        answer = phone.get(path)
        assert answer.status_code == 404
        assert shown not in answer.text and shown.replace(" ", "") not in answer.text
    assert phone.post("/access/1/send-away").status_code == 404
    assert phone.get("/hulls").status_code == 200


def test_the_page_for_the_phone_does_not_tell_the_code(desk, phone):
    shown = code(desk)
    for path in ("/pair", "/pair.json"):
        assert shown.replace(" ", "") not in phone.get(path).text.replace(" ", "")


def test_the_desk_shows_address_and_picture_only_when_the_network_is_served(desk, tmp_path, clock):
    page = desk.get("/access").text
    assert "http://192.168.1.20:8321/pair" in page
    assert desk.get("/access/qr.svg").headers["content-type"] == "image/svg+xml"
    alone = create_app(replace(Settings(tmp_path / "alone"), clock=clock))
    client = TestClient(alone, base_url="http://127.0.0.1:8321", client=("127.0.0.1", 40000))
    assert "garage serve --lan" in client.get("/access").text
    assert client.get("/access/qr.svg").status_code == 404


@pytest.mark.parametrize("path", ["/hulls", "/hulls.json", "/nowhere", "/static/garage.css", "/pair"])
def test_every_answer_tells_the_browser_what_it_may_do(desk, path):
    headers = desk.get(path).headers
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy and "frame-ancestors 'none'" in policy
    assert "unsafe-inline" not in policy and "http" not in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"


def test_refusals_carry_the_same_headers(desk):
    for answer in (
        desk.get("/", headers={"host": "evil.example"}),
        desk.post("/hulls/new", headers={"origin": "null"}),
    ):
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert "default-src 'none'" in answer.headers["content-security-policy"]


def test_too_large_a_body_is_refused_whether_its_length_is_told_or_not(lan_app, tmp_path, clock):
    small = create_app(replace(Settings(tmp_path / "small"), max_body_bytes=1000, max_upload_bytes=5000, clock=clock))
    client = TestClient(small, base_url="http://127.0.0.1", client=("127.0.0.1", 1))
    assert client.post("/hulls/new", data={"name": "x" * 2000}).status_code == 413
    assert client.post("/attachments/quick", data={"attach_text": "x" * 2000}).status_code == 200
    assert client.post("/attachments/quick", data={"attach_text": "x" * 6000}).status_code == 413

    def pieces():
        for _ in range(50):
            yield b"name=" + b"x" * 100

    kind = {"content-type": "application/x-www-form-urlencoded"}
    assert client.post("/hulls/new", content=pieces(), headers=kind).status_code == 413
    assert client.get("/hulls.json").json()["rows"] == []
