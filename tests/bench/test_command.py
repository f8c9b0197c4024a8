"""The command calc: answers, lists, helps, and says in one line what is wrong."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from garage.bench.catalog import CALCULATORS
from garage.cli import main
from garage.paths import ROOT


def _run(capsys, *words: str) -> tuple[int, str, str]:
    code = main(["calc", *words])
    out = capsys.readouterr()
    return code, out.out, out.err


def test_json_has_calculator_inputs_results_cautions_source(capsys):
    code, out, err = _run(
        capsys, "slip", "shaft_speed=30000", "diameter=40 mm", "pitch_ratio=1.6", "speed=90", "--json"
    )
    plain = json.loads(out)
    assert (code, err) == (0, "")
    assert list(plain) == ["calculator", "inputs", "results", "cautions", "source"]
    assert plain["inputs"]["diameter"] == {"value": 40.0, "unit": "mm"}
    assert plain["results"]["slip"] == {"value": pytest.approx(0.21875), "unit": "fraction"}


def test_units_are_taken_and_bare_numbers_are_in_the_stated_unit(capsys):
    _, by_unit, _ = _run(capsys, "tip-speed", "shaft_speed=30000", "diameter=1.5 in", "speed=45mph", "--json")
    _, bare, _ = _run(capsys, "tip-speed", "shaft_speed=30000", "diameter=38.1", "speed=72.42048", "--json")
    assert json.loads(by_unit)["results"] == json.loads(bare)["results"]


def test_the_list_names_every_calculator(capsys):
    _, out, _ = _run(capsys, "--list")
    assert [line.split()[0] for line in out.splitlines()] == list(CALCULATORS)


@pytest.mark.parametrize("name", sorted(CALCULATORS))
def test_help_names_inputs_with_units_range_source_and_example(capsys, name):
    code, out, _ = _run(capsys, name, "--help")
    assert code == 0
    for one in CALCULATORS[name].inputs:
        assert one.name in out
    assert "range " in out and "source " in out and f"garage calc {name} " in out


@pytest.mark.parametrize("name", sorted(CALCULATORS))
def test_every_example_answers_in_words(capsys, name):
    words = [f"{key}={line}" for key, text in CALCULATORS[name].example.inputs.items() for line in text.splitlines()]
    code, out, err = _run(capsys, name, *words)
    assert (code, err) == (0, "")
    assert out.strip().splitlines()[-1].startswith("source: ")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "usage"),
        (["nonsense"], "no calculator"),
        (["slip", "--fast"], "no option"),
        (["slip", "speed"], "key=value"),
        (["slip", "=3"], "key=value"),
        (["slip"], "shaft_speed: This is needed"),
        (["slip", "shaft_speed=abc", "pitch=40", "speed=3"], "not a number"),
        (["slip", "shaft_speed=3", "shaft_speed=4"], "twice"),
        (["slip", "shaft_speed=3000", "pitch=40", "speed=3", "colour=red"], "no such input"),
        (["slip", "shaft_speed=3000", "pitch=40 parsec", "speed=3"], "unit"),
        (["slip", "shaft_speed=3000", "pitch=40", "speed=3", "basis=guessed"], "one of measured, apparent"),
        (["air", "temperature=20", "humidity=50"], "at most 1"),
        (["balance", "part=hull;620"], "name;mass;x;y;z"),
        (["balance", "file=/nowhere/parts.csv"], "cannot be read"),
        (["motor", "kv=2200", "resistance=12", "no_load_current=2", "voltage=10", "current=5000"], "stands still"),
        (["strip", "section=tube", "width=5", "length=10", "density=1000"], "wall"),
    ],
)
def test_what_is_wrong_is_said_in_one_line_on_stderr(capsys, words, said):
    code, out, err = _run(capsys, *words)
    assert (code, out) == (2, "")
    assert said in err and len(err.strip().splitlines()) == 1


def test_parts_from_a_file_with_and_without_a_heading(capsys, tmp_path: Path):
    plain, headed = tmp_path / "plain.csv", tmp_path / "headed.csv"
    plain.write_text("hull;620;300\npack;520;360\n", encoding="utf-8")
    headed.write_text("name,mass,x,y,z\nhull,620,300,,\npack,520,360,,\n", encoding="utf-8-sig")
    answers = [_run(capsys, "balance", f"file={path}", "--json")[1] for path in (plain, headed)]
    by_hand = _run(capsys, "balance", "part=hull;620;300", "part=pack;520;360", "--json")[1]
    assert [json.loads(each)["results"] for each in answers] == [json.loads(by_hand)["results"]] * 2


def test_a_file_that_is_no_text_or_far_too_large_is_refused(capsys, tmp_path: Path):
    strange, large = tmp_path / "strange.csv", tmp_path / "large.csv"
    strange.write_bytes(b"\xff\xfe\x00\x81")
    large.write_text("x" * 1_100_000, encoding="utf-8")
    for path in (strange, large):
        code, _, err = _run(capsys, "balance", f"file={path}")
        assert code == 2 and len(err.strip().splitlines()) == 1


_QUESTIONS = {
    "slip": ["slip", "shaft_speed=30000", "pitch=64", "speed=90", "--json"],
    "units": ["tip-speed", "shaft_speed=30000", "diameter=1.5 in", "speed=45mph"],
    "planing": ["planing", "mass=2.5", "beam=0.2", "deadrise=18", "lcg=0.22", "vcg=0.04", "speed=6"],
    "runs-needed": ["runs-needed", "run_sd=2", "day_sd=1.5", "difference=1"],
}


_COUNTED = """
import sys
calls = [0]
def count(frame, what, of):
    calls[0] += what == "call"
sys.setprofile(count)
try:
    {code}
finally:
    sys.setprofile(None)
    print("\\n", calls[0], sep="")
"""


def _calls(code: str, words: list[str], environment: dict[str, str]) -> int:
    """How many functions are called from the start to the end: the work, whatever the machine."""
    command = [sys.executable, "-c", _COUNTED.format(code=code), *words]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True, env=environment)  # compiles what is new
    done = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True, env=environment)
    return int(done.stdout.splitlines()[-1])


@pytest.fixture(scope="module")
def compiled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder for compiled modules, shared by what is started here."""
    return tmp_path_factory.mktemp("compiled")


@pytest.mark.parametrize("question", _QUESTIONS)
def test_it_answers_with_at_most_twice_the_calls_of_importing_the_same_libraries(question, compiled: Path):
    environment = {name: text for name, text in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    environment["PYTHONPYCACHEPREFIX"] = str(compiled)
    words = _QUESTIONS[question]
    listing = (
        "import sys; before = set(sys.modules); from garage.cli import main; main(['calc', *sys.argv[1:]]);"
        " new = [name for name in sys.modules if name not in before and name.isidentifier() and name[0] != '_'];"
        " print('\\n' + ','.join(name for name in new if name != 'garage' and sys.modules[name].__spec__))"
    )
    command = [sys.executable, "-c", listing, *words]
    done = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True, env=environment)
    libraries = done.stdout.strip().splitlines()[-1]
    bare = _calls(f"import {libraries}", [], environment)
    ours = _calls("from garage.cli import main; main(['calc', *sys.argv[1:]])", words, environment)
    assert ours < 2 * bare, (ours, bare)


def test_nothing_of_the_web_is_loaded_to_compute():
    code = (
        "import sys; from garage.cli import main; main(['calc', 'air', 'temperature=20']);"
        " print([name for name in ('fastapi', 'sqlmodel', 'numpy', 'pint', 'scipy') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True, capture_output=True, text=True)
    assert done.stdout.strip().endswith("[]")
