"""Attaching pictures, notes, sound, video and links: what is kept, what is refused, what is taken back."""

import hashlib
import io
import struct
from pathlib import Path

import pytest
from PIL import Image
from sqlmodel import select

from garage.db.engine import reading, writing
from garage.errors import NotFound
from garage.moments import Moment
from garage.photos import store
from garage.photos.pictures import MOST_PIXELS
from garage.photos.tables import Attachment

NOW = Moment("2026-05-09T14:30:00Z", 0)
GPS_BLOCK, ORIENTATION, TAKEN, TAKEN_OFFSET = 0x8825, 0x0112, 0x9003, 0x9011


@pytest.fixture
def hull(client) -> str:
    client.post("/hulls/new", data={"name": "Heron", "kind": "mono", "screws": "1"})
    return "/attachments/hull/1"


def rows(app) -> list[Attachment]:
    with reading(app.state.engine) as session:
        return list(session.exec(select(Attachment)))


def stored(app) -> list[Path]:
    return [path for path in app.state.settings.files_dir.rglob("*") if path.is_file()]


def picture(size=(60, 30), kind="JPEG", exif=None, **more) -> bytes:
    image = Image.new("RGB", size, "red")
    image.paste("blue", (0, 0, size[0] // 2, size[1]))
    out = io.BytesIO()
    image.save(out, kind, **({"exif": exif} if exif is not None else {}), **more)
    return out.getvalue()


def camera_exif(orientation=1, taken="2026:05:03 11:22:33", offset="+02:00") -> Image.Exif:
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    exif[0x010F] = "Maker of cameras"
    exif.get_ifd(0x8769).update({TAKEN: taken, TAKEN_OFFSET: offset})
    exif.get_ifd(GPS_BLOCK).update({1: "N", 2: (52.0, 31.0, 12.0), 3: "E", 4: (13.0, 24.0, 36.0)})
    return exif


def send(client, address: str, *files: tuple[str, bytes], **typed: str):
    return client.post(address, data=typed, files=[("attach_files", file) for file in files])


def box(name: bytes, content: bytes) -> bytes:
    return struct.pack(">I", 8 + len(content)) + name + content


def film(place: bytes = b"+52.5200+013.4050/", brand: bytes = b"isom") -> bytes:
    track = box(b"trak", box(b"tkhd", b"h" * 20) + box(b"meta", b"in the track " + place))
    movie = box(b"mvhd", b"m" * 30) + track + box(b"udta", box(b"\xa9xyz", place))
    return (
        box(b"ftyp", brand + b"\0\0\0\0isom")
        + box(b"moov", movie)
        + box(b"uuid", b"u" * 16 + place)
        + box(b"mdat", b"frames")
    )


def test_a_picture_is_turned_upright_and_named_by_the_hash_of_what_is_stored(client, app, hull):
    # Orientation 6: the camera was turned, so 60 x 30 stored dots are a picture of 30 x 60.
    send(client, hull, ("a.jpg", picture(exif=camera_exif(orientation=6))))
    [row] = rows(app)
    assert (row.width_px, row.height_px, row.media_type) == (30, 60, "image/jpeg")
    content = client.get(f"/files/{row.sha256}").content
    assert hashlib.sha256(content).hexdigest() == row.sha256
    with Image.open(io.BytesIO(content)) as kept:
        assert kept.size == (30, 60)
        # Turned a quarter clockwise, the left (blue) half is on top.
        assert kept.getpixel((15, 5))[2] > 200 and kept.getpixel((15, 55))[0] > 200


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_nothing_the_camera_wrote_about_place_or_owner_is_stored(client, app, hull, kind):
    noted = {"comment": b"by someone"} if kind == "JPEG" else {}
    sent = picture(kind=kind, exif=camera_exif(), **noted)
    assert b"Maker of cameras" in sent
    send(client, hull, ("a", sent))
    for path in stored(app):
        content = path.read_bytes()
        assert b"Maker of cameras" not in content and b"by someone" not in content
        with Image.open(io.BytesIO(content)) as kept:
            assert not kept.getexif() and not kept.getexif().get_ifd(GPS_BLOCK)
            assert not {"exif", "xmp", "comment", "icc_profile", "XML:com.adobe.xmp"} & set(kept.info)


@pytest.mark.parametrize(
    ("kind", "media_type"),
    [("JPEG", "image/jpeg"), ("PNG", "image/png"), ("WEBP", "image/webp"), ("GIF", "image/png")],
)
def test_a_picture_keeps_its_format_where_that_is_safe_and_is_served_for_good(client, app, hull, kind, media_type):
    send(client, hull, ("whatever.exe", picture(kind=kind)))
    [row] = rows(app)
    answer = client.get(f"/files/{row.sha256}")
    assert answer.headers["content-type"] == media_type
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert "immutable" in answer.headers["cache-control"]
    thumb = client.get(f"/files/{row.sha256}/thumb")
    assert (thumb.status_code, thumb.headers["content-type"]) == (200, "image/jpeg")


def test_a_thumbnail_is_small(client, app, hull):
    send(client, hull, ("a.jpg", picture(size=(3000, 1500))))
    with Image.open(io.BytesIO(client.get(f"/files/{rows(app)[0].sha256}/thumb").content)) as thumb:
        assert thumb.size == (480, 240)


def test_a_picture_has_the_cameras_time_unless_another_was_typed(client, app, hull):
    send(client, hull, ("a.jpg", picture(exif=camera_exif())))
    send(client, hull, ("b.jpg", picture(exif=camera_exif())), attach_at="2026-05-04T10:00")
    first, second = rows(app)
    assert (first.at, first.offset_min) == ("2026-05-03T09:22:33Z", 120)
    assert Moment(second.at, second.offset_min).local_text() == "2026-05-04T10:00"
    assert first.created_at == second.created_at == NOW.utc


@pytest.mark.parametrize("taken", ["0000:00:00 00:00:00", "1970:01:01 00:00:00", "2031:01:01 00:00:00", "\u1234"])
def test_a_camera_clock_that_was_never_set_is_not_believed(client, app, hull, taken):
    send(client, hull, ("a.jpg", picture(exif=camera_exif(taken=taken.encode("utf8").decode("latin1")))))
    assert [row.at for row in rows(app)] == [NOW.utc]


def test_several_files_come_in_at_once_and_the_same_one_is_stored_once(client, app, hull):
    page = send(client, hull, ("a.jpg", picture()), ("b.png", picture(kind="PNG")), ("c.jpg", picture()))
    assert "3 attached to Heron." in page.text
    assert len(rows(app)) == 3
    assert len(stored(app)) == 4


def test_a_stored_file_is_never_written_over(client, app, hull):
    send(client, hull, ("a.jpg", picture()))
    before = {path: path.stat().st_ino for path in stored(app)}
    send(client, hull, ("a.jpg", picture()))
    assert {path: path.stat().st_ino for path in stored(app)} == before


@pytest.mark.parametrize(
    ("name", "content", "message"),
    [
        ("cut.jpg", picture(size=(400, 400))[:2000], "“cut.jpg” is damaged or cut short"),
        ("cut.png", picture(kind="PNG", size=(400, 400))[:200], "“cut.png” is damaged or cut short"),
        ("page.jpg", b"<html><script>alert(1)</script></html>", "“page.jpg” is not a picture"),
        ("drawing.svg", b"<svg xmlns='http://www.w3.org/2000/svg'/>", "“drawing.svg” is not a picture"),
        ("nothing.jpg", b"", "“nothing.jpg” is empty."),
        ("phone.heic", box(b"ftyp", b"heic\0\0\0\0mif1"), "format that browsers do not show"),
        ("cut.mp4", film()[:-3], "“cut.mp4” is damaged or cut short"),
        ("program.mp4", b"MZ" + bytes(200), "“program.mp4” is not a picture"),
    ],
    ids=[
        "cut.jpg",
        "cut.png",
        "page.jpg",
        "drawing.svg",
        "nothing.jpg",
        "phone.heic",
        "cut.mp4",
        "program.mp4",
    ],
)
def test_a_damaged_or_foreign_file_is_refused_in_words_and_nothing_is_stored(client, app, hull, name, content, message):
    answer = send(client, hull, ("good.jpg", picture()), (name, content), attach_text="kept words")
    assert answer.status_code == 422
    assert message in answer.text and 'id="e-attach_files"' in answer.text
    assert "kept words" in answer.text
    assert rows(app) == [] and stored(app) == []


def test_a_picture_of_too_many_dots_is_refused_before_it_is_unpacked(client, app, hull):
    header = struct.pack(">IIBBBBB", 40_000, 40_000, 8, 2, 0, 0, 0)
    bomb = b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + b"IHDR" + header + bytes(4)
    assert MOST_PIXELS < 40_000 * 40_000
    answer = send(client, hull, ("bomb.png", bomb))
    assert answer.status_code == 422
    assert rows(app) == [] and stored(app) == []


def test_a_film_loses_the_place_that_the_phone_wrote_and_nothing_else(client, app, hull):
    send(client, hull, ("a.mp4", film()))
    [row] = rows(app)
    content = client.get(f"/files/{row.sha256}").content
    assert b"52.52" in film() and b"52.52" not in content
    assert len(content) == len(film())
    assert b"frames" in content and b"m" * 30 in content and b"h" * 20 in content
    assert (row.kind, row.media_type) == ("video", "video/mp4")


def test_a_film_can_be_read_from_the_middle(client, app, hull):
    send(client, hull, ("a.mp4", film()))
    part = client.get(f"/files/{rows(app)[0].sha256}", headers={"range": "bytes=4-7"})
    assert (part.status_code, part.content) == (206, b"ftyp")


@pytest.mark.parametrize(
    ("content", "kind", "media_type"),
    [
        (film(brand=b"M4A "), "sound", "audio/mp4"),
        (film(brand=b"qt  "), "video", "video/quicktime"),
        (b"\x1a\x45\xdf\xa3" + b"....webm" + bytes(80), "video", "video/webm"),
        (b"OggS" + bytes(80), "sound", "audio/ogg"),
        (b"RIFF....WAVE" + bytes(80), "sound", "audio/wav"),
        (b"ID3" + bytes(80), "sound", "audio/mpeg"),
        (b"fLaC" + bytes(80), "sound", "audio/flac"),
    ],
    ids=["m4a", "mov", "webm", "ogg", "wav", "mp3", "flac"],
)
def test_sound_and_video_are_known_by_their_content(client, app, hull, content, kind, media_type):
    send(client, hull, ("x.bin", content))
    [row] = rows(app)
    assert (row.kind, row.media_type) == (kind, media_type)
    assert ("<audio" if kind == "sound" else "<video") in client.get("/attachments/hull/1").text


def test_a_note_and_a_link_are_attached_with_their_time(client, app, hull):
    client.post(hull, data={"attach_text": "nick in\nthe strake <b>"})
    client.post(hull, data={"attach_url": "https://example.org/a?b=1", "attach_text": "plan"})
    page = client.get("/attachments/hull/1").text
    assert "nick in<br>the strake &lt;b&gt;" in page
    assert 'href="https://example.org/a?b=1" rel="noopener noreferrer"' in page
    assert [row.kind for row in rows(app)] == ["note", "link"]


@pytest.mark.parametrize(
    "url",
    [
        "javascript:alert(1)",
        "ftp://example.org/x",
        "example.org",
        "https://",
        "http://a b",
        "//example.org",
        "http://[",
    ],
)
def test_only_links_to_web_pages_are_taken(client, app, hull, url):
    answer = client.post(hull, data={"attach_url": url, "attach_text": "kept words"})
    assert answer.status_code == 422
    assert 'id="e-attach_url"' in answer.text and "kept words" in answer.text
    assert rows(app) == []


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({}, "attach_text"),
        ({"attach_text": "x" * 10_000}, "attach_text"),
        ({"attach_text": "a\0b"}, "attach_text"),
        ({"attach_text": "fine", "attach_at": "2026-05-10T10:00"}, "attach_at"),
        ({"attach_text": "fine", "attach_at": "yesterday"}, "attach_at"),
    ],
)
def test_a_wrong_note_gets_a_message_by_its_field(client, app, hull, typed, field):
    answer = client.post(hull, data=typed)
    assert answer.status_code == 422
    assert f'id="e-{field}"' in answer.text
    assert rows(app) == []


