"""Published limits of external power supplies: average efficiency, efficiency at 10 % load, no-load power."""

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import inf, log
from typing import Literal

from lidoff.engineering._arguments import require_positive

PowerClass = Literal["basic", "low-voltage", "multiple-voltage", "ac-ac"]
Regulation = Literal["us-level-vi", "eu-2019-1782", "coc-5-tier-2"]


@dataclass(frozen=True, slots=True)
class LimitRow:
    """A row of a table of limits, as the file efficiency_limits.csv has it.

    Attributes
    ----------
    regulation : str
        us-level-vi, eu-2019-1782 or coc-5-tier-2. [-]
    measure : str
        average, ten-percent or no-load. [-]
    power_class : str
        basic, low-voltage, multiple-voltage or ac-ac. [-]
    above : float
        The row holds above this nameplate power. [W]
    up_to : float
        The row holds up to this nameplate power, inclusive. [W]
    ln_coefficient : float
        Factor of the natural logarithm of the power in watts. [-]
    linear_coefficient : float
        Factor of the power in watts. [-]
    constant : float
        Constant term; for no-load the power in watts. [-]
    edition : str
        Document and edition. [-]
    clause : str
        Place in the document. [-]
    basis : str
        seen or from-memory. [-]
    source : str
        Where the figures were seen, or what confirms them. [-]
    """

    regulation: str
    measure: str
    power_class: str
    above: float
    up_to: float
    ln_coefficient: float
    linear_coefficient: float
    constant: float
    edition: str
    clause: str
    basis: str
    source: str


@dataclass(frozen=True, slots=True)
class EfficiencyLimit:
    """Smallest efficiency that a document asks for.

    Attributes
    ----------
    efficiency : float
        The limit, not rounded. [-]
    row : LimitRow
        The row it comes from, with edition, clause and basis. [-]
    """

    efficiency: float
    row: LimitRow


@dataclass(frozen=True, slots=True)
class NoLoadLimit:
    """Largest no-load power that a document allows.

    Attributes
    ----------
    power : float
        The limit. [W]
    row : LimitRow
        The row it comes from, with edition, clause and basis. [-]
    """

    power: float
    row: LimitRow


def efficiency_limit(
    power: float,
    power_class: PowerClass,
    regulation: Regulation,
    measure: Literal["average", "ten-percent"] = "average",
) -> EfficiencyLimit | None:
    r"""Smallest efficiency that a document asks for.

    Parameters
    ----------
    power : float
        Nameplate output power, never the measured one. [W]
    power_class : str
        basic, low-voltage, multiple-voltage or ac-ac. [-]
    regulation : str
        us-level-vi, eu-2019-1782 or coc-5-tier-2. [-]
    measure : str, optional
        average of the four loads, or ten-percent load. [-]

    Returns
    -------
    EfficiencyLimit or None
        The limit; None where the document sets none for such a supply. [-]

    Raises
    ------
    ValueError
        The power is not a finite number above 0.

    Notes
    -----
    .. math::

        \eta_{min} = a \ln \frac{P}{1\ \text{W}} + b \frac{P}{1\ \text{W}} + c

    with a, b and c of the row whose range holds P; the upper end of a range belongs to it (49 W to the logarithm). EU
    documents end at 250 W. No document gives a rule for rounding before the comparison: compare the unrounded limit.
    For Regulation (EU) 2025/2052, which replaces 2019/1782 in December 2028, the figures were not at hand.

    Examples
    --------
    >>> round(efficiency_limit(45.0, "basic", "us-level-vi").efficiency, 4)
    0.8773
    >>> efficiency_limit(280.0, "basic", "eu-2019-1782") is None
    True

    References
    ----------
    .. [1] 10 CFR 430.32(w)(1)(ii), level VI (figures seen second-hand; multiple-voltage from memory).
    .. [2] Regulation (EU) 2019/1782, Annex II point 1(b) (low-voltage from memory).
    .. [3] EU Code of Conduct on energy efficiency of external power supplies, version 5, 2013, tier 2 (10 % load
       mostly from memory; each row of the file tells).
    """
    require_positive(power=power)
    row = _row(power, power_class, regulation, measure)
    if row is None:
        return None
    return EfficiencyLimit(row.ln_coefficient * log(power) + row.linear_coefficient * power + row.constant, row)


def no_load_limit(power: float, power_class: PowerClass, regulation: Regulation) -> NoLoadLimit | None:
    """Largest no-load power that a document allows.

    Parameters
    ----------
    power : float
        Nameplate output power. [W]
    power_class : str
        basic, low-voltage, multiple-voltage or ac-ac. [-]
    regulation : str
        us-level-vi, eu-2019-1782 or coc-5-tier-2. [-]

    Returns
    -------
    NoLoadLimit or None
        The limit; None where the document sets none for such a supply. [-]

    Raises
    ------
    ValueError
        The power is not a finite number above 0.

    Notes
    -----
    No equation: a table with a step at 49 W, in the US also at 250 W. The upper end of a range belongs to it. To a
    supply that changes its voltage the EU applies the US method and then a limit of 0.21 W, according to its
    published answers.

    Examples
    --------
    >>> no_load_limit(65.0, "basic", "us-level-vi").power
    0.21

    References
    ----------
    .. [1] 10 CFR 430.32(w)(1)(ii), level VI (figures seen second-hand; multiple-voltage from memory).
    .. [2] Regulation (EU) 2019/1782, Annex II point 1(a) (low-voltage from memory).
    .. [3] EU Code of Conduct on energy efficiency of external power supplies, version 5, 2013, tier 2.
    """
    require_positive(power=power)
    row = _row(power, power_class, regulation, "no-load")
    return NoLoadLimit(row.constant, row) if row else None


@cache
def _limit_rows() -> tuple[LimitRow, ...]:
    with files(__package__).joinpath("efficiency_limits.csv").open(encoding="utf-8", newline="") as table:
        return tuple(_read_row(row) for row in csv.DictReader(table))


def _read_row(row: dict[str, str]) -> LimitRow:
    return LimitRow(
        row["regulation"],
        row["measure"],
        row["power_class"],
        float(row["above_w"]),
        float(row["up_to_w"] or inf),
        float(row["ln_coefficient"]),
        float(row["linear_coefficient"]),
        float(row["constant"]),
        row["edition"],
        row["clause"],
        row["basis"],
        row["source"],
    )


def _row(power: float, power_class: str, regulation: str, measure: str) -> LimitRow | None:
    wanted = (regulation, measure, power_class)
    rows = (row for row in _limit_rows() if (row.regulation, row.measure, row.power_class) == wanted)
    return next((row for row in rows if row.above < power <= row.up_to), None)
