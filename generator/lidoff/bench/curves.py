"""Series of any length -> the points that a drawing needs, such that no peak and no dip is lost."""

from array import array

import numpy as np
from numpy.typing import NDArray

from lidoff.bench.log_values import Curve, Stretch

Array = NDArray[np.float64]
COLUMNS = 200


def curve(
    name: str, unit: str, times: Array, values: Array, is_joined: NDArray[np.bool_], columns: int = COLUMNS
) -> Curve:
    """The curve of a series; ``is_joined`` says of neighbours whether a line may be drawn between them."""
    kept = kept_places(times, values, is_joined, columns)
    breaks = np.flatnonzero(~is_joined) + 1
    pieces = np.split(kept, np.searchsorted(kept, breaks))
    stretches = (Stretch(array("d", times[piece].tolist()), array("d", values[piece].tolist())) for piece in pieces)
    return Curve(name, unit, tuple(stretches))


def kept_places(times: Array, values: Array, is_joined: NDArray[np.bool_], columns: int = COLUMNS) -> NDArray[np.int64]:
    """The places of the lowest and the highest reading in each of so many equal pieces of time, and of all ends.

    The first and the last reading and those on either side of a gap are kept too.
    """
    ends = np.flatnonzero(~is_joined)
    always = np.concatenate(([0, len(times) - 1], ends, ends + 1))
    if len(times) <= 2 * columns:
        return np.arange(len(times))
    span = times[-1] - times[0]
    column = np.minimum(((times - times[0]) * (columns / span)).astype(np.int64), columns - 1)
    starts = np.flatnonzero(np.concatenate(([True], np.diff(column) > 0)))
    sizes = np.diff(np.append(starts, len(column)))
    extremes = [_first_equal(values, pick.reduceat(values, starts), starts, sizes) for pick in (np.minimum, np.maximum)]
    return np.unique(np.concatenate((always, *extremes)))


def _first_equal(
    values: Array, wanted: Array, starts: NDArray[np.int64], sizes: NDArray[np.int64]
) -> NDArray[np.int64]:
    """In each piece the first place that holds the piece's wanted value."""
    places = np.flatnonzero(values == np.repeat(wanted, sizes))
    _, first = np.unique(np.searchsorted(starts, places, side="right"), return_index=True)
    return places[first]
