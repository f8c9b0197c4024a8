"""Whatever is written wrong and put right ends as if it had been written right the first time."""

from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule, run_state_machine_as_test
from sqlmodel import Session, select

from garage.db.engine import open_engine, writing
from garage.hulls.tables import Hull
from garage.mending.catalog import operation
from garage.mending.store import carry_out, take_back
from garage.moments import Moment
from garage.packs.store import discharges_before
from garage.records.board import board_of
from garage.runs import rests_store
from garage.runs.form_data import PackUse, PropUse, RunFormData, run_facts
from garage.runs.store import add_run
from garage.runs.tables import Run, RunPack
from garage.states.fold import ChangeFormData
from garage.states.store import make_changes
from garage.units import DisplayUnits
from garage.waters.form_data import outing_form
from garage.waters.outing_store import add_outing
from garage.web.desk import Typed
from garage.web.fields import Reader
from tests.conftest import NOW
from tests.runs.conftest import AT, World, make_world

DAYS = ("2026-05-07", "2026-05-09")


@dataclass(frozen=True)
class Told:
    """A run as it truly was; the minute of its day tells it from all others."""

    day: int
    boat: str
    pack: str
    minute: int

    @property
    def start(self) -> Moment:
        return Moment(f"{DAYS[self.day]}T{10 + self.minute // 60:02d}:{self.minute % 60:02d}:00Z", 0)


def _world(session: Session) -> tuple[World, list[int]]:
    world = make_world(session)
    earlier = add_outing(session, outing_form(world.water, Moment(f"{DAYS[0]}T09:00:00Z", 0), air_c=15.0), AT)
    for hull_id in (world.medlar, world.quince):
        built = session.get_one(Hull, hull_id)
        built.built_on = "2026-05-01"
        for day, value in (("02", 5.0), ("08", 8.0)):
            change = ChangeFormData("set", setting="strut_height", detail={"value": value})
            make_changes(session, hull_id, [change], Moment(f"2026-05-{day}T09:00:00Z", 0), AT, rests_store)
    return world, [earlier.id, world.outing]


def _write(session: Session, world: World, days: list[int], told: Told) -> int:
    facts = run_facts(speed_kmh=60.0 + told.minute / 10, speed_how="display", ways="one way", duration_s=60)
    hull_id = getattr(world, told.boat)
    packs = (PackUse(world.packs[told.pack], charge_mah=1000.0 + told.minute),)
    return add_run(
        session, RunFormData(hull_id, days[told.day], facts, told.start, (PropUse(world.edition),), packs), AT
    ).id


def _reads(session: Session, world: World) -> dict[str, object]:
    """Runs with their states, charge counts and records, without the numbers that rows happen to have."""
    session.flush()
    runs = session.exec(select(Run).order_by(Run.started_at)).all()
    codes = {pack_id: code for code, pack_id in world.packs.items()}
    packs = {row.run_id: (codes[row.pack_id], row.charge_mah) for row in session.exec(select(RunPack))}
    at_start = {run.id: run.started_at for run in runs}
    best = board_of(session, session.exec(select(Hull)).all()).best
    return {
        "runs": [
            (run.started_at, run.number, run.outing_id, run.hull_id, run.state_id, run.cells_s, packs[run.id])
            for run in runs
        ],
        "counted": discharges_before(session, world.packs.values(), AT.utc),
        "records": {
            key: sorted(at_start[run_id] for run_id in ways.values()) for key, ways in best.items()
        },
    }  # fmt: skip


