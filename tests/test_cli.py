"""The commands as a shell runs them."""

import subprocess
import sys

import pytest

from tests.logs.made import gpx, there_and_back


def _run(*words, **more):
    return subprocess.Popen(
        [sys.executable, "-m", "garage", *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, **more
    )


def _output_nobody_reads(*words):
    """What a command says, and how it ends, when its reader went away before it began to write."""
    with _run(*words) as process:
        process.stdout.close()
        return process.stderr.read().decode(), process.wait()


@pytest.mark.parametrize("words", [["--help"], ["calc", "--list"]])
def test_a_reader_that_goes_away_ends_a_command_quietly(words):
    assert _output_nobody_reads(*words) == ("", 141)


def test_a_reader_that_goes_away_before_the_help_of_a_command_hears_no_fault():
    assert _output_nobody_reads("track", "--help")[0] == ""


def test_a_reader_that_goes_away_ends_the_reading_of_logs_quietly(tmp_path):
    path = tmp_path / "run.gpx"
    path.write_text(gpx(there_and_back(25, 5).track()))
    for json in ([], ["--json"]):
        assert _output_nobody_reads("track", *[str(path)] * 20, *json) == ("", 141)


@pytest.mark.parametrize(
    "words",
    [
        ["nonsense"],
        ["serve", "--port", "many"],
        ["serve", "--port", "0"],
        ["demo", "--port", "65536"],
        ["serve", "--data", ""],
        ["check", "--data", " "],
        ["demo", "--nonsense"],
        ["backup", "--nonsense"],
        ["restore"],
        ["export"],
        ["effect"],
        ["effect", "nowhere.csv", "--nonsense"],
        ["calc", "nonsense"],
        ["track"],
    ],
)
def test_wrong_words_are_answered_in_one_line_with_code_2(words):
    with _run(*words) as process:
        out, said = process.communicate()
    assert process.returncode == 2 and out == b"" and said.count(b"\n") == 1 and b"Traceback" not in said


_WITHOUT_A_GARAGE = [["calc", "--list"], ["track", "nowhere.gpx"], ["effect", "nowhere.csv", "--of", "x"]]


@pytest.mark.parametrize("words", _WITHOUT_A_GARAGE)
def test_a_command_that_needs_no_garage_does_not_wait_for_what_reads_one(words):
    script = (
        f"import sys; from garage.cli import main; main({words!r}); "
        "loaded = {'sqlmodel', 'sqlalchemy', 'fastapi', 'garage.api.notebook'} & set(sys.modules); "
        "sys.exit(f'loaded: {loaded}' if loaded else 0)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr
