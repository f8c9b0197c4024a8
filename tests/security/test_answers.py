"""What a browser is told, on every page there is; what is sent out as a table or a file."""

import base64
import csv
import io
import json
import re
import socket
import struct
import tracemalloc
import zlib
from datetime import UTC, datetime
from functools import cache

import pytest
from PIL import ImageFile
from starlette.testclient import TestClient

from garage import serving
from garage.web.guard import HEADERS
from garage.web.late import load_all
from tests.durability.conftest import garage, picture, small_garage
from tests.durability.pages import DESK, every_twin
from tests.durability.served import query

__all__ = ["garage", "small_garage"]
FORMULAS = ("=1+1", "+1", "-1+1", "@SUM(A1)", "\t=1", "=cmd|' /C calc'!A0", "＝1+1", "a;=1+1", "a\n=1+1", "a\t@SUM(A1)")


def test_every_answer_of_every_kind_carries_the_same_headers(garage, make_app):
    app = make_app(garage)
    client = TestClient(app, client=DESK, raise_server_exceptions=False)
    load_all(app)
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
    for number, formula in enumerate(FORMULAS, 10):
        query(garage, f"INSERT INTO attachment (kind, owner, owner_id, at, offset_min, text, url, sha256, media_type,"
              f" created_at) VALUES ('note', 'hull', 1, '2026-05-{number}T10:00:00Z', 0, ?, '', '', '',"
              " '2026-05-01T10:00:00Z')", (formula,))  # fmt: skip
        query(garage, "UPDATE hull SET name = ?, material = ? WHERE id = 1", (formula + "!", formula))
        query(garage, "UPDATE water SET name = ? WHERE id = 1", (formula,))
        tables = every_twin(make_app, garage, of_each=2, ending=".csv")
        assert len(tables) > 15
        for path, content in tables.items():
            for row in csv.reader(io.StringIO(content.decode("utf-8-sig"))):
                bad = [cell for cell in row if cell[:1] in "=+@\t\r" and cell or cell.startswith("-1+1")]
                assert bad == [], path
            # Read with another separator, or without heed of quotes, no cell begins with a formula either.
            for cell in re.split("[;\t\r\n]", content.decode("utf-8-sig")):
                assert cell[:1] not in ("=", "@", "＝"), (path, cell[:60])


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


_ELSEWHERE = ["//evil.example", "/\\evil.example", "/\t/evil.example", "https://evil.example", "/a?b=c"]


@pytest.mark.parametrize("place", _ELSEWHERE)
def test_a_made_up_notice_leads_no_form_to_another_host(garage, make_app, place):
    client = TestClient(make_app(garage), client=DESK)
    packed = base64.urlsafe_b64encode(json.dumps(["<script>x</script>", place]).encode()).decode()
    page = client.get("/hulls", cookies={"garage_notice": packed}).text
    assert "evil.example" not in page and "<script>x" not in page and "Take it back" not in page


def test_what_begins_as_a_sound_but_is_a_page_is_not_kept(garage, make_app):
    client = TestClient(make_app(garage), client=DESK)
    for content in (b"ID3<html><script>1</script></html>", b"ID3\x04\x00\x00\xff\xff\xff\xff<script>"):
        files = {"attach_files": ("a.mp3", content, "audio/mpeg")}
        assert client.post("/attachments/hull/1", data={"attach_text": "x"}, files=files).status_code == 422


def test_a_film_of_boxes_without_end_is_refused_soon(garage, make_app):
    client = TestClient(make_app(garage), client=DESK)
    film = b"\0\0\0\x18ftypisom\0\0\0\0isomiso2" + b"\0\0\0\x08free" * 250_000
    answer = client.post("/attachments/hull/1", files={"attach_files": ("a.mp4", film, "video/mp4")})
    assert answer.status_code == 422 and "damaged" in answer.text


def _png(width: int, height: int, *chunks: tuple[bytes, bytes]) -> bytes:
    def chunk(name: bytes, content: bytes) -> bytes:
        return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    rows = zlib.compress(b"\0" * min((width * 3 + 1) * height, 30_000_000), 9)
    parts = [(b"IHDR", head), *chunks, (b"IDAT", rows), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunk(*part) for part in parts)


@cache
def _blown_up() -> bytes:
    return zlib.compress(b"A" * 100_000_000, 9)


_BOMBS = {
    "more dots than are ever read": lambda: _png(60_000, 60_000),
    "more dots than fit": lambda: _png(9_000, 9_000),
    "a text that unpacks to 100 MB": lambda: _png(10, 10, (b"zTXt", b"a\0\0" + _blown_up())),
    "colours that unpack to 100 MB": lambda: _png(10, 10, (b"iCCP", b"a\0\0" + _blown_up())),
}


@pytest.mark.parametrize("what", _BOMBS)
def test_a_picture_that_blows_up_is_refused_in_words_and_leaves_nothing(garage, make_app, monkeypatch, what):
    client = TestClient(make_app(garage), client=DESK)
    before = sorted(path for path in (garage / "files").rglob("*"))
    bomb = _BOMBS[what]()
    # Dots are unpacked beyond what is followed here: that must not be begun at all.
    monkeypatch.setattr(ImageFile.ImageFile, "load", None)
    tracemalloc.start()
    answer = client.post("/attachments/hull/1", files={"attach_files": ("a.png", bomb, "image/png")})
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert answer.status_code == 422 and ("dots" in answer.text or "damaged" in answer.text)
    assert most < 30_000_000
    assert sorted(path for path in (garage / "files").rglob("*")) == before


def test_nobody_is_taken_for_the_desk_by_what_a_header_says(monkeypatch, tmp_path):
    told = {}
    monkeypatch.setattr(serving.uvicorn, "run", lambda app, **options: told.update(options))
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    assert serving.serve(["--data", str(tmp_path / "garage"), "--port", str(port)]) == 0
    assert told["proxy_headers"] is False and told["host"] == "127.0.0.1" and told["server_header"] is False


_NOT_SERVED = ["/docs", "/redoc", "/schema", "/garage.sqlite", "/backups", "/.git/config"]


@pytest.mark.parametrize("path", _NOT_SERVED)
def test_nothing_of_the_folder_is_served(garage, make_app, path):
    assert TestClient(make_app(garage), client=DESK).get(path).status_code == 404