class Mended(RuleBasedStateMachine):
    """Runs written, many of them wrong, and put right; beside it what was true."""

    empty: Path

    def __init__(self) -> None:
        super().__init__()
        self.folder = TemporaryDirectory()
        self.engine, self.session, (self.world, self.days) = self._new("mended")
        self.told: dict[int, Told] = {}
        self.done: list[tuple[int, dict[int, Told]]] = []

    def _new(self, name: str):
        path = Path(self.folder.name) / f"{name}.sqlite"
        path.write_bytes(self.empty.read_bytes())
        engine = open_engine(path)
        context = writing(engine)
        session = context.__enter__()
        return (engine, context), session, _world(session)

    def teardown(self) -> None:
        self.engine[1].gen.close()
        self.engine[0].dispose()
        self.folder.cleanup()

    @rule(day=st.sampled_from((0, 1)), boat=st.sampled_from(("medlar", "quince")), pack=st.sampled_from("JKL"))
    def write(self, day: int, boat: str, pack: str) -> None:
        """A run is written, at a minute that no other has, and so that the order of the day is that of the clocks."""
        if len(self.told) < 6:
            told = Told(day, boat, pack, 10 + 5 * len(self.told))
            self.told[_write(self.session, self.world, self.days, told)] = told

    @precondition(lambda self: self.told)
    @rule(data=st.data())
    def put_right(self, data: st.DataObject) -> None:
        """Boat, pack or outing of some run were otherwise."""
        run_id = data.draw(st.sampled_from(sorted(self.told)))
        was = self.told[run_id]
        name = data.draw(st.sampled_from(("boat", "packs", "outing")))
        other_pack = data.draw(st.sampled_from(sorted(set("JKL") - {was.pack})))
        new = {
            "boat": replace(was, boat="quince" if was.boat == "medlar" else "medlar"),
            "packs": replace(was, pack=other_pack),
            "outing": replace(was, day=1 - was.day),
        }[name]
        typed = {
            "boat": {"boat": [str(getattr(self.world, new.boat))]},
            "packs": {"pack": [str(self.world.packs[new.pack])]},
            "outing": {"outing": [str(self.days[new.day])]},
        }[name]
        self._do("run", name, run_id, typed, {run_id: new})

    @precondition(lambda self: len(self.told) > 1)
    @rule(data=st.data())
    def swap(self, data: st.DataObject) -> None:
        """Two runs had each other's packs; what was read stays with each run."""
        one, other = data.draw(st.permutations(sorted(self.told)))[:2]
        first, second = self.told[one], self.told[other]
        if first.pack != second.pack and (first.day == second.day or first.boat == second.boat):
            new = {one: replace(first, pack=second.pack), other: replace(second, pack=first.pack)}
            self._do("run", "swap", one, {"other": [str(other)], "what": ["packs"]}, new)

    def _do(self, kind: str, name: str, thing_id: int, typed: dict[str, list[str]], new: dict[int, Told]) -> None:
        self.session.info.clear()
        reader = Reader(Typed(typed), DisplayUnits({}), NOW)
        planned = operation(kind, name).plan(self.session, reader, thing_id, AT)
        done = carry_out(self.session, name, planned, "", "", AT)
        self.done.append((done.id, {run_id: self.told[run_id] for run_id in new}))
        self.told |= new

    @precondition(lambda self: self.done)
    @rule()
    def take_the_last_back(self) -> None:
        """What was put right last is taken back."""
        mending_id, was = self.done.pop()
        take_back(self.session, mending_id, "", "", AT)
        self.told |= was

    @invariant()
    def as_if_written_right(self) -> None:
        """A garage in which the same was written right reads the same."""
        mended = _reads(self.session, self.world)
        (engine, context), session, (world, days) = self._new(f"right{len(list(Path(self.folder.name).iterdir()))}")
        for told in sorted(self.told.values(), key=lambda one: (one.day, one.minute)):
            _write(session, world, days, told)
        right = _reads(session, world)
        context.gen.close()
        engine.dispose()
        assert mended == right


@pytest.mark.parametrize("examples", [4, pytest.param(150, marks=pytest.mark.long)])
def test_writing_and_putting_right_ends_as_writing_it_right(empty_file: Path, examples: int):
    Mended.empty = empty_file
    run_state_machine_as_test(Mended, settings=settings(max_examples=examples, stateful_step_count=8, deadline=None))
