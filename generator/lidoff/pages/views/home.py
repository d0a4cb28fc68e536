"""The first page: what this is, what is new, the two tables that most people come for, how to read it all."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.drawings.body import Thumbnail, card_thumbnail, thumbnail
from lidoff.pages.table import Grid, Link
from lidoff.pages.views.listing import product_table
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.wording import capital, counted

LATEST = 6
SCALE = 0.35  # of life size: six usual bodies and the card in one row of a desktop screen


@dataclass(frozen=True, slots=True)
class HomeView:
    """The home page."""

    title: str
    description: str
    counts: str
    lineup: tuple[tuple[Link, Thumbnail], ...]
    card: Thumbnail
    latest: Grid | None
    tables: tuple[tuple[Link, Grid], ...]
    notices: tuple[str, ...]


def home_view(context: Context, tables: tuple[tuple[Link, Grid], ...], root: str) -> HomeView:
    """The home page of a collection."""
    numbered, makers = len(context.parts), len(context.makers)
    shown = context.entries[:LATEST]
    return HomeView(
        title=context.settings.site_name,
        description="Opened USB chargers: what they promise, what they deliver, how they are made, how sure we are.",
        counts=(
            f"{capital(counted(len(context.entries), 'product'))} by {counted(len(context.brands), 'brand')}, "
            f"{counted(numbered, 'identified part')} by {counted(makers, 'maker')}."
        ),
        lineup=tuple(_lineup(shown, root)),
        card=card_thumbnail(SCALE),
        latest=product_table("By year of launch, the newest first", shown, context, root),
        tables=tables,
        notices=demo_notices(context.entries),
    )


def _lineup(entries: Iterable[Entry], root: str) -> Iterator[tuple[Link, Thumbnail]]:
    """The bodies of some products, those that were measured."""
    for entry in entries:
        body = entry.record.measured.body_mm if entry.record.measured else None
        if body is not None:
            yield Link(entry.title, root + addresses.product(entry.slug)), thumbnail(body.size, SCALE)
