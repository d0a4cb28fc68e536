"""Ratings of parts in SI units, and values as an engineer writes them."""

from lidoff.engineering.rounding import round_significant
from lidoff.figures.show import written
from lidoff.record.model.component import Ratings

_CAPACITANCES = (("capacitance_uf", 1e-6), ("capacitance_nf", 1e-9), ("capacitance_pf", 1e-12))
_OHMS = ((1e9, "GΩ"), (1e6, "MΩ"), (1e3, "kΩ"), (1.0, "Ω"), (1e-3, "mΩ"))
_FARADS = ((1e-6, "µF"), (1e-9, "nF"), (1e-12, "pF"))


def capacitance(ratings: Ratings) -> tuple[str, float] | None:
    """The key of the recorded capacitance and its value in farads."""
    for key, farad in _CAPACITANCES:
        value = getattr(ratings, key)
        if value is not None:
            return key, value * farad
    return None


def ohms(value: float) -> str:
    """A resistance.

    Examples
    --------
    >>> ohms(1e6), ohms(0.005), ohms(24300.0), ohms(0.0)
    ('1 MΩ', '5 mΩ', '24.3 kΩ', '0 Ω')
    """
    return _with_prefix(value, _OHMS) if value else "0 Ω"


def farads(value: float) -> str:
    """A capacitance.

    Examples
    --------
    >>> farads(82e-6), farads(1e-9), farads(4.7e-7)
    ('82 µF', '1 nF', '470 nF')
    """
    return _with_prefix(value, _FARADS)


def _with_prefix(value: float, steps: tuple[tuple[float, str], ...]) -> str:
    """The value with the largest prefix that leaves a number of 1 or more."""
    step, unit = next((one for one in steps if value >= one[0] * (1 - 1e-9)), steps[-1])
    number = written(round_significant(value / step, 4))
    return f"{number.rstrip('0').rstrip('.') if '.' in number else number} {unit}"
