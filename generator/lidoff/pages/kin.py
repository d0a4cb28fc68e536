"""What a product's page says of related products: those that are alike inside, its earlier one and its later ones.

All of it is plain data, so that a page can be kept while it stays the same.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.table import Link
from lidoff.record.facts import FactChange, changed_facts
from lidoff.record.model.product import Product
from lidoff.record.model.record import Record
from lidoff.trends.likeness import Likeness
from lidoff.trends.traits import PART_WEIGHTS, role_words, traits

# what makes the product; the rest of a record is how one unit was examined
COMPARED = ("product", "label", "ports", "construction", "boards", "conversion")
LEFT_OUT = frozenset(("product.model", "product.name", "product.revision_of", "product.formerly", "label.printed"))
OF_THE_UNIT = frozenset(("advertised", "date_code", "evidence", "refs", "note"))


@dataclass(frozen=True, slots=True)
class Alike:
    """A product that is alike; its link is relative to the site's base."""

    product: Link
    index: float
    shared: tuple[str, ...]
    differing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Kin:
    """The relatives of a product. ``changes`` are from the product that it revises, where that has a page."""

    alike: tuple[Alike, ...] = ()
    changes: tuple[FactChange, ...] = ()
    later: tuple[Link, ...] = ()


def kin_of(
    entry: Entry,
    likenesses: Iterable[Likeness],
    products: Mapping[str, Product],
    later: Mapping[str, Sequence[str]],
    record_of: Callable[[str], Record],
) -> Kin:
    """The relatives of an entry among all products that have pages; ``later`` is from `later_of`."""
    earlier = entry.sketch.product.revision_of
    return Kin(
        alike=tuple(
            Alike(_link(one.slug, products), one.index, one.shared, one.differing) for one in likenesses
        ),
        changes=changes_between(record_of(earlier), entry.record) if earlier in products else (),
        later=tuple(_link(slug, products) for slug in later.get(entry.slug, ())),
    )  # fmt: skip


def later_of(products: Mapping[str, Product]) -> Mapping[str, Sequence[str]]:
    """The products that revise each product, by its slug."""
    later: dict[str, list[str]] = {}
    for slug in sorted(products):
        earlier = products[slug].revision_of
        if earlier in products:
            later.setdefault(earlier, []).append(slug)
    return later


def changes_between(earlier: Record, later: Record) -> tuple[FactChange, ...]:
    """What differs in the product itself: its statements, and the parts that do the same work in both.

    Parts are compared by what they do, since references are given anew on a new board; a role that only one record speaks
    of says nothing, for it may not have been looked for.
    """
    stated = (fact for fact in changed_facts(earlier, later) if _is_of_the_product(fact.field))
    before, now = _parts(earlier), _parts(later)
    exchanged = (
        FactChange("components", role_words(role), "; ".join(before[role]), "; ".join(now[role]))
        for role in now
        if role in before and before[role] != now[role]
    )
    return (*stated, *exchanged)


def _is_of_the_product(field: str) -> bool:
    first, *further = (piece.partition("[")[0] for piece in field.split("."))
    return first in COMPARED and field not in LEFT_OUT and OF_THE_UNIT.isdisjoint(further)


def _parts(record: Record) -> Mapping[str, Sequence[str]]:
    """The identified parts by the role that they are compared in."""
    found: dict[str, set[str]] = {}
    for trait in traits(record):
        if trait.kind == "part" and trait.aspect in PART_WEIGHTS:
            found.setdefault(trait.aspect, set()).add(trait.words.removesuffix(f" as {role_words(trait.aspect)}"))
    return {role: sorted(names) for role, names in found.items()}


def _link(slug: str, products: Mapping[str, Product]) -> Link:
    product = products[slug]
    return Link(f"{product.brand} {product.model}", addresses.product(slug))
