"""How far the reading of a form's files has come."""

from garage.logs.progress import progress_at, shown_at
from garage.logs.readers.opening import open_to_read


def test_the_place_in_the_file_at_hand_is_told_in_percent(tmp_path):
    path = tmp_path / "day.gpx"
    path.write_bytes(b"x" * 1_000_000)
    with shown_at("/runs/1/logs", 2) as reading:
        assert progress_at("/runs/1/logs") == (None, "")
        reading.begin("day.gpx", 1_000_000)
        with open_to_read(path) as file:
            file.read(250_000)
            percent, words = progress_at("/runs/1/logs")
            assert 25 <= percent <= 27 and words == f"Reading day.gpx, file 1 of 2: {percent} %"
        assert progress_at("/runs/1/logs") == (100, "Measuring day.gpx, file 1 of 2: 100 %")
        assert progress_at("/runs/2/logs") == (None, "")
    assert progress_at("/runs/1/logs") == (None, "")


def test_nobody_is_told_outside_of_a_form(tmp_path):
    path = tmp_path / "one.gpx"
    path.write_bytes(b"x")
    with open_to_read(path) as file:
        assert file.read() == b"x" and progress_at("/runs/1/logs") == (None, "")
