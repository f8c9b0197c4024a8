"""What a run form offers to pick from, however much there is in the garage."""

from garage.packs.tables import Pack, PackLog
from garage.props.tables import Prop, PropEdition
from garage.runs.entry.pick_store import MOST_OFFERED, pack_options, prop_options
from tests.runs.conftest import AT, MORNING


def _many_props(session, count: int) -> None:
    made = MORNING.utc
    for number in range(count):
        # Codes that come before the one that is used, so that by code alone it would not be reached.
        prop = Prop(code=f"A{number % 10}" if number < 10 else f"{number}", created_at=made)
        session.add(prop)
        session.flush()
        session.add(PropEdition(prop_id=prop.id, number=1, diameter_mm=40, pitch_mm=60, made_at=made, created_at=made))
    session.flush()


def test_a_prop_used_lately_is_offered_first_however_many_others_there_are(world):
    world.run("J")
    _many_props(world.session, 99)
    offered = prop_options(world.session, world.medlar)
    assert offered[0].code == "P1"
    assert len(offered) == MOST_OFFERED == len({one.id for one in offered})


def test_as_many_packs_are_offered_though_some_ran_already_that_day(world):
    world.session.add_all(
        Pack(code=f"B{number}", cells_s=3, capacity_mah=4000, created_at=MORNING.utc) for number in range(60)
    )
    for pack in "JKL":
        world.run(pack)
    offered = pack_options(world.session, world.medlar, 3, AT)
    assert len(offered) == MOST_OFFERED
    assert not {str(pack_id) for pack_id in world.packs.values()} & {one.value for one in offered}


def test_a_pack_that_came_back_over_hot_is_offered_with_that_said_until_it_is_looked_at(world):
    def words() -> str:
        return next(one.text for one in pack_options(world.session, world.medlar, 3, AT) if one.text.startswith("K "))

    def entry(kind: str, day: int, **facts) -> None:
        at = f"2026-05-0{day}T10:00:00Z"
        world.session.add(PackLog(pack_id=world.packs["K"], kind=kind, at=at, created_at=at, **facts))
        world.session.flush()

    assert "came back" not in words()
    entry("bench", 1, temperature_c=75.0)
    assert "came back at 75" in words()
    entry("look", 2)
    assert "came back" not in words()
