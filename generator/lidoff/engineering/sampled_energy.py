"""Energy from a power that was sampled at uneven times, with gaps left out and told."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import isfinite

from lidoff.engineering._arguments import require_positive
from lidoff.engineering.statistics_robust import median


@dataclass(frozen=True, slots=True)
class SampledEnergy:
    """Energy of a log and what is missing from it.

    Attributes
    ----------
    energy : float
        Energy of the intervals that were sampled. [J]
    gap_time : float
        Time in gaps, for which no energy is counted. [s]
    gaps : int
        Number of gaps. [-]
    """

    energy: float
    gap_time: float
    gaps: int


def sampled_energy(times: Sequence[float], powers: Sequence[float], gap_factor: float = 5.0) -> SampledEnergy:
    r"""Energy of a sampled power, by the trapezoid rule, without the gaps.

    Parameters
    ----------
    times : sequence of float
        Times, rising. [s]
    powers : sequence of float
        Power at each time. [W]
    gap_factor : float, optional
        An interval longer than so many median intervals is a gap. [-]

    Returns
    -------
    SampledEnergy
        Energy, time in gaps and their number. [J]

    Raises
    ------
    ValueError
        The lengths differ, there are fewer than two samples, the times do not rise, a number is not finite, or the
        factor is not above 0.

    Notes
    -----
    .. math::

        E = \sum \left( t_{i+1} - t_i \right) \frac{P_i + P_{i+1}}{2}

    over the intervals that are no gap. The factor has no source: it is common practice to break a log where samples are
    missing, and how many depends on the logger.

    Examples
    --------
    >>> sampled_energy([0, 1, 2, 4, 5, 8], [0, 10, 12, 12, 11, 3])
    SampledEnergy(energy=72.5, gap_time=0.0, gaps=0)

    References
    ----------
    .. [1] Trapezoid rule; numerical mathematics that needs no source.
    """
    require_positive(gap_factor=gap_factor)
    if len(times) != len(powers) or len(times) < 2:
        raise ValueError(f"times, powers: found {len(times)} and {len(powers)} numbers, expected two or more of each")
    if not all(isfinite(value) for value in (*times, *powers)):
        raise ValueError("times, powers: found a number that is not finite, expected finite numbers")
    intervals = [later - earlier for earlier, later in pairwise(times)]
    if min(intervals) <= 0:
        at = next(i for i, interval in enumerate(intervals, 1) if interval <= 0)
        raise ValueError(f"times[{at}]: found {times[at]} after {times[at - 1]}, expected rising times")
    longest = gap_factor * median(intervals)
    gaps = [interval for interval in intervals if interval > longest]
    areas = ((p1 + p2) / 2 * dt for (p1, p2), dt in zip(pairwise(powers), intervals, strict=True) if dt <= longest)
    return SampledEnergy(sum(areas, 0.0), sum(gaps, 0.0), len(gaps))
