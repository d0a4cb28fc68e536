"""What one record says that impact counts: names, values that products are ranked by, and its part in each table."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from lidoff.checks.company import COMPANIES
from lidoff.examination.examined import Examined
from lidoff.impact.names import names_said
from lidoff.impact.standing import places_said
from lidoff.impact.stock import Grouped, Said
from lidoff.rows.tiers import tier_labels
from lidoff.settings import Settings
from lidoff.trends.likeness import pointing_keys
from lidoff.trends.own_tables import definitions
from lidoff.trends.tables import Definition
from lidoff.trends.tally import Product
from lidoff.trends.traits import traits

PUBLISHED = "published"
TRAIT = "trait"


@dataclass(frozen=True, slots=True)
class Counting:
    """What a knowledge base counts by: its power tiers and its tables."""

    tiers_w: tuple[float, ...]
    tables: Mapping[str, Definition]

    @property
    def tiers(self) -> tuple[str, ...]:
        """Every tier in rising order."""
        return tier_labels(self.tiers_w)


def counting(settings: Settings) -> Counting:
    """What a knowledge base counts by; raises SettingsError for a table of its own that is wrong."""
    return Counting(tuple(settings.tiers_w), definitions(settings.tables))


def said_by(product: Product, is_published: bool, by: Counting) -> Iterator[Said]:
    """All that a readable record says; only a published one counts in tables and ranks."""
    yield from names_said(product.entry.record)
    if is_published:
        yield PUBLISHED, ""
        yield from places_said(product.entry, by.tiers_w)
        for name, definition in by.tables.items():
            yield from ((table_topic(name), item) for item in definition.tally.items(product))


def grouped_by(one: Examined, is_published: bool) -> Iterator[Grouped]:
    """The groups that a readable record is in."""
    gist = one.gist
    for company in COMPANIES:
        yield from ((company.name, group, standing) for group, standing in company.standings(gist))
    if is_published:
        yield from ((TRAIT, key, "") for key in pointing_keys(traits(gist.record)))


def table_topic(name: str) -> str:
    """The topic of what products add to a table."""
    return f"table\0{name}"
