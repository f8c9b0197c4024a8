"""Files of every kind read to the same numbers, against other libraries and published sentences."""

from datetime import UTC, datetime

import gpxpy
import numpy as np
import pynmea2
import pytest

from garage.calc.track.measure import look_at
from garage.logs.readers import gpx as gpx_reader
from garage.logs.readers.delimited import NeedsColumns, preview
from garage.logs.readers.fit import SEMICIRCLE_DEG
from garage.logs.readers.nmea import KNOT_MS, checksum, degrees
from garage.logs.readers.reading import kind_of, read_log
from garage.logs.readers.texts import moments
from tests.logs.fit_made import fit_file
from tests.logs.made import START, gpx, nmea, there_and_back
from tests.paths import DATA
from tests.published import CHECKS, holds, named

SENTENCES = [check for check in CHECKS.values() if "sentence" in check["inputs"]]


@pytest.fixture
def kept(tmp_path):
    """Write a file and read it."""

    def write(content, name="log.gpx"):
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path

    return write


TRACK = there_and_back(25, 10, rounds=1).track()


@pytest.mark.parametrize("version", ["1.0", "1.1"])
@pytest.mark.parametrize("speed", ["bare", "extension", "none"])
def test_gpx_gives_back_what_was_recorded(kept, version, speed):
    read = read_log(kept(gpx(TRACK, version=version, speed=speed)))
    assert read.kind == "GPX" and len(read.track) == len(TRACK)
    assert read.track.start_unix_s == START
    np.testing.assert_allclose(read.track.time_s, TRACK.time_s, atol=2e-3)
    np.testing.assert_allclose(read.track.lat_deg, TRACK.lat_deg, atol=1e-9)
    assert (read.track.speed_ms is None) == (speed == "none")
    if speed != "none":
        np.testing.assert_allclose(read.track.speed_ms, TRACK.speed_ms, atol=6e-4)


@pytest.mark.parametrize("name", ["track_with_speed.gpx", "Mojstrovka.gpx", "gpx1.0_with_all_fields.gpx"])
def test_gpx_points_are_those_that_gpxpy_finds(name):
    read = read_log(DATA / "gpx" / name)
    points = [
        point
        for track in gpxpy.parse((DATA / "gpx" / name).read_text()).tracks
        for part in track.segments
        for point in part.points
    ]
    np.testing.assert_allclose(read.track.lat_deg, [point.latitude for point in points])
    np.testing.assert_allclose(read.track.lon_deg, [point.longitude for point in points])
    known = [point.time for point in points if point.time]
    if name == "track_with_speed.gpx":
        assert read.track.start_unix_s == known[0].timestamp()
        np.testing.assert_allclose(read.track.speed_ms, [point.speed for point in points])


def test_a_long_gpx_is_read_in_the_same_way_in_parts(tmp_path, monkeypatch):
    track = there_and_back(20, 5).track(place_sd=0.1, speed_sd=0.1)
    path = tmp_path / "long.gpx"
    path.write_text(gpx(track).replace("</speed>", "</speed><hdop>9</hdop>", 7))
    whole = read_log(path).track
    monkeypatch.setattr(gpx_reader, "_SETTLE_AT", 10)
    parts = read_log(path).track
    for name in ("time_s", "lat_deg", "lon_deg", "speed_ms", "poor_fix"):
        assert np.array_equal(getattr(whole, name), getattr(parts, name), equal_nan=True)
    assert whole.poor_fix.sum() == 7


def test_a_bare_speed_in_gpx_1_1_is_read_where_gpxpy_loses_it(kept):
    path = kept(gpx(TRACK, version="1.1", speed="bare"))
    assert gpxpy.parse(path.read_text()).tracks[0].segments[0].points[0].speed is None
    assert read_log(path).track.speed_ms is not None


def test_samples_six_seconds_apart_have_a_highest_sample_and_no_headline():
    measures = look_at(read_log(DATA / "gpx" / "track_with_speed.gpx").track).measures
    assert measures.top is None and measures.peak is not None and measures.peak.speed_ms == 3.2


