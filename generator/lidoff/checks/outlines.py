"""Sizes of parts, boards and bodies, and whether one fits in another however it is turned."""

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache

from lidoff.figures.rows import measured
from lidoff.record.model import Record

ALLOWANCE_MM = 1.0
"""Rounding of two sizes and a slight overhang; less than what a slip of a digit or of a unit makes."""

ROUND = frozenset({"radial", "snap-in", "v-chip", "axial", "cartridge"})
FLAT_ROUND = frozenset({"disc", "toroid"})
LEADED = ROUND | FLAT_ROUND | {"box", "block", "bobbin"}

_PACKAGE = re.compile(r"(?P<family>[A-Za-z0-9-]+?)(-[0-9]{1,3})? (?P<edges>[0-9.]+(x[0-9.]+){1,2})")

Edges = tuple[float, ...]


@lru_cache(maxsize=4096)
def family_and_edges(package: str) -> tuple[str, Edges] | None:
    """Family and edges [mm] of a package as the record writes it; None where it gives no size.

    A round body has its diameter twice: ``radial 16x25`` is 16 by 16 by 25, a disc ``8x4`` is 8 by 8 by 4.

    Examples
    --------
    >>> family_and_edges("QFN-32 5x5"), family_and_edges("radial 16x25")
    (('QFN', (5.0, 5.0)), ('radial', (16.0, 16.0, 25.0)))
    >>> family_and_edges("disc 8x4"), family_and_edges("SO-8")
    (('disc', (8.0, 8.0, 4.0)), None)
    """
    match = _PACKAGE.fullmatch(package)
    if match is None:
        return None
    family = match["family"]
    edges = tuple(float(edge) for edge in match["edges"].split("x"))
    if len(edges) == 2 and family in ROUND:
        edges = (min(edges), min(edges), max(edges))
    elif len(edges) == 2 and family in FLAT_ROUND:
        edges = (max(edges), max(edges), min(edges))
    return family, edges


def smallest_footprint(family: str, edges: Edges) -> Edges:
    """The least room that a part takes on a board: leaded parts may stand or lie, flat ones lie as they are."""
    return tuple(sorted(edges)[:2]) if family in LEADED else edges[:2]


def fits(inner: Sequence[float], outer: Sequence[float], allowance: float = ALLOWANCE_MM) -> bool:
    """Whether edges fit within others, in the best of the upright positions.

    Fewer inner edges than outer ones are those of a thin thing, which takes the two longest.

    Examples
    --------
    >>> fits((52, 36), (58, 41.5, 29)), fits((36, 52, 30.5), (58, 41.5, 29)), fits((60, 20), (58, 41.5, 29))
    (True, False, False)
    """
    if max(inner) <= min(outer) + allowance:
        return True
    inside = [0.0] * (len(outer) - len(inner)) + sorted(inner)
    return all(edge <= limit + allowance for edge, limit in zip(inside, sorted(outer), strict=True))


def envelopes(record: Record) -> Iterator[tuple[str, str, Edges]]:
    """What encloses the parts, the nearest first: field, name and edges [mm] of the bare assembly and of the body."""
    found = measured(record)
    if found.assembly_mm is not None:
        yield "measured.assembly_mm", "assembly", found.assembly_mm
    if found.body_mm is not None:
        yield "measured.body_mm.size", "body", found.body_mm.size


def size(edges: Sequence[float]) -> str:
    """Edges as people write them.

    Examples
    --------
    >>> size((52.0, 36.5))
    '52 × 36.5 mm'
    """
    return " × ".join(f"{edge:g}" for edge in edges) + " mm"
