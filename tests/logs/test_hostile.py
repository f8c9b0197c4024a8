"""Files that are broken, foreign or meant to harm: a clear message, bounded memory, never an exception of ours."""

import io
import random
import subprocess
import sys
import tracemalloc
from pathlib import Path

import numpy as np
import pytest

from garage.calc.track.measure import look_at
from garage.db.engine import writing
from garage.errors import GarageError
from garage.logs.readers.reading import read_log
from garage.logs.readers.result import UnreadableLog
from tests.logs.fit_made import fit_file
from tests.logs.made import gpx, nmea, there_and_back
from tests.paths import DATA
from tests.seeded import inventory

TRACK = there_and_back(20, 1, rounds=1).track()
WHOLE = {
    "gpx": gpx(TRACK).encode(),
    "nmea": nmea(TRACK).encode(),
    "fit": fit_file(TRACK),
    "table": (DATA / "thrust_stand" / "a1_11.csv").read_bytes(),
}


def outcome(path):
    """What a person would see: words of refusal, or measures."""
    try:
        read = read_log(path)
    except GarageError as refused:
        return str(refused)
    with np.errstate(all="ignore"):
        return look_at(read.track).measures


@pytest.fixture
def written(tmp_path):
    def write(content, name="log.gpx"):
        path = tmp_path / name
        path.write_bytes(content)
        return path

    return write


BOMB = (
    b'<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
    b"<gpx>&b;</gpx>"
)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_a_file_with_a_document_type_is_refused_before_it_is_parsed(written, encoding):
    text = BOMB.decode().replace('version="1.0"', f'version="1.0" encoding="{encoding}"')
    with pytest.raises(UnreadableLog, match="document type"):
        read_log(written(text.encode(encoding)))


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (b"\x00" * 5000, "empty"),
        (b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 20, "neither"),
        (b"<html><body>no</body></html>", "no track points"),
        (b"<gpx", "not a"),
        (b'<gpx><wpt lat="1" lon="2"/></gpx>', "no track"),
        (b'<gpx><trk><trkseg><trkpt lat="1" lon="2"/></trkseg></trk></gpx>', "no times"),
        (b"<gpx><trk/></gpx>", "no track points"),
        (b"just some words\nand more of them\n", "table"),
        (b"a,b,c\nx,y,z\nx,y,z\n", "numbers"),
        (b"$GPRMC,rubbish*00\r\n" * 5, "checksum"),
        (b"\x0e\x10\x00\x00\xff\xff\x00\x00.FIT\x00\x00", "FIT"),
    ],
)
def test_what_is_no_log_is_refused_in_words(written, content, words):
    with pytest.raises(UnreadableLog, match=words):
        read_log(written(content))


def test_a_file_far_too_large_is_refused_without_being_read(tmp_path):
    path = tmp_path / "huge.gpx"
    with path.open("wb") as file:
        file.write(b"<gpx>")
        file.truncate(500_000_000)
    tracemalloc.start()
    with pytest.raises(UnreadableLog, match="larger than"):
        read_log(path)
    assert tracemalloc.get_traced_memory()[1] < 2_000_000
    tracemalloc.stop()


def test_a_line_without_an_end_takes_little_memory(tmp_path):
    path = tmp_path / "long.nmea"
    path.write_bytes(b"$GPRMC," + b"9" * 20_000_000)
    tracemalloc.start()
    assert "no RMC" in outcome(path) or "checksum" in outcome(path)
    assert tracemalloc.get_traced_memory()[1] < 5_000_000
    tracemalloc.stop()


@pytest.mark.parametrize("long", ["<!--{}-->", '<trkpt lat="{}"/>', "<desc>{}</desc>"])
@pytest.mark.parametrize("start", ["", "<gpx>"])
def test_a_megabyte_without_an_element_is_not_read_on(written, monkeypatch, long, start):
    read_bytes = []

    class Counted(io.BufferedReader):
        def read(self, size=-1, /):
            read_bytes.append(len(got := super().read(size)))
            return got

    path = written((start + long.format(" " * 30_000_000)).encode())
    monkeypatch.setattr(Path, "open", lambda self, *_mode, **_more: Counted(io.FileIO(self)))
    with pytest.raises(UnreadableLog):
        read_log(path)
    assert 0 < sum(read_bytes) < 8_000_000


OPENINGS = ("<gpx>", "<gpx><trk><trkseg>", "<gpx><trk><trkseg><trkpt>", "<gpx><rte>")
FILLINGS = ("<a/>", "<a>", "<a><b/></a>", '<wpt lat="1"><a/></wpt>')