@pytest.mark.parametrize("address", ["/attachments/hull/99", "/attachments/nonsense/1", "/attachments/run/1"])
def test_nothing_is_attached_to_what_is_not_there(client, app, address):
    assert send(client, address, ("a.jpg", picture())).status_code == 404
    assert rows(app) == [] and stored(app) == []


def test_setting_aside_takes_it_off_the_page_and_can_be_taken_back(client, app, hull):
    client.post(hull, data={"attach_text": "nick in the strake"})
    page = client.post("/attachments/1/aside", follow_redirects=False)
    assert page.status_code == 303
    assert "nick in the strake" not in client.get("/attachments/hull/1").text
    client.post("/attachments/1/return")
    assert "nick in the strake" in client.get("/attachments/hull/1").text


def test_a_caption_and_its_time_can_be_mended(client, app, hull):
    client.post(hull, data={"attach_text": "strake"})
    assert "strake</textarea>" in client.get("/attachments/1/edit").text
    client.post("/attachments/1/edit", data={"attach_text": "spray rail", "attach_at": "2026-05-01T09:30:00"})
    assert rows(app)[0].text == "spray rail"
    assert client.post("/attachments/1/edit", data={"attach_text": ""}).status_code == 422
    assert client.post("/attachments/9/edit", data={"attach_text": "x"}).status_code == 404


