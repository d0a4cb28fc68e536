"""Related products on a product's page: what they share and where they part."""

from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.kin import Alike, Kin
from lidoff.pages.table import Column, Grid, Link
from lidoff.pages.views.trend import readable
from lidoff.pages.wording import capital
from lidoff.rows.tiers import NOT_STATED
from lidoff.trends.likeness import SAME_DESIGN
from lidoff.trends.traits import role_words

MOST_SHARED = 6


@dataclass(frozen=True, slots=True)
class AlikeView:
    """One product that is alike, in words."""

    product: Link
    likeness: str
    shared: str
    differing: str


@dataclass(frozen=True, slots=True)
class KinView:
    """The relatives of a product."""

    alike: tuple[AlikeView, ...]
    changes: Grid | None
    later: tuple[Link, ...]


def kin_view(entry: Entry, kin: Kin) -> KinView:
    """The relatives of an entry as its page shows them."""
    root = addresses.root(f"/{addresses.product(entry.slug)}")
    return KinView(
        alike=tuple(alike_view(one, root) for one in kin.alike),
        changes=_changes(kin),
        later=tuple(Link(one.text, root + one.href) for one in kin.later),
    )


def alike_view(one: Alike, root: str) -> AlikeView:
    """A product that is alike, as seen from a page."""
    return AlikeView(
        product=Link(one.product.text, root + one.product.href),
        likeness=likeness_words(one.index),
        shared=shared_words(one.shared),
        differing="; ".join(map(role_words, one.differing)),
    )


def likeness_words(index: float) -> str:
    """The index as people read it."""
    what = "likely one design" if index >= SAME_DESIGN else "related"
    return f"{what}, {100 * index:.0f} of 100"


def shared_words(shared: tuple[str, ...]) -> str:
    """What is shared, heaviest first; the rest as a number."""
    more = len(shared) - MOST_SHARED
    return "; ".join((*shared[:MOST_SHARED], *((f"and {more} more",) if more > 0 else ())))


def _changes(kin: Kin) -> Grid | None:
    if not kin.changes:
        return None
    columns = (Column("What"), Column("Before"), Column("Now"))
    rows = tuple((capital(one.words), _readable(one.before), _readable(one.after)) for one in kin.changes)
    return Grid("What the revision changed", columns, rows)


def _readable(text: str | None) -> str:
    """Words of the vocabulary as people read them, all else as it is."""
    return NOT_STATED if text is None else ", ".join(map(readable, text.split(", ")))
