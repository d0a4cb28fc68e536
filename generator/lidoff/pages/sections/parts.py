"""Pages of parts and of their makers."""

from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path

from lidoff.examination.packing import encoded
from lidoff.pages import addresses
from lidoff.pages.context import Context, MakerUses, PartUses, Use
from lidoff.pages.plan import Planned, digest_of, page
from lidoff.pages.views.part import maker_view, part_view
from lidoff.pages.views.part_history import contradictions_by_slug
from lidoff.pages.views.part_pictures import part_pictures
from lidoff.pages.views.partners import IdentifiedParts
from lidoff.pages.views.parts_index import parts_index_view
from lidoff.website import Page


def index_plans(context: Context) -> Iterator[Planned]:
    """The page that leads to all parts and makers."""
    yield Planned("/parts/", partial(_index_page, context))


def plans(context: Context) -> Iterator[Planned]:
    """One page a part that has a number, one a maker."""
    by_number: dict[str, list[PartUses]] = {}
    for part in context.parts.values():
        by_number.setdefault(part.slug.partition("/")[2], []).append(part)
    identified = IdentifiedParts()
    contradictions = contradictions_by_slug(context.entries)
    for part in context.parts.values():
        namesakes = tuple(other for other in by_number[part.slug.partition("/")[2]] if other.slug != part.slug)
        candidates = context.candidates.get(part.slug, ())
        make = partial(_part_page, part, namesakes, candidates, identified, context.settings.base)
        uses = (*part.uses, *candidates)
        others = (part.name, [use.component.ref for use in uses], [(other.slug, other.name) for other in namesakes])
        found = [contradictions[use.entry.slug] for use in part.uses if use.entry.slug in contradictions]
        inputs = digest_of([use.entry for use in uses], len(part.uses), *others, found)
        yield Planned(f"/parts/{part.slug}/", make, inputs)
    for maker in context.makers.values():
        yield Planned(f"/makers/{maker.slug}/", partial(_maker_page, maker), _inputs_of_maker(maker))


def _inputs_of_maker(maker: MakerUses) -> str:
    """A digest of what the page shows: most edits of a record leave the parts of most makers alone."""
    uses = (*(use for part in maker.parts for use in part.uses), *maker.unnumbered)
    shown = [(use.entry.slug, use.entry.title, use.entry.year, *_facts(use)) for use in uses]
    return digest_of((), maker.name, encoded(shown))


def _facts(use: Use) -> tuple[object, ...]:
    return use.entry.sketch.product.rated_power_w, use.entry.sketch.demo, use.component


def _part_page(
    part: PartUses, namesakes: Sequence[PartUses], candidates: Sequence[Use], identified: IdentifiedParts, base: Path
) -> Page:
    """Made from the entries of its uses and candidates, and the names of its namesakes."""
    address = f"/parts/{part.slug}/"
    root = addresses.root(address)
    view = part_view(part, namesakes, candidates, identified, root)
    pictures = part_pictures(part.uses, base, root)
    values = {"view": view, "pictures": pictures}
    return page(address, "part.html.j2", view.title, f"{view.title}: {view.sentence}", values)


def _maker_page(maker: MakerUses) -> Page:
    address = f"/makers/{maker.slug}/"
    view = maker_view(maker, addresses.root(address))
    return page(address, "maker.html.j2", view.title, f"{view.title}: {view.sentence}", {"view": view})


def _index_page(context: Context) -> Page:
    view = parts_index_view(context, addresses.root("/parts/"))
    return page("/parts/", "parts_index.html.j2", view.title, view.sentence, {"view": view}, is_builder=True)
