"""What a browser is told, on every page there is; what is sent out as a table or a file."""

import csv
import io
from datetime import UTC, datetime

import pytest
from starlette.testclient import TestClient

from garage.web.guard import HEADERS
from tests.durability.conftest import garage, picture, small_garage
from tests.durability.pages import DESK, every_twin
from tests.durability.served import query

__all__ = ["garage", "small_garage"]
FORMULAS = ("=1+1", "+1", "-1+1", "@SUM(A1)", "\t=1", "=cmd|' /C calc'!A0")


def test_every_answer_of_every_kind_carries_the_same_headers(garage, make_app):
    app = make_app(garage)
    client = TestClient(app, client=DESK, raise_server_exceptions=False)
    paths = {route.path.split("{")[0] or "/" for route in app.routes}
    for path in sorted(paths):
        headers = client.get(path, follow_redirects=False).headers
        assert {name: headers.get(name) for name in HEADERS} == HEADERS, path


def test_the_policy_allows_nothing_but_our_own_files():
    parts = dict(part.strip().split(" ", 1) for part in HEADERS["content-security-policy"].split(";"))
    assert parts["default-src"] == "'none'" and parts["frame-ancestors"] == "'none'" and parts["base-uri"] == "'none'"
    assert set(" ".join(parts.values()).split()) <= {"'self'", "'none'", "data:"}
    assert parts["script-src"] == parts["style-src"] == parts["form-action"] == "'self'"


def test_a_formula_is_text_in_every_table(garage, make_app):
    for number, formula in enumerate(FORMULAS, 1):
        query(garage, f"INSERT INTO attachment (kind, owner, owner_id, at, offset_min, text, url, sha256, media_type,"
              f" created_at) VALUES ('note', 'hull', 1, '2026-05-0{number}T10:00:00Z', 0, ?, '', '', '',"
              " '2026-05-01T10:00:00Z')", (formula,))  # fmt: skip
        query(garage, "UPDATE hull SET name = ?, material = ? WHERE id = 1", (formula + "!", formula))
        query(garage, "UPDATE water SET name = ? WHERE id = 1", (formula,))
        tables = every_twin(make_app, garage, of_each=2, ending=".csv")
        assert len(tables) > 15
        for path, content in tables.items():
            for row in csv.reader(io.StringIO(content.decode("utf-8-sig"))):
                bad = [cell for cell in row if cell[:1] in "=+@\t\r" and cell or cell.startswith("-1+1")]
                assert bad == [], path


_NOT_OURS = [
    {"host": "127.0.0.1.evil.example"},
    {"host": "[::1].evil"},
    {"host": "testserver@evil"},
    {"host": "evil:80@testserver"},
    {"host": "testserver", "origin": "http://testserver.evil"},
    {"origin": "http://evil", "sec-fetch-site": "same-origin"},
    {"origin": "null"},
    {"sec-fetch-site": "cross-site"},
    {"origin": "https://testserver:444"},
    {"origin": "not an origin"},
]
_NAMES = ["../../../etc/passwd", "..\\..\\evil.png", "/abs.png", "a\x00b.png", "CON", "x" * 5000]
_NO_PICTURES = [
    b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>",
    b"<html><script>1</script>",
    b"%PDF-1.7",
    b"MZ\x90\0",
    b"GIF89a<script>1</script>",
]


@pytest.mark.parametrize("headers", _NOT_OURS)
def test_a_write_that_is_not_from_our_own_page_is_refused(garage, make_app, headers):
    client = TestClient(make_app(garage), client=DESK, raise_server_exceptions=False)
    before = query(garage, "SELECT count(*) FROM hull")
    answer = client.post("/hulls/new", data={"name": "Evil", "kind": "mono", "screws": "1"}, headers=headers)
    assert answer.status_code in (403, 421)
    assert query(garage, "SELECT count(*) FROM hull") == before


@pytest.mark.parametrize("name", _NAMES)
def test_a_name_of_a_file_is_never_a_path(garage, make_app, name):
    client = TestClient(make_app(garage), client=DESK)
    before = {path for path in garage.parent.rglob("*") if path.is_file()}
    files = {"attach_files": (name, picture(99), "image/png")}
    client.post("/attachments/hull/1", data={"attach_text": "x"}, files=files)
    new = {path for path in garage.parent.rglob("*") if path.is_file()} - before
    assert all(path.parent.parent == garage / "files" or path.name.startswith("garage.sqlite") for path in new)


@pytest.mark.parametrize("content", _NO_PICTURES)
def test_what_is_no_picture_is_not_kept_whatever_it_is_called(garage, make_app, content):
    client = TestClient(make_app(garage), client=DESK)
    files = {"attach_files": ("a.png", content, "image/png")}
    answer = client.post("/attachments/hull/1", data={"attach_text": "x"}, files=files)
    assert answer.status_code == 422


def test_a_picture_is_made_anew_and_sent_as_a_picture_only(garage, make_app):
    client = TestClient(make_app(garage), client=DESK)
    tail = b"<script>alert(1)</script>"
    files = {"attach_files": ("a.png", picture(123) + tail, "image/png")}
    assert client.post("/attachments/hull/1", data={"attach_text": "x"}, files=files).status_code == 200
    for (sha256,) in query(garage, "SELECT sha256 FROM attachment WHERE sha256 <> ''"):
        answer = client.get(f"/files/{sha256}")
        assert tail not in answer.content
        assert answer.headers["content-type"] in ("image/png", "image/jpeg", "image/webp")
        assert answer.headers["x-content-type-options"] == "nosniff"


def test_a_screen_that_only_shows_writes_nothing_and_still_lets_a_phone_in(garage, make_app):
    shows = make_app(garage, read_only=True, lan=True, clock=lambda: datetime(2026, 5, 9, tzinfo=UTC))
    desk = TestClient(shows, client=DESK)
    phone = TestClient(shows, client=("192.168.1.7", 4000))
    before = (garage / "garage.sqlite").read_bytes()
    code = desk.get("/access.json").json()["code"]
    assert phone.get("/hulls", follow_redirects=False).headers["location"] == "/pair"
    assert phone.post("/pair", data={"code": code, "name": "tablet"}, follow_redirects=False).status_code == 303
    assert "Medlar" in phone.get("/hulls").text
    assert phone.post("/hulls/new", data={"name": "x"}).status_code == 403
    assert desk.post("/runs/1/set-aside", data={}).status_code == 403
    assert (garage / "garage.sqlite").read_bytes() == before


