"""Entries -> frames: one table of products, one of components, one of ports, one of figures; drafts never count."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidoff.entry import Entry
from lidoff.trends.measured_values import MEASURED_COLUMNS
from lidoff.trends.platforms import platforms
from lidoff.trends.product_facts import PRODUCT_COLUMNS, SUMMARY_FIGURES, part_label, product_row
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
    return Frames(
        products=_frame([product_row(entry, tiers_w, designs[entry.slug]) for entry in published], PRODUCT_COLUMNS),
        components=_frame([row for entry in published for row in _component_rows(entry)], COMPONENT_COLUMNS),
        ports=_frame([row for entry in published for row in _port_rows(entry)], PORT_COLUMNS),
        figures=_frame([row for entry in published for row in _figure_rows(entry)], FIGURE_COLUMNS),
        tiers_w=tuple(tiers_w),
    )


def _component_rows(entry: Entry) -> Iterable[Mapping[str, object]]:
    for part in entry.record.components:
        yield {
            "slug": entry.slug,
            "ref": part.ref,
            "roles": part.roles,
            "quantity": part.quantity or 1,
            "board": part.board,
            "side": part.side,
            "port": part.port,
            "technology": part.technology,
            "maker": part.maker,
            "part_number": part.part_number,
            "part": part_label(part),
            "package": part.package,
            "identified_by": part.identified_by,
            "strength": part.strength,
            "marking_state": part.marking.state if part.marking else None,
            "marking": part.marking.lines if part.marking else None,
        }


def _port_rows(entry: Entry) -> Iterable[Mapping[str, object]]:
    for port in entry.record.ports:
        yield {
            "slug": entry.slug,
            "port": port.id,
            "connector": port.connector,
            "offer_kinds": tuple(dict.fromkeys(offer.kind for offer in port.label)),
            "protocols": port.protocols,
            "other_protocols": port.other_protocols,
        }


def _figure_rows(entry: Entry) -> Iterable[Mapping[str, object]]:
    for figure in entry.figures:
        yield {
            "slug": entry.slug,
            "figure": figure.id,
            "port": figure.of.port,
            "mains_v": figure.of.mains_v,
            "mains_hz": figure.of.mains_hz,
            "output_v": figure.of.output_v,
            "value": figure.value,
            "unit": figure.unit,
            "expanded_uncertainty": figure.expanded_uncertainty,
            "absent": figure.absent,
        }


def _frame(rows: Sequence[Mapping[str, object]], columns: Sequence[str]) -> pd.DataFrame:
    """A frame whose column types depend on the column alone, not on the values that happen to be there."""
    import pandas as pd

    return pd.DataFrame({name: _column(name, [row[name] for row in rows]) for name in columns})


def _column(name: str, values: list[object]) -> pd.Series:
    import pandas as pd

    if name in _NUMBERS:
        return pd.Series(values, dtype="float64")
    return pd.Series(values, dtype="Int64" if name in _WHOLE_NUMBERS else "object")
