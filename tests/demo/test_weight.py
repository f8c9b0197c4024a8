"""What a phone has to fetch for the heaviest page."""

import pytest

from garage.paths import STATIC_DIR

MOST_BYTES = 120_000


@pytest.mark.parametrize("hull_id", [1, 2, 3])
def test_the_page_of_a_boat_and_its_looks_are_light(demo_client, hull_id: int):
    page = demo_client.get(f"/hulls/{hull_id}")
    looks = STATIC_DIR / "garage.css"
    assert len(page.content) + looks.stat().st_size <= MOST_BYTES