def test_a_time_left_as_it_stood_is_not_moved_to_this_machines_zone(client, app, hull):
    send(client, hull, ("a.jpg", picture(exif=camera_exif(offset="+09:00"))))
    before = (rows(app)[0].at, rows(app)[0].offset_min)
    assert before == ("2026-05-03T02:22:33Z", 540)
    client.post("/attachments/1/edit", data={"attach_text": "bow", "attach_at": "2026-05-03T11:22:33"})
    assert (rows(app)[0].at, rows(app)[0].offset_min, rows(app)[0].text) == (*before, "bow")


def test_a_note_at_the_water_waits_until_it_is_sorted(client, app, hull):
    page = client.post("/attachments/quick", data={"attach_text": "porpoised at the far buoy"})
    assert "porpoised at the far buoy" in page.text
    page = client.post("/attachments/1/sort", data={"belongs_to": "hull:1"})
    assert "Moved to Heron." in page.text and "porpoised" not in page.text
    assert "porpoised" in client.get("/attachments/hull/1").text
    client.post("/attachments/1/unsort")
    assert "porpoised" in client.get("/attachments/unsorted").text


@pytest.mark.parametrize("choice", ["", "hull", "hull:x", "hull:-1", "hull:1\u0661", "9" * 41])
def test_a_note_goes_nowhere_without_a_true_choice(client, app, hull, choice):
    client.post("/attachments/quick", data={"attach_text": "porpoised"})
    answer = client.post("/attachments/1/sort", data={"belongs_to": choice})
    assert answer.status_code == 422
    assert 'id="e-belongs-1"' in answer.text
    assert rows(app)[0].owner == ""


