"""The page of designs that several products share, with what points at it and how it is weighed."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.kinship import Kinship
from lidoff.pages.table import Cell, Column, Grid, Link
from lidoff.pages.views.kin import likeness_words, shared_words
from lidoff.pages.wording import capital, counted, listed
from lidoff.trends.likeness import COMMON_COUNT, COMMON_SHARE, COMPARABLE, LEAST, NEAREST, SAME_DESIGN
from lidoff.trends.traits import (
    CERTIFICATE_WEIGHT,
    CORE_WEIGHT,
    MAKER_WEIGHT,
    OTHER_PART_WEIGHT,
    PART_WEIGHTS,
    PRINT_WEIGHT,
    STRUCTURE_WEIGHT,
    role_words,
)


@dataclass(frozen=True, slots=True)
class Pair:
    """Two products of a design, how alike they are, and what they share."""

    one: Link
    other: Link
    likeness: str
    shared: str


@dataclass(frozen=True, slots=True)
class Design:
    """Products that are one design."""

    title: str
    products: tuple[Link, ...]
    pairs: tuple[Pair, ...]


@dataclass(frozen=True, slots=True)
class DesignsView:
    """The page; the limits are in words and numbers as the computation uses them."""

    designs: tuple[Design, ...]
    weights: Grid
    same: str
    least: str
    nearest: int
    comparable: str
    common_share: str
    common_count: int


def designs_view(kinship: Kinship, by_slug: Mapping[str, Entry], root: str) -> DesignsView:
    """The page as seen from its address; the largest groups first."""
    groups = sorted(kinship.designs, key=lambda slugs: (-len(slugs), slugs))
    return DesignsView(
        designs=tuple(_design(slugs, kinship, by_slug, root) for slugs in groups),
        weights=_weights(),
        same=f"{100 * SAME_DESIGN:.0f}",
        least=f"{100 * LEAST:.0f}",
        nearest=NEAREST,
        comparable=f"{COMPARABLE:g}",
        common_share=f"{100 * COMMON_SHARE:g}\u00a0%",
        common_count=COMMON_COUNT,
    )


def _design(slugs: tuple[str, ...], kinship: Kinship, by_slug: Mapping[str, Entry], root: str) -> Design:
    links = {slug: Link(by_slug[slug].title, root + addresses.product(slug)) for slug in slugs}
    brands = sorted({by_slug[slug].sketch.product.brand for slug in slugs})
    return Design(
        title=f"{capital(counted(len(slugs), 'product'))} by {listed(brands)}",
        products=tuple(links.values()),
        pairs=tuple(_pairs(links, kinship)),
    )


def _pairs(links: Mapping[str, Link], kinship: Kinship) -> Iterator[Pair]:
    """What holds the group together: each pair that is alike enough, once."""
    told: set[frozenset[str]] = set()
    for slug in links:
        for other in kinship.nearest[slug]:
            pair = frozenset((slug, other.slug))
            if other.index >= SAME_DESIGN and pair not in told:
                told.add(pair)
                yield Pair(links[slug], links[other.slug], likeness_words(other.index), shared_words(other.shared))


def _weights() -> Grid:
    given = {
        "a certificate number on the label": CERTIFICATE_WEIGHT,
        "the print on a board, board by board": PRINT_WEIGHT,
        "the manufacturer on the label": MAKER_WEIGHT,
        **{f"the part that is the {role_words(role)}": weight for role, weight in PART_WEIGHTS.items()},
        "any other identified part, in its role": OTHER_PART_WEIGHT,
        "shape and size of a core": CORE_WEIGHT,
        "each conclusion on the conversion": STRUCTURE_WEIGHT,
    }
    rows = sorted(given.items(), key=lambda item: (-item[1], item[0]))
    columns = (Column("What both have"), Column("Weight", is_number=True))
    return Grid(
        "Weights", columns, tuple((Cell(capital(what)), Cell(f"{weight:g}", order=weight)) for what, weight in rows)
    )
