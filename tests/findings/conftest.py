"""The seeded garage with enough runs to ask about."""

import pytest

from garage.waters.outing_store import close_outing
from tests.seeded import NOW, Garage, at, with_history


def close_all(session, garage: Garage) -> None:
    """Close every outing, so that its runs count."""
    for outing in garage.outings:
        close_outing(session, outing, NOW.utc)
    session.commit()


@pytest.fixture
def garage(session) -> Garage:
    """The seeded garage with its outings closed, and more runs: two days with the tabs, faster by 4 %."""
    garage = with_history(session)
    for day, speed in (("04-19", 83.5), ("04-26", 83.2)):
        outing = garage.outing(day, air_c=14.0, wind_ms=3.0, surface="glass")
        for minute in (10, 30, 50):
            garage.run(outing, at(day, f"10:{minute}"), speed_kmh=speed + minute / 100)
    close_all(session, garage)
    return garage