# Each opening and each filling once, for one costs a process; the long set tries all of both.
@pytest.mark.parametrize(
    ("opening", "filling"),
    [
        pytest.param(opening, filling, marks=[] if place == turn else [pytest.mark.long])
        for place, opening in enumerate(OPENINGS)
        for turn, filling in enumerate(FILLINGS)
    ],
)
def test_a_file_filled_with_elements_takes_little_memory(written, opening, filling):
    path = written((opening + filling * (6_000_000 // len(filling))).encode())
    # The parser's own memory is not Python's, so the process is asked.
    code = (
        "import sys; from pathlib import Path; from garage.logs.readers.gpx import read_gpx\n"
        "from tests.peak_memory import peak_mb\n"
        "from garage.calc.arrays import np; np.zeros(1)\n"
        "before = peak_mb()\n"
        "try: read_gpx(Path(sys.argv[1]))\n"
        "except Exception as error: print(type(error).__name__)\n"
        "print(peak_mb() - before)\n"
    )
    said = subprocess.run(
        [sys.executable, "-c", code, str(path)],
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        check=True,
    )
    kind, grown_mb = said.stdout.split()
    assert kind == "UnreadableLog" and float(grown_mb) < 150


@pytest.mark.parametrize("kind", WHOLE)
def test_a_file_cut_short_anywhere_gives_words_or_what_came_before(written, kind):
    for percent in range(100):
        found = outcome(written(WHOLE[kind][: len(WHOLE[kind]) * percent // 100], f"cut.{kind}"))
        assert found if isinstance(found, str) else found.samples <= len(TRACK) + 1


def test_a_gpx_cut_short_keeps_the_points_before_the_cut(written):
    read = read_log(written(WHOLE["gpx"][: len(WHOLE["gpx"]) // 2]))
    assert len(read.track) == pytest.approx(len(TRACK) / 2, abs=3)
    assert any("cut short" in note for note in read.notes)


def test_odd_points_are_read_for_what_they_are_worth(written):
    point = '<trkpt lat="{}" lon="5.5"><time>{}</time><speed>{}</speed></trkpt>'
    odd = [
        ("NaN", "2026-05-03T09:20:00Z", "3"),
        ("52.3", "2026-05-03T09:20:01Z", "NaN"),
        ("52.3", "1980-01-06T00:00:00Z", "4"),
        ("52.3", "2026-05-03T09:20:02Z", "-5"),
        ("91", "2026-05-03T09:20:03Z", "1e308"),
        ("52.3", "yesterday", "6"),
        ("", "2026-05-03T09:20:04Z", ""),
    ]
    text = (
        "<gpx><trk><trkseg>" + "".join(point.format(*one) for one in odd) + "</trkseg></trk><trk><trkseg/></trk></gpx>"
    )
    found = outcome(written(text.encode()))
    assert found.samples == len(odd) and (found.peak is None or found.peak.speed_ms < 10)


def test_dates_of_1980_are_remarked_on(written):
    text = gpx(TRACK).replace("2026-05-03", "1980-01-06")
    assert any("before 1990" in note for note in read_log(written(text.encode())).notes)


def test_two_tracks_are_read_one_after_the_other(written):
    body = gpx(TRACK).split("<trk>")[1].split("</gpx>")[0]
    text = f"<gpx><trk>{body}<trk>{body}</gpx>"
    read = read_log(written(text.encode()))
    assert len(read.track) == 2 * len(TRACK) and "2 tracks" in read.notes[0]
    assert look_at(read.track).measures.rejected_samples == len(TRACK)


def test_mixed_encodings_and_nul_bytes_in_a_table_are_read_past(written):
    lines = [b"Time (s),Speed (km/h),remark\n"]
    lines += [b"%d,%d,%s\n" % (at, 30 + at % 3, b"\xe4\xff" if at % 2 else "ä".encode()) for at in range(50)]
    lines[20] = b"\x00\x00" + lines[20]
    read = read_log(written(b"".join(lines), "log.csv"))
    assert len(read.track) == 50 and np.isfinite(read.track.speed_ms).sum() == 50


def mutated(content: bytes, chance: random.Random) -> bytes:
    """`content` with some bytes changed, cut out, doubled or moved."""
    spoiled = bytearray(content[:20_000])
    for _ in range(chance.randint(1, 30)):
        at = chance.randrange(len(spoiled))
        length = chance.randint(1, 40)
        act = chance.randrange(5)
        if act == 0:
            spoiled[at] = chance.randrange(256)
        elif act == 1:
            del spoiled[at : at + length]
        elif act == 2:
            spoiled[at:at] = spoiled[at : at + length]
        elif act == 3:
            spoiled[at:at] = chance.choice(
                [b"\x00", b"\xff\xfe", b"<", b"&x;", b"1e999", b"-", b"$", b'"', b"\n", b"nan"]
            )
        else:
            other = chance.randrange(len(spoiled))
            spoiled[at : at + length], spoiled[other : other + length] = (
                spoiled[other : other + length],
                spoiled[at : at + length],
            )
        if not spoiled:
            spoiled = bytearray(b"x")
    return bytes(spoiled)


@pytest.mark.parametrize("kind", WHOLE)
@pytest.mark.parametrize("rounds", [50, pytest.param(500, marks=pytest.mark.long)])
def test_mutated_files_give_words_or_measures(written, kind, rounds):
    chance = random.Random(f"{kind}{rounds}")
    for _ in range(rounds):
        assert outcome(written(mutated(WHOLE[kind], chance), "odd"))


@pytest.mark.parametrize("kind", WHOLE)
@pytest.mark.parametrize("rounds", [12, pytest.param(250, marks=pytest.mark.long)])
def test_mutated_files_are_taken_in_or_refused_by_the_garage(app, client, kind, rounds):
    with writing(app.state.engine) as session:
        outing = inventory(session).outing("05-03")
    chance = random.Random(f"garage{kind}{rounds}")
    for number in range(rounds):
        files = [("log_files", (f"{number}.{kind}", mutated(WHOLE[kind], chance)))]
        assert client.post(f"/outings/{outing}/logs", files=files).status_code in (200, 422)
    for row in client.get("/logs.json").json()["rows"][:10]:
        sheet = client.get(f"/logs/{row['id']}.json").json()
        for piece in sheet["pieces"][:3]:
            assert client.get(f"/logs/{row['id']}/pieces/{piece['number']}").status_code == 200
            assert client.get(f"/logs/{row['id']}/pieces/{piece['number']}.json").status_code == 200
