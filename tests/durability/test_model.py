"""Any order of acts on a garage, held against a plain model of it after every act; the file opened anew in between."""

import shutil
import tempfile
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from fastapi import FastAPI
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule, run_state_machine_as_test
from starlette.testclient import TestClient

from garage.archive.check import check
from garage.db.backup import write_backup
from garage.db.engine import open_engine
from garage.db.kept_backups import DAILY
from garage.db.restore import restore
from garage.paths import DATABASE_NAME
from garage.settings import Settings

NAMES = st.sampled_from(["Avocet", "Bittern", "Curlew", "avocet", "Dunlin"])
CODES = st.sampled_from(["A", "B", "C"])
SPEEDS = st.sampled_from(["61", "72,5", "80 km/h", "50 mph", "88.25"])
# 1 mph is 1.609344 km/h exactly (international mile of 1959).
KMH = {"61": 61.0, "72,5": 72.5, "80 km/h": 80.0, "50 mph": 80.4672, "88.25": 88.25}


@dataclass
class Run:
    """A run of the model."""

    hull: str
    pack: str
    speed_kmh: float
    counts: bool = True


@dataclass
class Model:
    """What the garage should hold."""

    hulls: dict[str, bool] = field(default_factory=dict)
    packs: dict[str, int] = field(default_factory=dict)
    runs: list[Run] = field(default_factory=list)
    entries: list[tuple[str, bool]] = field(default_factory=list)
    notes: list[tuple[str, bool]] = field(default_factory=list)

    def discharges(self, code: str) -> int:
        """How often a pack was discharged: by runs that count, and on the bench."""
        return sum(run.pack == code and run.counts for run in self.runs) + sum(
            pack == code and counts for pack, counts in self.entries
        )


