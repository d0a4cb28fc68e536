"""What a derived figure is: a value or the reason why there is none, with all that it rests on."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple


class Corner(NamedTuple):
    """What a figure is of, where it has several values: a port, a mains voltage, an output voltage.

    A tuple, since corners are compared and looked up by the hundred.
    """

    port: str | None = None
    mains_v: float | None = None
    mains_hz: float | None = None
    output_v: float | None = None


class FigureInput(NamedTuple):
    """One input: the field of the record it was read from, its value and unit. A record makes a hundred of these."""

    field: str
    value: float
    unit: str


class Assumed(NamedTuple):
    """One assumption that a figure rests on."""

    id: str
    value: float
    unit: str
    source: str


class Figure(NamedTuple):
    """One derived figure. ``value`` is None exactly where ``absent`` gives the reason. A record has some forty."""

    id: str
    unit: str
    value: float | None = None
    of: Corner = Corner()
    expanded_uncertainty: float | None = None
    inputs: tuple[FigureInput, ...] = ()
    assumed: tuple[Assumed, ...] = ()
    method: str = ""
    source: str = ""
    absent: str | None = None


@dataclass(frozen=True, slots=True)
class Figures:
    """All figures of one record, by id."""

    items: tuple[Figure, ...] = ()

    def __iter__(self) -> Iterator[Figure]:
        return iter(self.items)

    def all(self, figure_id: str) -> tuple[Figure, ...]:
        """Every figure of that id, absent ones included."""
        return tuple(figure for figure in self.items if figure.id == figure_id)

    def present(self, figure_id: str) -> tuple[Figure, ...]:
        """The figures of that id that have a value."""
        return tuple([figure for figure in self.items if figure.id == figure_id and figure.value is not None])

    def value(self, figure_id: str) -> float | None:
        """The value of a figure without corners, or None."""
        found = self.present(figure_id)
        return found[0].value if found else None
