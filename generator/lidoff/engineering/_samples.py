"""What the statistics of this package share."""

from collections.abc import Sequence
from math import isfinite
from statistics import NormalDist


def two_sided_z(confidence: float) -> float:
    """Number of standard deviations on either side that hold the given share of normal data."""
    if not 0 < confidence < 1:
        raise ValueError(f"confidence: found {confidence}, expected a number between 0 and 1")
    return NormalDist().inv_cdf((1 + confidence) / 2)


def require_finite(values: Sequence[float]) -> None:
    """Refuse an empty sequence and one that holds a number that is not finite."""
    if not values or not all(isfinite(value) for value in values):
        raise ValueError(f"values: found {list(values)[:5]}, expected at least one finite number and no other")
