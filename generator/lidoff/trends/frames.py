"""Entries -> frames: one table of products, one of components, one of ports, one of figures; drafts never count."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import starmap
from typing import TYPE_CHECKING

from lidoff.entry import Entry
from lidoff.examination.run import without_collector
from lidoff.rows import record_rows
from lidoff.rows.measured_values import MEASURED_COLUMNS
from lidoff.rows.product_facts import PRODUCT_COLUMNS, SUMMARY_FIGURES, part_label
from lidoff.rows.record_rows import rows_of
from lidoff.rows.tiers import tier_labels
from lidoff.trends.platforms import platforms
from lidoff.trends.shared_texts import SharedTexts

if TYPE_CHECKING:
    import pandas as pd

# columns that hold numbers; all others hold words, lists of words or flags, with None for unknown
_NUMBERS = frozenset({
    "rated_power_w", "mains_v", "mains_hz", "output_v", "value", "expanded_uncertainty", *SUMMARY_FIGURES,
    *MEASURED_COLUMNS,
})  # fmt: skip
_WHOLE_NUMBERS = frozenset({"year", "port_count", "quantity"})

COMPONENT_COLUMNS = (
    "slug", "ref", "roles", "quantity", "board", "side", "port", "technology", "maker", "part_number", "part",
    "package",
    "identified_by", "strength", "marking_state", "marking",
)  # fmt: skip
PORT_COLUMNS = ("slug", "port", "connector", "offer_kinds", "protocols", "other_protocols")
FIGURE_COLUMNS = ("slug", *record_rows.FIGURE_COLUMNS)
MOST_FOLLOWED = 50
"""If more entries have changed since an earlier state, a frame is made anew."""

Rows = Iterable[tuple]


@dataclass(frozen=True, slots=True)
class KnownFrame:
    """A frame of an earlier state of the knowledge base, and the entries that it was made of."""

    frame: pd.DataFrame
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class Frames:
    """The published products of a knowledge base as frames, each in the order of the products' slugs.

    A frame is made when the first table asks for it; of ``known`` ones the rows of those entries that are still the same
    are taken over.
    """

    entries: tuple[Entry, ...]
    tiers_w: tuple[float, ...]
    known: dict[str, KnownFrame] = field(default_factory=dict)

    @cached_property
    def products(self) -> pd.DataFrame:
        """One row a product; which design it is counted as depends on all others."""
        rows = self._product_rows
        found = platforms(zip(rows["slug"], rows["design"], rows["revision_of"], strict=True)).values()
        frame, place = rows.drop(columns="design"), PRODUCT_COLUMNS.index("rated_power_w")
        frame.insert(place, "platform", _column("platform", [name for name, _ in found]))
        frame.insert(place + 1, "platform_basis", _column("platform_basis", [basis for _, basis in found]))
        return frame

    @cached_property
    def components(self) -> pd.DataFrame:
        """One row a component."""
        return self._frame("components", COMPONENT_COLUMNS, _component_rows)

    @cached_property
    def ports(self) -> pd.DataFrame:
        """One row a port."""
        return self._frame("ports", PORT_COLUMNS, _port_rows)

    @cached_property
    def figures(self) -> pd.DataFrame:
        """One row a figure, absent ones too."""
        return self._frame("figures", FIGURE_COLUMNS, self._figure_rows)

    @property
    def tiers(self) -> tuple[str, ...]:
        """Every tier in rising order."""
        return tier_labels(self.tiers_w)

    def narrowed(self, products: pd.DataFrame) -> Frames:
        """The same with some of the products alone."""
        found = replace(self, known=dict(self.known))
        vars(found).update(self._made(), products=products)
        return found

    def followed_by(self, entries: Iterable[Entry]) -> Frames:
        """The frames of a later state."""
        made = {name: KnownFrame(frame, self.entries) for name, frame in self._made().items()}
        return replace(make_frames(entries, self.tiers_w), known={**self.known, **made})

    def _made(self) -> dict[str, pd.DataFrame]:
        """The frames that were asked for so far; another thread may ask for one just now."""
        return {name: vars(self)[name] for name in _FOLLOWED if name in vars(self)}

    def _frame(self, name: str, columns: Sequence[str], rows: Callable[[Entry], Rows]) -> pd.DataFrame:
        with without_collector():
            known = self.known.pop(name, None)  # no longer held once the new one is there
            found = _followed(known, self.entries, columns, rows) if known else None
            return _frame_of(self.entries, columns, rows) if found is None else found

    @cached_property
    def _product_rows(self) -> pd.DataFrame:
        """What each product says of itself."""
        return self._frame("_product_rows", ("design", *PRODUCT_COLUMNS), self._product_row)

    def _product_row(self, entry: Entry) -> Rows:
        rows = rows_of(entry, self.tiers_w)
        yield rows.design, *rows.product

    def _figure_rows(self, entry: Entry) -> Rows:
        for row in rows_of(entry, self.tiers_w).figures:
            yield entry.slug, *row


_FOLLOWED = ("_product_rows", "components", "ports", "figures")


def make_frames(entries: Iterable[Entry], tiers_w: Sequence[float]) -> Frames:
    """The frames of the published entries."""
    published = sorted((entry for entry in entries if not entry.is_draft), key=lambda entry: entry.slug)
    return Frames(tuple(published), tuple(tiers_w))


def _component_rows(entry: Entry) -> Rows:
    """The values of ``COMPONENT_COLUMNS`` for each part."""
    for part in entry.sketch.components:
        marking = part.marking
        yield (
            entry.slug, part.ref, part.roles, part.quantity or 1, part.board, part.side, part.port, part.technology,
            part.maker, part.part_number, part_label(part), part.package, part.identified_by, part.strength,
            marking.state if marking else None, marking.lines if marking else None,
        )  # fmt: skip


def _port_rows(entry: Entry) -> Rows:
    """The values of ``PORT_COLUMNS`` for each port."""
    for port in entry.sketch.ports:
        kinds = tuple(dict.fromkeys(offer.kind for offer in port.label))
        yield entry.slug, port.id, port.connector, kinds, port.protocols, port.other_protocols


def _frame_of(entries: Iterable[Entry], columns: Sequence[str], rows: Callable[[Entry], Rows]) -> pd.DataFrame:
    """A frame whose column types depend on the column alone, not on the values that happen to be there."""
    import pandas as pd

    share = SharedTexts().row
    values: list[list[object]] = [[] for _ in columns]
    for entry in entries:
        for row in map(share, rows(entry)):
            for column, value in zip(values, row, strict=True):
                column.append(value)
    return pd.DataFrame(dict(zip(columns, starmap(_column, zip(columns, values, strict=True)), strict=True)))


def _followed(
    known: KnownFrame, entries: Sequence[Entry], columns: Sequence[str], rows: Callable[[Entry], Rows]
) -> pd.DataFrame | None:
    """The frame of these entries, made of a known one; None where too much has changed."""
    import pandas as pd

    before, now = ({entry.slug: entry for entry in some} for some in (known.entries, entries))
    changed = sorted(slug for slug in before.keys() | now.keys() if before.get(slug) is not now.get(slug))
    if len(changed) > MOST_FOLLOWED:
        return None
    frame, begin = known.frame[list(columns)], 0
    slugs, pieces = frame["slug"].to_numpy(), []
    for slug in changed:
        pieces.append(frame.iloc[begin : slugs.searchsorted(slug, "left")])
        pieces.append(_frame_of([now[slug]] if slug in now else [], columns, rows))
        begin = slugs.searchsorted(slug, "right")
    pieces.append(frame.iloc[begin:])
    return pd.concat([piece for piece in pieces if len(piece)] or pieces[:1], ignore_index=True)


def _column(name: str, values: list[object]) -> pd.Series:
    import pandas as pd

    if name in _NUMBERS:
        return pd.Series(values, dtype="float64")
    return pd.Series(values, dtype="Int64" if name in _WHOLE_NUMBERS else "object")
