"""Numbers as findings write them: recorded ones as they stand, computed ones rounded once."""

from lidoff.engineering.rounding import round_significant
from lidoff.figures.figure import Figure
from lidoff.figures.show import written


def recorded(value: float, unit: str) -> str:
    """A value of the record.

    Examples
    --------
    >>> recorded(3.0, "A")
    '3 A'
    """
    return f"{value:g} {unit}"


def rounded(value: float, digits: int = 3) -> str:
    """A computed number to some significant digits.

    Examples
    --------
    >>> rounded(571.63)
    '572'
    """
    return written(round_significant(value, digits))


def computed(value: float, unit: str, digits: int = 3) -> str:
    """A computed value to some significant digits.

    Examples
    --------
    >>> computed(571.63, "V")
    '572 V'
    """
    return f"{rounded(value, digits)} {unit}"


def percent(share: float, digits: int = 3) -> str:
    """A ratio in percent, to some significant digits.

    Examples
    --------
    >>> percent(0.8795), percent(5.744)
    ('88.0 %', '574 %')
    """
    return computed(100 * share, "%", digits)


def values_behind(*figures: Figure) -> tuple[float, ...]:
    """All values that figures rest on, recorded and assumed: what an answer in the record lapses with."""
    return tuple(one.value for figure in figures for one in (*figure.inputs, *figure.assumed))


def assumes(figure: Figure, *ids: str) -> bool:
    """Whether a figure rests on one of these assumptions."""
    return any(one.id in ids for one in figure.assumed)
