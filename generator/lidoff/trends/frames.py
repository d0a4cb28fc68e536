"""Entries -> frames: one table of products, one of components, one of ports, one of figures; drafts never count."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidoff.entry import Entry
from lidoff.examination.run import without_collector
from lidoff.trends.measured_values import MEASURED_COLUMNS
from lidoff.trends.platforms import platforms
from lidoff.trends.product_facts import PRODUCT_COLUMNS, SUMMARY_FIGURES, part_label, product_row
from lidoff.trends.shared_texts import SharedTexts
from lidoff.trends.tiers import tier_labels

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
FIGURE_COLUMNS = (
    "slug", "figure", "port", "mains_v", "mains_hz", "output_v", "value", "unit", "expanded_uncertainty", "absent",
)  # fmt: skip


Rows = list[tuple]


@dataclass(frozen=True, slots=True)
class Frames:
    """The published products of a knowledge base as frames, each in the order of the products' slugs."""

    products: pd.DataFrame
    components: pd.DataFrame
    ports: pd.DataFrame
    figures: pd.DataFrame
    tiers_w: tuple[float, ...]

    @property
    def tiers(self) -> tuple[str, ...]:
        """Every tier in rising order."""
        return tier_labels(self.tiers_w)


def make_frames(entries: Iterable[Entry], tiers_w: Sequence[float]) -> Frames:
    """The frames of the published entries."""
    published = sorted((entry for entry in entries if not entry.is_draft), key=lambda entry: entry.slug)
    designs = platforms(published)
    products, components, ports, figures = [], [], [], []
    share = SharedTexts().row
    with without_collector():
        for entry in published:
            row = product_row(entry, tiers_w, designs[entry.slug])
            products.append(tuple([row[name] for name in PRODUCT_COLUMNS]))
            components += map(share, _component_rows(entry))
            ports += _port_rows(entry)
            figures += map(share, _figure_rows(entry))
        return _frames_of(products, components, ports, figures, tiers_w)


def _frames_of(products: Rows, components: Rows, ports: Rows, figures: Rows, tiers_w: Sequence[float]) -> Frames:
    return Frames(
        products=_frame(products, PRODUCT_COLUMNS),
        components=_frame(components, COMPONENT_COLUMNS),
        ports=_frame(ports, PORT_COLUMNS),
        figures=_frame(figures, FIGURE_COLUMNS),
        tiers_w=tuple(tiers_w),
    )


def _component_rows(entry: Entry) -> Iterable[tuple]:
    """The values of ``COMPONENT_COLUMNS`` for each part."""
    for part in entry.sketch.components:
        marking = part.marking
        yield (
            entry.slug, part.ref, part.roles, part.quantity or 1, part.board, part.side, part.port, part.technology,
            part.maker, part.part_number, part_label(part), part.package, part.identified_by, part.strength,
            marking.state if marking else None, marking.lines if marking else None,
        )  # fmt: skip


def _port_rows(entry: Entry) -> Iterable[tuple]:
    """The values of ``PORT_COLUMNS`` for each port."""
    for port in entry.sketch.ports:
        kinds = tuple(dict.fromkeys(offer.kind for offer in port.label))
        yield entry.slug, port.id, port.connector, kinds, port.protocols, port.other_protocols


def _figure_rows(entry: Entry) -> Iterable[tuple]:
    """The values of ``FIGURE_COLUMNS`` for each figure."""
    for one in entry.figures:
        yield entry.slug, one.id, *one.of, one.value, one.unit, one.expanded_uncertainty, one.absent


def _frame(rows: Sequence[tuple], columns: Sequence[str]) -> pd.DataFrame:
    """A frame whose column types depend on the column alone, not on the values that happen to be there."""
    import pandas as pd

    values = zip(*rows, strict=True) if rows else ((),) * len(columns)
    return pd.DataFrame({name: _column(name, list(found)) for name, found in zip(columns, values, strict=True)})


def _column(name: str, values: list[object]) -> pd.Series:
    import pandas as pd

    if name in _NUMBERS:
        return pd.Series(values, dtype="float64")
    return pd.Series(values, dtype="Int64" if name in _WHOLE_NUMBERS else "object")
