"""All cards of an entry by name, as SVG and as PNG."""

from collections.abc import Mapping, Sequence

import vl_convert

from lidoff.entry import Entry
from lidoff.narration.cards.chain import chain_card
from lidoff.narration.cards.density import density_card
from lidoff.narration.cards.link import link_card
from lidoff.narration.cards.pair import pair_card
from lidoff.narration.cards.parts import parts_card
from lidoff.narration.cards.plate import rating_plate
from lidoff.narration.cards.ports import ports_chart
from lidoff.narration.cards.size import size_card


def cards_of(
    entry: Entry, other: Entry | None, entries: Sequence[Entry], tiers_w: Sequence[float]
) -> tuple[Mapping[str, str], tuple[str, ...]]:
    """The SVG of each card that the record allows, and the names of those that it does not."""
    drawn = {
        "plate": rating_plate(entry),
        "ports": ports_chart(entry),
        "size": size_card(entry),
        "density": density_card(entry, entries, tiers_w),
        "chain": chain_card(entry),
        "parts": parts_card(entry),
        "link": link_card(entry),
    }
    if other is not None:
        drawn["pair"] = pair_card(entry, other)
    return {name: svg for name, svg in drawn.items() if svg}, tuple(name for name, svg in drawn.items() if not svg)


def as_png(svg: str) -> bytes:
    """The card as a picture of its size in pixels; its font comes with vl-convert."""
    return vl_convert.svg_to_png(svg, scale=1, ppi=72)
