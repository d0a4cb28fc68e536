"""Field reference and vocabulary."""

from collections.abc import Iterator

from lidoff.pages import addresses
from lidoff.pages.plan import Planned, page
from lidoff.pages.views.reference import fields_view, vocabulary_view
from lidoff.website import Page


def index_plans() -> Iterator[Planned]:
    """Two pages."""
    yield Planned("/fields/", _fields_page)
    yield Planned("/vocabulary/", _vocabulary_page)


def _fields_page() -> Page:
    view = fields_view(addresses.root("/fields/"))
    values = {"view": view, "title": "Fields of a record", "is_fields": True}
    description = "Every field that a record may hold."
    return page("/fields/", "reference.html.j2", "Fields of a record", description, values, is_builder=True)


def _vocabulary_page() -> Page:
    values = {"view": vocabulary_view(addresses.root("/vocabulary/")), "title": "Vocabulary", "is_fields": False}
    description = "Every word that a record may use."
    return page("/vocabulary/", "reference.html.j2", "Vocabulary", description, values, is_builder=True)
