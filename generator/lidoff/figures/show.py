"""How a figure is written for people: rounded once, with unit and uncertainty, and once more in another unit."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from types import MappingProxyType

from lidoff.engineering.geometry import UNITS, in_unit
from lidoff.engineering.observation import as_observed, largest_observed
from lidoff.engineering.rounding import round_places, round_significant
from lidoff.engineering.turns_ratio import turns_ratio_by_rectifier, turns_ratio_by_switch
from lidoff.figures.catalogue import KINDS, FigureKind
from lidoff.figures.citation import dotted
from lidoff.figures.figure import Assumed, Corner, Figure

MINUS = "\u2212"
NO_UNIT = "1"
CACHED = 4096
OBSERVED = frozenset(dotted(function) for function in (as_observed, largest_observed))
# figures that bound a quantity instead of giving it, by the formula they come from
BOUNDS = MappingProxyType({dotted(turns_ratio_by_rectifier): "at least", dotted(turns_ratio_by_switch): "at most"})


@dataclass(frozen=True, slots=True)
class Shown:
    """One value as people read it; a piece is empty where there is nothing to say.

    ``text`` is bound, value, uncertainty and unit in one phrase.
    """

    value: str = ""
    unit: str = ""
    uncertainty: str = ""
    imperial: str = ""
    bound: str = ""
    text: str = ""


NOTHING = Shown()


def shown(figure: Figure, space: str = " ") -> Shown:
    """A figure's value for show; empty for one that is absent. ``space`` parts a number from its unit."""
    if figure.value is None:
        return NOTHING
    # adding zero makes one zero of the two, which are equal as keys of the cache
    return _shown(figure.id, figure.value + 0.0, figure.unit, figure.expanded_uncertainty, figure.method, space)


@lru_cache(maxsize=CACHED)
def _shown(id: str, exact: float, unit: str, expanded: float | None, method: str, space: str) -> Shown:
    """Kept, since tables, comparisons and verdicts show the same figure."""
    kind = KINDS[id]
    rounded, doubt = _rounded(exact, expanded, kind)
    value, bound, unit = written(rounded), BOUNDS.get(method, ""), "" if unit == NO_UNIT else unit
    uncertainty = "" if doubt is None else written(doubt)
    pieces = (bound, value, f"±{space}{uncertainty}" if uncertainty else "", unit)
    text = space.join(filter(None, pieces))
    return Shown(value, unit, uncertainty, _imperial(exact, kind, space), bound, text)


def is_measured(figure: Figure) -> bool:
    """Whether a figure that is computed elsewhere was measured here."""
    return figure.method in OBSERVED and figure.method != KINDS[figure.id].method


@lru_cache(maxsize=CACHED)
def corner_text(of: Corner, space: str = " ") -> str:
    """What a figure is of; empty where it is of the whole product."""
    pieces = [of.port or ""]
    if of.output_v is not None:
        pieces.append(f"{of.output_v:g}{space}V out")
    if of.mains_v is not None:
        frequency = "" if of.mains_hz is None else f"{of.mains_hz:g}{space}Hz "
        pieces.append(f"{of.mains_v:g}{space}V {frequency}mains")
    return ", ".join(piece for piece in pieces if piece)


def corner_order(of: Corner) -> tuple[str, float, float]:
    """By port, then mains, then output: the order in which corners of several products can be read across."""
    return of.port or "", of.mains_v or 0.0, of.output_v or 0.0


def assumed_text(assumed: Assumed, space: str = " ") -> str:
    """An assumption's value as it was stated."""
    return f"{assumed.value:g}" if assumed.unit == NO_UNIT else f"{assumed.value:g}{space}{assumed.unit}"


def written(value: Decimal) -> str:
    """A rounded number without exponent."""
    return format(value, "f").replace("-", MINUS)


def _rounded(exact: float, expanded: float | None, kind: FigureKind) -> tuple[Decimal, Decimal | None]:
    """Value and expanded uncertainty to the same place; an uncertainty that would vanish there adds places."""
    if kind.places is None:
        value = round_significant(exact, kind.significant)
    else:
        value = round_places(exact, kind.places)
    if not expanded:
        return value, None
    places = max(0, -value.as_tuple().exponent)
    first_digit = -round_significant(expanded, 1).as_tuple().exponent
    if first_digit > places:
        places = min(first_digit, 12)
        value = round_places(exact, places)
    return value, round_places(expanded, places)


def _imperial(value: float, kind: FigureKind, space: str) -> str:
    if kind.imperial is None:
        return ""
    in_si = float(Fraction(repr(value)) * UNITS[kind.unit])
    return f"{written(round_significant(in_unit(in_si, kind.imperial), kind.significant))}{space}{kind.imperial}"
