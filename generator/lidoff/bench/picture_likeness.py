"""How alike two pictures are: 64 bits of each, from the coarse half of its cosine transform, and how many differ.

Method: the perceptual hash of C. Zauner, "Implementation and benchmarking of perceptual image hash functions" (2010),
from memory: 32 by 32 greys, two-dimensional DCT, the lowest 8 by 8 coefficients against their median. In whole numbers,
so that every machine finds the same bits.
"""

import math
import statistics

EDGE = 32
_KEPT = 8
_ONE = 1 << 12
_COSINES = tuple(
    tuple(round(_ONE * math.cos(math.pi * number * (2 * place + 1) / (2 * EDGE))) for place in range(EDGE))
    for number in range(_KEPT)
)
_FLAT = 4
"""Greys within so few levels make a plain area: it has nothing to be known again by."""


def fingerprint(greys: bytes) -> bytes:
    """64 bits of a picture of 32 by 32 greys, row by row; empty for a plain area.

    Examples
    --------
    >>> fingerprint(bytes(range(255, 0, -8)) * 32).hex(), fingerprint(bytes([7]) * 1024)
    ('d500000000000000', b'')
    """
    if max(greys) - min(greys) <= _FLAT:
        return b""
    rows = [greys[start : start + EDGE] for start in range(0, EDGE * EDGE, EDGE)]
    across = [[sum(map(int.__mul__, row, cosines)) for cosines in _COSINES] for row in rows]
    values = [
        sum(across[place][column] * cosines[place] for place in range(EDGE))
        for cosines in _COSINES
        for column in range(_KEPT)
    ]
    middle = statistics.median(values[1:])
    bits = sum(1 << (63 - place) for place, value in enumerate(values) if value > middle)
    return bits.to_bytes(8, "big")


def difference(one: bytes, other: bytes) -> int:
    """How many of the 64 bits of two pictures differ.

    Examples
    --------
    >>> difference(bytes(8), b"\\x03" + bytes(7))
    2
    """
    return (int.from_bytes(one, "big") ^ int.from_bytes(other, "big")).bit_count()