def test_a_time_of_the_schema_is_the_published_moment():
    text = datetime.fromtimestamp(1667048124, UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    assert holds(float(moments([text])[0]), "GPS-21", "time_utc")


@pytest.mark.parametrize(
    "text",
    [
        "2026-05-03T09:20:00Z",
        "2026-05-03T09:20:00.250Z",
        "2026-05-03T11:20:00+02:00",
        "2026-05-03 09:20:00",
        "20260503T092000Z",
        "2026-05-03T09:20:00,5Z",
    ],
)
def test_iso_times_are_read_in_every_spelling(text):
    assert moments([text])[0] == pytest.approx(START, abs=1)


def test_quick_and_patient_readings_of_times_agree():
    texts = [str(np.datetime64(1_700_000_000_000 + 86_399_977 * step, "ms")) + "Z" for step in range(500)]
    slow = [datetime.fromisoformat(text.replace("Z", "+00:00")).timestamp() for text in texts]
    np.testing.assert_allclose(moments(texts), slow, atol=1e-6)
    assert np.isnan(moments(["2026-02-30T00:00:00Z", "2026-13-01T00:00:00Z"])).all()


@pytest.mark.parametrize("check", SENTENCES, ids=lambda check: f"{check['id']} ({check['expected_origin']})")
def test_published_sentences_have_the_published_checksum_and_place(check, kept):
    sentence = check["inputs"]["sentence"]
    assert f"{checksum(sentence[1 : sentence.index('*')].encode()):02X}" == check["expected"]["checksum"]["value"]
    told = pynmea2.parse(sentence)
    if "lat" in check["expected"]:
        track = read_log(kept(sentence + "\r\n", "log.nmea")).track
        assert holds(float(track.lat_deg[0]), check["id"], "lat") and holds(float(track.lon_deg[0]), check["id"], "lon")
        assert track.lat_deg[0] == pytest.approx(told.latitude) and track.lon_deg[0] == pytest.approx(told.longitude)
    if "sog_kn" in check["expected"] and "lat" in check["expected"]:
        assert holds(float(track.speed_ms[0] / KNOT_MS), check["id"], "sog_kn")


@pytest.mark.parametrize(("check", "name"), named("GPS-23", "kn_ms"))
def test_a_knot_is_exact(check, name):
    assert holds(KNOT_MS, check, name)


def test_nmea_of_mixed_talkers_gives_back_what_was_recorded(kept):
    read = read_log(kept(nmea(TRACK), "log.txt"))
    assert read.kind == "NMEA" and len(read.track) == len(TRACK) and not read.notes
    np.testing.assert_allclose(read.track.time_s, TRACK.time_s, atol=1e-2)
    np.testing.assert_allclose(read.track.speed_ms, TRACK.speed_ms, atol=1e-4)
    np.testing.assert_allclose(read.track.lat_deg, TRACK.lat_deg, atol=1e-8)


def test_nmea_with_wrong_checksums_is_passed_over_and_counted(kept):
    lines = nmea(TRACK).splitlines()
    spoiled = [
        line[:20] + ("9" if line[20] != "9" else "8") + line[21:] if at % 30 == 0 else line
        for at, line in enumerate(lines)
    ]
    read = read_log(kept("\r\n".join(spoiled), "log.nmea"))
    assert f"{len(range(0, len(lines), 30))} sentences have a wrong checksum" in read.notes[0]


def test_nmea_runs_on_past_midnight(kept):
    late = [
        f"GPRMC,{clock},A,4807.038,N,01131.000,E,022.4,084.4,{day},,,A"
        for clock, day in (("235959.50", "020526"), ("000000.00", "030526"), ("000000.50", "030526"))
    ]
    text = "\r\n".join(f"${body}*{checksum(body.encode()):02X}" for body in late)
    np.testing.assert_allclose(read_log(kept(text, "log.nmea")).track.time_s, [0, 0.5, 1.0])


def test_an_angle_of_a_sentence_is_degrees_and_minutes():
    assert degrees("4807.038", "N") == pytest.approx(48.1173)
    assert degrees("01131.000", "W") == pytest.approx(-11.516667)


@pytest.mark.parametrize(("check", "name"), named("GPS-22", "lat"))
def test_fit_semicircles_scale_as_published(check, name):
    assert holds(CHECKS[check]["inputs"]["raw_lat"] * SEMICIRCLE_DEG, check, name)


def test_fit_gives_back_what_was_recorded(kept):
    track = there_and_back(20, 1, rounds=1).track()
    read = read_log(kept(fit_file(track), "ride.fit"))
    assert read.kind == "FIT" and len(read.track) == len(track)
    np.testing.assert_allclose(read.track.speed_ms, track.speed_ms, atol=6e-4)
    np.testing.assert_allclose(read.track.lat_deg, track.lat_deg, atol=1e-7)
    assert read.track.start_unix_s == START


def test_what_a_file_is_is_told_by_its_content(kept):
    assert kind_of(kept(gpx(TRACK), "log.csv")) == "GPX"
    assert kind_of(kept(nmea(TRACK), "log.gpx")) == "NMEA"
    assert kind_of(kept(fit_file(there_and_back(20, 1).track()), "log.txt")) == "FIT"


TABLES = {
    "commas and units in headings": ("Time (s),Speed (km/h),Voltage (V)\n", "{:.2f},{:.2f},{:.2f}\n"),
    "semicolons and decimal commas": ("Time [s];Speed [km/h];Voltage [V]\n", "{:.2f};{:.2f};{:.2f}\n"),
    "tabs and a row of units": ("time\tspeed\tvoltage\ns\tkm/h\tV\n", "{:.2f}\t{:.2f}\t{:.2f}\n"),
    "lines of something else above": (
        "Logger 7\nrecorded today\n\ntime_s,speed_kmh,voltage_v\n",
        "{:.2f},{:.2f},{:.2f}\n",
    ),
    "quotes": ('"Time (s)","Speed (km/h)","Voltage (V)"\n', '"{:.2f}","{:.2f}","{:.2f}"\n'),
}


@pytest.mark.parametrize("layout", TABLES)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_tables_of_any_layout_are_read(kept, layout, encoding):
    head, row = TABLES[layout]
    body = "".join(row.format(at / 10, 36 + at / 100, 11.1) for at in range(300))
    if "decimal commas" in layout:
        body = body.replace(".", ",")
    track = read_log(kept((head + body).encode(encoding), "log.csv")).track
    assert len(track) == 300 and track.start_unix_s is None
    np.testing.assert_allclose(track.time_s, np.arange(300) / 10, atol=1e-9)
    np.testing.assert_allclose(track.speed_ms, (36 + np.arange(300) / 100) / 3.6, atol=2e-3)
    np.testing.assert_allclose(track.channels["voltage_v"], 11.1)


@pytest.mark.parametrize(
    ("first", "second", "absolute"),
    [
        ("1777800000", "1777800001", True),
        ("1777800000000", "1777800001000", True),
        ("2026-05-03T09:20:00Z", "2026-05-03T09:20:01Z", True),
        ("09:20:00.0", "09:20:01.0", False),
        ("12.0", "13.0", False),
    ],
)
def test_tables_with_any_kind_of_time_are_read(kept, first, second, absolute):
    read = read_log(kept(f"time,rpm,volts\n{first},100,11\n{second},200,10\n", "log.csv"))
    assert read.track.time_s.tolist() == [0, 1]
    assert read.track.start_unix_s == (START if absolute else None)


def test_a_speed_without_a_unit_is_not_guessed_but_asked_for(kept):
    path = kept("when,how fast\n1,10\n2,11\n3,12\n", "log.csv")
    with pytest.raises(NeedsColumns):
        read_log(path)
    assert preview(path).headings == ["when", "how fast"]


def test_the_same_headings_have_the_same_key_whatever_follows(kept):
    keys = {preview(kept(f"Time (s),RPM\n{at},5\n{at + 1},6\n", f"{at}.csv")).key for at in range(3)}
    assert len(keys) == 1


def test_thrust_stand_files_are_read_as_telemetry():
    read = read_log(DATA / "thrust_stand" / "a1_11.csv")
    assert set(read.track.channels) == {"voltage_v", "current_a", "shaft_rpm"}
    assert read.track.channels["voltage_v"][0] == pytest.approx(11.091128)
    assert look_at(read.track).measures.top is None
