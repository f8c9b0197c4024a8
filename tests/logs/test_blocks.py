"""Samples packed and unpacked: the same to the resolution of their channel, gaps and all."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.logs.blocks import RESOLUTIONS, Block, pack_column, pack_track, unpack_column, unpack_track
from tests.logs.made import START, there_and_back


@given(
    st.sampled_from(sorted(RESOLUTIONS)),
    st.lists(st.one_of(st.floats(-1e6, 1e6), st.just(float("nan")), st.just(float("inf"))), max_size=70),
)
def test_a_column_comes_back_to_its_resolution(name, values):
    column = np.array(values, dtype=float)
    back = unpack_column(pack_column(name, column))
    known = np.isfinite(column)
    assert (np.isnan(back) == ~known).all()
    np.testing.assert_allclose(back[known], column[known], atol=RESOLUTIONS[name] * 0.51, rtol=1e-12)


def test_a_track_comes_back_whole_and_small():
    track = there_and_back(25, 25, rounds=10).track(place_sd=0.01, speed_sd=0.1)
    blocks = pack_track(track)
    back = unpack_track(blocks, START)
    np.testing.assert_allclose(back.lat_deg, track.lat_deg, atol=1e-9)
    np.testing.assert_allclose(back.speed_ms, track.speed_ms, atol=1e-4)
    assert sum(len(block.content) for block in blocks) < 16 * len(track)


def test_a_damaged_block_is_told():
    block = pack_column("speed_ms", np.arange(5.0))
    for content in (b"rubbish", block.content[:-3], b""):
        with pytest.raises(ValueError, match="damaged"):
            unpack_column(Block(block.name, block.resolution, block.samples, content))
