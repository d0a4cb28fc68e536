"""The data of each product: a small file that the page for comparisons loads, and the whole record with its figures."""

import dataclasses
import json
from collections.abc import Iterator

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.views.comparison_lines import comparison_lines
from lidoff.trends.exports import product_json
from lidoff.website import SiteFile


def files(context: Context) -> Iterator[SiteFile]:
    """Two files a product."""
    for entry in context.entries:
        yield SiteFile(addresses.product_data(entry.slug), comparison_data(entry).encode("utf-8"))
        yield SiteFile(addresses.record_data(entry.slug), product_json(entry).encode("utf-8"))


def comparison_data(entry: Entry) -> str:
    """What the page for comparisons shows of a product."""
    body = entry.record.measured.body_mm if entry.record.measured else None
    content = {
        "slug": entry.slug,
        "title": entry.title,
        "demo": bool(entry.record.demo),
        "size_mm": body.size if body else None,
        "comparison": [dataclasses.asdict(line) for line in comparison_lines(entry)],
    }
    return json.dumps(content, ensure_ascii=False, separators=(",", ":")) + "\n"
