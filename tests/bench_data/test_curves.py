"""Curves with few points: no peak and no dip of the whole log is lost, and nothing is drawn across a gap."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from lidoff.bench.curves import COLUMNS, curve, kept_places

SERIES = st.tuples(st.integers(2, 3000), st.integers(0, 2**32 - 1), st.integers(2, 40))


def series(count: int, seed: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    rng = np.random.default_rng(seed)
    times = np.cumsum(rng.exponential(1.0, count))
    return times, np.round(rng.normal(10, 5, count), 3), rng.random(count - 1) > 0.01


@given(SERIES)
def test_highest_and_lowest_are_drawn(given_series):
    count, seed, columns = given_series
    times, values, is_joined = series(count, seed)
    drawn = curve("power", "W", times, values, is_joined, columns)
    assert drawn.high == values.max() and drawn.low == values.min()


@given(SERIES)
def test_points_are_readings_in_their_order(given_series):
    count, seed, columns = given_series
    times, values, is_joined = series(count, seed)
    places = kept_places(times, values, is_joined, columns)
    assert (np.diff(places) > 0).all() and places[0] == 0 and places[-1] == count - 1
    gaps = int((~is_joined).sum())
    assert len(places) <= 2 * columns + 2 + 2 * gaps or len(places) == count <= 2 * columns


@given(SERIES)
def test_every_piece_of_time_keeps_its_extremes(given_series):
    count, seed, columns = given_series
    times, values, is_joined = series(count, seed)
    places = kept_places(times, values, is_joined, columns)
    edges = np.linspace(times[0], times[-1], columns + 1)
    pieces = np.clip(np.searchsorted(edges, times, side="right") - 1, 0, columns - 1)
    for piece in np.unique(pieces):
        mine, kept = values[pieces == piece], values[places[pieces[places] == piece]]
        # a reading on the very edge may fall to either side
        if len(kept) and len(mine) > 2:
            assert kept.max() >= np.partition(mine, -2)[-2] and kept.min() <= np.partition(mine, 1)[1]


@given(SERIES)
def test_no_line_crosses_a_gap(given_series):
    count, seed, columns = given_series
    times, values, is_joined = series(count, seed)
    drawn = curve("power", "W", times, values, is_joined, columns)
    assert len(drawn.stretches) == int((~is_joined).sum()) + 1
    ends = times[np.flatnonzero(~is_joined)]
    assert [stretch.times[-1] for stretch in drawn.stretches[:-1]] == ends.tolist()


def test_a_million_readings_become_a_few_hundred_points():
    times = np.arange(1_000_000) * 0.1
    values = np.sin(times)
    values[777_777] = 42.0
    drawn = curve("power", "W", times, values, np.ones(999_999, dtype=bool))
    assert drawn.high == 42 and sum(len(stretch.times) for stretch in drawn.stretches) <= 2 * COLUMNS + 2