@pytest.mark.parametrize("choice", ["hull:99", "nothing:1", "run:1"])
def test_a_note_does_not_move_to_what_is_not_there(client, app, hull, choice):
    client.post("/attachments/quick", data={"attach_text": "porpoised"})
    assert client.post("/attachments/1/sort", data={"belongs_to": choice}).status_code == 404
    assert rows(app)[0].owner == ""


@pytest.mark.parametrize("name", ["0" * 64, "..%2f..%2fgarage.sqlite", "x", "A" * 64])
def test_only_files_that_were_attached_are_served(client, hull, name):
    assert client.get(f"/files/{name}").status_code == 404
    assert client.get(f"/files/{name}/thumb").status_code == 404


def test_a_file_gone_from_the_folder_is_said_so(client, app, hull):
    send(client, hull, ("a.jpg", picture()))
    for path in stored(app):
        path.unlink()
    assert client.get(f"/files/{rows(app)[0].sha256}").status_code == 404


def test_a_picture_for_other_rooms_is_attached_through_the_store(app, client, hull):
    class Upload:
        filename = "a.jpg"
        file = io.BytesIO(picture())

    with writing(app.state.engine) as session:
        of = store.owner_thing(session, app.state.things, "hull", 1)
        store.add_photo(session, app.state.settings.files_dir, of, Upload(), NOW, "bow")
        with pytest.raises(NotFound):
            store.owner_thing(session, app.state.things, "hull", 9)
    assert [(row.kind, row.text, row.at) for row in rows(app)] == [("photo", "bow", NOW.utc)]
    assert len(stored(app)) == 2
