"""Clearance and creepage: typical values of named conditions, to set beside a measurement, never a verdict."""

import csv
from dataclasses import dataclass
from decimal import ROUND_CEILING, Context, Decimal
from functools import cache
from importlib.resources import files
from itertools import pairwise

from lidoff.engineering._arguments import require_not_negative

_BASIC_CREEPAGE = ((200.0, 2.0e-3), (250.0, 2.5e-3), (320.0, 3.2e-3), (400.0, 4.0e-3))
"""Working voltage [V] and creepage [m]; 250 V, and 281 V between rows, were seen in test reports, the rest not."""
_ALTITUDE_FACTORS = ((2000.0, 1.0), (3000.0, 1.14), (4000.0, 1.29), (5000.0, 1.48))


@dataclass(frozen=True, slots=True)
class TypicalSpacing:
    """Distances that a test report lists for a condition, all of them for pollution degree 2.

    Attributes
    ----------
    condition : str
        What the distance is across, and at which voltage. [-]
    insulation : str
        reinforced, basic or functional. [-]
    voltage_peak : float or None
        Peak working voltage. [V]
    voltage_rms : float
        Working voltage. [V]
    clearance : float or None
        Shortest way through air. [m]
    creepage : float or None
        Shortest way along a surface. [m]
    document : str
        Standard and clause. [-]
    basis : str
        seen or from-memory. [-]
    source : str
        Where the values were seen. [-]
    """

    condition: str
    insulation: str
    voltage_peak: float | None
    voltage_rms: float
    clearance: float | None
    creepage: float | None
    document: str
    basis: str
    source: str


@cache
def typical_spacings() -> tuple[TypicalSpacing, ...]:
    """Typical distances with the condition that each holds for.

    Returns
    -------
    tuple of TypicalSpacing
        The rows of the file typical_spacings.csv. [-]

    Notes
    -----
    No equation: a table, for pollution degree 2, material group IIIa or IIIb, overvoltage category II with a mains
    transient of 2500 V. Distances depend on edition, market, altitude, quality programme and potting. A measured
    distance is shown beside the typical value of its condition; a smaller one is no fault by itself, a larger one no
    proof.

    Examples
    --------
    >>> [(row.clearance, row.creepage) for row in typical_spacings()][0]
    (0.004, 0.005)

    References
    ----------
    .. [1] IEC 60950-1, 2.10.3 and 2.10.4 (values as listed in CB test reports; 320 V and 400 V from memory).
    .. [2] IEC 62368-1, 5.4.2 and 5.4.3 (values as listed in a CB test report).
    """
    with files(__package__).joinpath("typical_spacings.csv").open(encoding="utf-8", newline="") as table:
        return tuple(_read_row(row) for row in csv.DictReader(table))


def basic_creepage(working_voltage: float) -> float:
    r"""Creepage distance of basic insulation, interpolated and rounded up.

    Parameters
    ----------
    working_voltage : float
        Working voltage, root mean square, 200 V to 400 V. [V]

    Returns
    -------
    float
        Distance, rounded up to 0.1 mm. [m]

    Raises
    ------
    ValueError
        The voltage is outside the range of the table.

    Notes
    -----
    .. math::

        d = d_1 + \left( d_2 - d_1 \right) \frac{V - V_1}{V_2 - V_1}

    between the two rows around the voltage, then rounded up to the next 0.1 mm. For pollution degree 2 and material
    group IIIa or IIIb.

    Examples
    --------
    >>> basic_creepage(250.0), basic_creepage(281.0)
    (0.0025, 0.0029)

    References
    ----------
    .. [1] IEC 60950-1, 2.10.4, table 2N (250 V and 281 V as listed in CB test reports, the other rows from memory).
    """
    lowest, highest = _BASIC_CREEPAGE[0][0], _BASIC_CREEPAGE[-1][0]
    if not lowest <= working_voltage <= highest:
        raise ValueError(f"working_voltage: found {working_voltage}, expected {lowest:g} V to {highest:g} V")
    distance = _interpolated(working_voltage, _BASIC_CREEPAGE)
    return float(_as_written(distance).quantize(Decimal("0.0001"), ROUND_CEILING))


def reinforced_creepage(working_voltage: float) -> float:
    r"""Creepage distance of reinforced insulation.

    Parameters
    ----------
    working_voltage : float
        Working voltage, root mean square, 200 V to 400 V. [V]

    Returns
    -------
    float
        Distance. [m]

    Raises
    ------
    ValueError
        The voltage is outside the range of the table.

    Notes
    -----
    .. math::

        d_{reinforced} = 2 d_{basic}

    with the distance of basic insulation already rounded up. The often-quoted 6.4 mm is that of 320 V, not of mains
    voltage.

    Examples
    --------
    >>> reinforced_creepage(250.0), reinforced_creepage(281.0)
    (0.005, 0.0058)

    References
    ----------
    .. [1] IEC 60950-1, 2.10.4 (5.0 mm at 250 V and 5.8 mm at 281 V as listed in CB test reports).
    """
    return 2 * basic_creepage(working_voltage)


def altitude_factor(altitude: float) -> float:
    r"""Factor by which clearances grow with altitude.

    Parameters
    ----------
    altitude : float
        Altitude above sea level, up to 5000 m. [m]

    Returns
    -------
    float
        Factor, 1 up to 2000 m. [-]

    Raises
    ------
    ValueError
        The altitude is negative or above 5000 m.

    Notes
    -----
    .. math::

        k = k_1 + \left( k_2 - k_1 \right) \frac{h - h_1}{h_2 - h_1}

    between the rows for 2000, 3000, 4000 and 5000 m: 1, 1.14, 1.29 and 1.48. Creepage distances do not change.

    Examples
    --------
    >>> altitude_factor(1500.0), altitude_factor(5000.0)
    (1.0, 1.48)

    References
    ----------
    .. [1] IEC 60664-1, table A.2 (from memory).
    """
    require_not_negative(altitude=altitude)
    if altitude > 5000.0:
        raise ValueError(f"altitude: found {altitude}, expected up to 5000 m")
    return _interpolated(max(altitude, 2000.0), _ALTITUDE_FACTORS)


def _interpolated(position: float, rows: tuple[tuple[float, float], ...]) -> float:
    """Straight line between the rows around the position, which lies within the table."""
    (left, low), (right, high) = next(pair for pair in pairwise(rows) if position <= pair[1][0])
    return low + (high - low) * (position - left) / (right - left)


def _as_written(value: float) -> Decimal:
    """The double at 12 significant digits, so that binary noise does not round up to the next step."""
    return Context(prec=12).create_decimal(value)


def _read_row(row: dict[str, str]) -> TypicalSpacing:
    def metres(text: str) -> float | None:
        return float(Decimal(text).scaleb(-3)) if text else None

    peak = row["voltage_peak_v"]
    return TypicalSpacing(
        row["condition"],
        row["insulation"],
        float(peak) if peak else None,
        float(row["voltage_rms_v"]),
        metres(row["clearance_mm"]),
        metres(row["creepage_mm"]),
        row["document"],
        row["basis"],
        row["source"],
    )