class GarageMachine(RuleBasedStateMachine):
    """Acts through the pages, as a person would; what is known is read back from their data."""

    app: FastAPI
    client: TestClient
    empty_file: Path
    steps_done = 0
    most_restores = 1

    def __init__(self) -> None:
        super().__init__()
        self.work = Path(tempfile.mkdtemp(prefix="garage-model-"))
        self.folder = self.work / "garage"
        self.folder.mkdir()
        shutil.copy(self.empty_file, self.folder / DATABASE_NAME)
        self.now = datetime(2026, 5, 9, 8, 0, tzinfo=UTC)
        self.model, self.restores = Model(), 0
        self._open()
        assert self._post("/waters/new", name="Pond") == 303
        assert self._post("/outings/new", water="1", started="2026-05-09T08:00") == 303

    def teardown(self) -> None:
        """The file is whole at the end of every sequence."""
        self.app.state.engine.dispose()
        assert check(self.folder).is_good
        shutil.rmtree(self.work)

    def _open(self) -> None:
        # One app for all sequences, each time with a file of its own: putting its pages together takes the longest.
        self.app.state.settings = Settings(self.folder, hosts=("testserver",), clock=lambda: self.now)
        self.app.state.engine = open_engine(self.folder / DATABASE_NAME)

    def _post(self, address: str, **data: str) -> int:
        self.now += timedelta(minutes=20)
        type(self).steps_done += 1
        return self.client.post(address, data=data).status_code

    def _rows(self, address: str, rows: str = "rows") -> list[dict]:
        return self.client.get(address).json()[rows]

    @rule(name=NAMES)
    def add_hull(self, name: str) -> None:
        taken = name.lower() in (known.lower() for known in self.model.hulls)
        assert self._post("/hulls/new", name=name, kind="mono", screws="1") == (422 if taken else 303)
        if not taken:
            self.model.hulls[name] = True

    @rule(number=st.integers(0, 4), retires=st.booleans())
    def retire_or_return(self, number: int, retires: bool) -> None:
        if number < len(self.model.hulls):
            act = "retire" if retires else "return"
            end = {"retired_on": "2026-05-09", "retired_how": "sold"} if retires else {}
            assert self._post(f"/hulls/{number + 1}/{act}", **end) == 303
            self.model.hulls[list(self.model.hulls)[number]] = not retires

    @rule(code=CODES, used=st.integers(0, 3))
    def add_pack(self, code: str, used: int) -> None:
        taken = code in self.model.packs
        data = {"code": code, "cells_s": "3", "cells_p": "1", "capacity": "4000", "charges_before": str(used)}
        assert self._post("/packs/new", **data) == (422 if taken else 303)
        if not taken:
            self.model.packs[code] = used

    @precondition(lambda self: self.model.hulls and self.model.packs)
    @rule(hull=st.integers(0, 4), pack=st.integers(0, 2), speed=SPEEDS)
    def write_run(self, hull: int, pack: int, speed: str) -> None:
        hull, pack = hull % len(self.model.hulls), pack % len(self.model.packs)
        data = {"hull": str(hull + 1), "outing": "1", "pack": str(pack + 1), "pack_anyway": "yes", "speed": speed}
        assert self._post("/runs/new", **data) == 303
        names = list(self.model.hulls)[hull], list(self.model.packs)[pack]
        self.model.runs.append(Run(*names, KMH[speed]))

    @rule(speed=st.sampled_from(["fast", "-3", "9999", "1e400", "nan"]))
    def write_a_wrong_run(self, speed: str) -> None:
        data = {"hull": "1", "outing": "1", "pack": "1", "pack_anyway": "yes", "speed": speed}
        assert self._post("/runs/new", **data) in (404, 422)

    @precondition(lambda self: self.model.runs)
    @rule(number=st.integers(0, 30), counts=st.booleans())
    def set_run_aside_or_bring_it_back(self, number: int, counts: bool) -> None:
        number %= len(self.model.runs)
        act = "bring-back" if counts else "set-aside"
        assert self._post(f"/runs/{number + 1}/{act}", reason="tried") == 303
        self.model.runs[number].counts = counts

    @precondition(lambda self: self.model.packs)
    @rule(pack=st.integers(0, 2))
    def discharge_on_the_bench(self, pack: int) -> None:
        pack %= len(self.model.packs)
        at = self.now.astimezone().strftime("%Y-%m-%dT%H:%M")
        assert self._post(f"/packs/{pack + 1}/log", kind="bench", charge="2000", at=at) == 303
        self.model.entries.append((list(self.model.packs)[pack], True))

    @rule(text=st.sampled_from(["hops", "wet on the left", "🚤", "<b>", "=1+1"]))
    def note(self, text: str) -> None:
        assert self._post("/attachments/quick", attach_text=text) == 303
        self.model.notes.append((text, True))

    @precondition(lambda self: self.model.notes)
    @rule(number=st.integers(0, 30), stays=st.booleans())
    def set_note_aside_or_bring_it_back(self, number: int, stays: bool) -> None:
        number %= len(self.model.notes)
        assert self._post(f"/attachments/{number + 1}/{'return' if stays else 'aside'}") == 303
        self.model.notes[number] = (self.model.notes[number][0], stays)

    @rule()
    def begin_anew(self) -> None:
        self.app.state.engine.dispose()
        self._open()

    @precondition(lambda self: self.restores < self.most_restores)
    @rule()
    def back_up_and_restore(self) -> None:
        target = self.work / f"{self.now:%H%M%S}.zip"
        if not target.exists():
            self.restores += 1
            write_backup(self.folder, target, DAILY, self.now)
            assert self._post("/attachments/quick", attach_text="written after the backup") == 303
            self.app.state.engine.dispose()
            restore(target, self.folder, self.now)
            self._open()

    @invariant()
    def hulls_are_those_of_the_model(self) -> None:
        in_use = {row["name"] for row in self._rows("/hulls.json")}
        retired = {row["name"] for row in self._rows("/hulls.json?retired=yes")}
        assert in_use == {name for name, used in self.model.hulls.items() if used}
        assert retired == {name for name, used in self.model.hulls.items() if not used}

    @invariant()
    def packs_were_discharged_as_often_as_in_the_model(self) -> None:
        there = {row["code"]: row["discharges"] for row in self._rows("/packs.json")}
        assert there == {code: before + self.model.discharges(code) for code, before in self.model.packs.items()}

    @invariant()
    def runs_and_records_are_those_of_the_model(self) -> None:
        rows = [row["line"] for row in self._rows("/outings/1.json")]
        there = [(row["hull"], row["speed"]["value"], not row["set_aside"]) for row in rows]
        assert there == [(run.hull, pytest.approx(run.speed_kmh), run.counts) for run in self.model.runs]
        best = {}
        for row in self._rows("/records.json"):
            hull = row["run"]["hull"]
            best[hull] = max(best.get(hull, 0), row["run"]["speed"]["value"])
        wanted: dict[str, float] = {}
        for run in self.model.runs:
            if run.counts:
                wanted[run.hull] = max(wanted.get(run.hull, 0), run.speed_kmh)
        top = max(wanted.values(), default=0)
        assert max(best.values(), default=0) == pytest.approx(top)

    @invariant()
    def notes_and_bin_are_those_of_the_model(self) -> None:
        there = sorted(item["text"] for item in self._rows("/attachments/unsorted.json", "items"))
        assert there == sorted(text for text, stays in self.model.notes if stays)
        aside = [row["kind"] for row in self._rows("/bin.json")]
        assert aside.count("run") == sum(not run.counts for run in self.model.runs)
        assert aside.count("note or file") == sum(not stays for _, stays in self.model.notes)


@pytest.mark.parametrize("sequences", [25, pytest.param(500, marks=pytest.mark.long)])
def test_the_garage_equals_its_model_after_every_act(empty_file: Path, app: FastAPI, sequences: int):
    GarageMachine.empty_file, GarageMachine.app = empty_file, app
    # Each one takes as long as five other acts: once in a sequence will do for the usual set.
    GarageMachine.most_restores = 1 if sequences <= 50 else 100
    GarageMachine.steps_done = 0
    acts = 8 if sequences <= 50 else 10
    steps = settings(max_examples=sequences, stateful_step_count=acts, deadline=None, derandomize=True, database=None)
    # Entered, it keeps one thread for all requests.
    with TestClient(app, client=("127.0.0.1", 50000), follow_redirects=False) as GarageMachine.client:
        run_state_machine_as_test(GarageMachine, settings=steps)
    assert GarageMachine.steps_done > 3 * sequences
    print(f"{sequences} sequences, {GarageMachine.steps_done} acts, equal at every step")
