"""Pages on how each figure is computed, and their list."""

from collections.abc import Iterator
from functools import partial

from lidoff.checks import COLLECTION_CHECKS, RECORD_CHECKS
from lidoff.figures.catalogue import KINDS, QUESTIONS, FigureKind
from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.plan import Planned, page
from lidoff.pages.table import Link
from lidoff.pages.views.method import KnownFigures, method_view
from lidoff.pages.views.notices import demo_notices
from lidoff.website import Page


def index_plans(context: Context) -> Iterator[Planned]:
    """The list, then one page a figure."""
    yield Planned("/methods/", _index_page)
    figures = KnownFigures(context)
    for kind in KINDS.values():
        yield Planned(f"/{addresses.method(kind.id)}", partial(_page, kind, figures))


def _index_page() -> Page:
    root = addresses.root("/methods/")
    links = [(Link(kind.title, root + addresses.method(kind.id)), kind) for kind in KINDS.values()]
    groups = [
        (title, [(link, kind) for link, kind in links if kind.question == question])
        for question, title in QUESTIONS.items()
    ]
    description = "Every figure on this site with its formula, its range, its assumptions and its source."
    return page("/methods/", "method/index.html.j2", "Methods", description, {"groups": groups}, is_builder=True)


def _page(kind: FigureKind, figures: KnownFigures) -> Page:
    address = f"/{addresses.method(kind.id)}"
    view = method_view(kind, figures, (*RECORD_CHECKS, *COLLECTION_CHECKS), addresses.root(address))
    values = {"view": view, "notices": demo_notices([view.example.entry] if view.example else [])}
    return page(address, "method/page.html.j2", view.title, view.explanation, values, is_builder=True)
