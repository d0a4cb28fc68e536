"""The rows that tables take from one record and its figures: made when it is examined, and kept with what was found."""

import zlib
from collections.abc import Sequence

import msgspec

from lidoff.entry import Entry
from lidoff.rows.designs import design_of
from lidoff.rows.product_facts import PRODUCT_COLUMNS, product_row

FIGURE_COLUMNS = (
    "figure", "port", "mains_v", "mains_hz", "output_v", "value", "unit", "expanded_uncertainty", "absent",
)  # fmt: skip

Value = str | float | int | bool | tuple[str, ...] | None
FigureRow = tuple[
    str, str | None, float | None, float | None, float | None, float | None, str | None, float | None, str | None
]


class RecordRows(msgspec.Struct, frozen=True, array_like=True, gc=False):
    """The rows of one record.

    ``product`` holds the values of `PRODUCT_COLUMNS`; ``design`` is what its design is known by, None where that is not
    recorded; ``packed_figures`` are the values of `FIGURE_COLUMNS` for each figure, of which a record has dozens.
    """

    product: tuple[Value, ...]
    design: str | None
    packed_figures: bytes

    @property
    def figures(self) -> tuple[FigureRow, ...]:
        """The values of `FIGURE_COLUMNS` for each figure, made at each call."""
        return _FIGURES.decode(zlib.decompress(self.packed_figures))


_ENCODER = msgspec.msgpack.Encoder()
_ROWS = msgspec.msgpack.Decoder(RecordRows)
_FIGURES = msgspec.msgpack.Decoder(tuple[FigureRow, ...])


def packed_rows(entry: Entry, tiers_w: Sequence[float]) -> bytes:
    """The rows of an entry, in bytes."""
    return _ENCODER.encode(_made(entry, tiers_w))


def rows_of(entry: Entry, tiers_w: Sequence[float]) -> RecordRows:
    """The rows of an entry: those that came with it, which were made for the same tiers, else made now."""
    return _ROWS.decode(entry.rows) if entry.rows else _made(entry, tiers_w)


def _made(entry: Entry, tiers_w: Sequence[float]) -> RecordRows:
    row = product_row(entry, tiers_w)
    figures = [(one.id, *one.of, one.value, one.unit, one.expanded_uncertainty, one.absent) for one in entry.figures]
    return RecordRows(
        product=tuple([row[name] for name in PRODUCT_COLUMNS]),
        design=design_of(entry.sketch),
        packed_figures=zlib.compress(_ENCODER.encode(figures), 1),
    )
