"""The data of each product: a small file that the page for comparisons loads, and the whole record with its figures."""

from collections.abc import Callable, Iterable

import msgspec

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.views.comparison_lines import Line, comparison_lines
from lidoff.pages.views.life_size import life_size_data
from lidoff.trends.exports import product_json
from lidoff.website import SiteFile

Column = Callable[[Entry], Iterable[Line]]


def product_data(entry: Entry, column: Column = comparison_lines) -> tuple[SiteFile, ...]:
    """Both files of a product, at its old addresses too: comparisons are linked to by them."""
    compared, record = comparison_data(entry, column), product_json(entry).encode("utf-8")
    return tuple(
        SiteFile(path_of(slug), content)
        for slug in (entry.slug, *entry.record.product.formerly)
        for path_of, content in ((addresses.product_data, compared), (addresses.record_data, record))
    )


def comparison_data(entry: Entry, column: Column) -> bytes:
    """What the page for comparisons shows of a product."""
    body = entry.record.measured.body_mm if entry.record.measured else None
    content = {
        "slug": entry.slug,
        "title": entry.title,
        "demo": bool(entry.record.demo),
        "size_mm": body.size if body else None,
        "life_size": life_size_data(entry),
        "comparison": list(column(entry)),
    }
    return msgspec.json.encode(content) + b"\n"
