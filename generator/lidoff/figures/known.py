"""Quantities that know what they rest on, and how figures are made from them.

A function that looks for a quantity either returns a ``Known`` or raises ``Absent`` with the reason that readers see.
"""

from collections.abc import Callable, Iterable, Iterator
from functools import cache
from typing import NamedTuple, TypeVar

from lidoff.engineering.geometry import UNITS, in_unit
from lidoff.engineering.uncertainty import expanded_uncertainty
from lidoff.figures.catalogue import KINDS
from lidoff.figures.citation import citation, dotted
from lidoff.figures.figure import Assumed, Corner, Figure, FigureInput

NO_CORNER = Corner()
Result = TypeVar("Result")


class Absent(Exception):
    """There is no such quantity; the text says why, in words for readers."""


class Known(NamedTuple):
    """A quantity in SI units, what it rests on, and its standard uncertainty where the instrument is recorded.

    ``function`` is the formula it came from, where that differs from the usual one of its figure. A record makes
    hundreds of these, and a named tuple is made in a seventh of the time that a frozen dataclass takes.
    """

    value: float
    inputs: tuple[FigureInput, ...] = ()
    assumed: tuple[Assumed, ...] = ()
    uncertainty: float | None = None
    function: Callable | None = None


def read(field: str, value: float, unit: str, per_si: float = 1.0) -> Known:
    """A value of the record; ``per_si`` is how many of its unit make one SI unit, 1e6 for µF."""
    return Known(value / per_si, (FigureInput(field, value, unit),))


def resting_on(
    value: float, parts: Iterable[Known], uncertainty: float | None = None, function: Callable | None = None
) -> Known:
    """A computed quantity that rests on all that its parts rest on."""
    parts = tuple(parts)
    if len(parts) == 1:
        return Known(value, parts[0].inputs, parts[0].assumed, uncertainty, function)
    inputs = dict.fromkeys([one for part in parts for one in part.inputs])
    assumed = dict.fromkeys([one for part in parts for one in part.assumed])
    return Known(value, tuple(inputs), tuple(assumed), uncertainty, function)


def computed(function: Callable[..., Result], *arguments: object, **named: object) -> Result:
    """What an engineering function gives; recorded values that it refuses are a reason for absence."""
    try:
        return function(*arguments, **named)
    except ValueError as refusal:
        why = str(refusal).replace("_", " ")
        raise Absent(f"the formula does not hold for the recorded values ({why})") from refusal


def figure(
    id: str, quantity: Known, of: Corner = NO_CORNER, source: str | None = None, unit: str | None = None
) -> Figure:
    """The figure of a quantity, in the unit of its kind."""
    kind = KINDS[id]
    function = quantity.function or kind.function
    value = in_unit(quantity.value, kind.unit) if kind.unit in UNITS else quantity.value * kind.per_si
    spread = None
    if quantity.uncertainty is not None:
        spread = expanded_uncertainty(quantity.uncertainty) * _scale(id)
    return Figure(
        id=id, unit=unit or kind.unit, value=value, of=of, expanded_uncertainty=spread, inputs=quantity.inputs,
        assumed=quantity.assumed, method=dotted(function), source=source or citation(function),
    )  # fmt: skip


@cache
def _scale(id: str) -> float:
    """How many of a figure's unit make one SI unit."""
    kind = KINDS[id]
    return in_unit(1.0, kind.unit) if kind.unit in UNITS else kind.per_si


def absent(id: str, reason: str, of: Corner = NO_CORNER, function: Callable | None = None) -> Figure:
    """The figure that there is not, with the reason."""
    kind = KINDS[id]
    function = function or kind.function
    return Figure(id=id, unit=kind.unit, of=of, method=dotted(function), source=citation(function), absent=reason)


def attempt(id: str, find: Callable[[], Known], of: Corner = NO_CORNER) -> Iterator[Figure]:
    """The figure of the quantity that ``find`` finds, or the reason why it finds none."""
    try:
        yield figure(id, find(), of)
    except Absent as reason:
        yield absent(id, str(reason), of)
