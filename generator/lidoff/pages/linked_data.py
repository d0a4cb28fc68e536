"""What a page is about, for machines: JSON-LD in the words of schema.org. It is data; browsers run nothing of it."""

import json
from collections.abc import Mapping

from markupsafe import Markup

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.settings import Settings
from lidoff.trends.citation import About
from lidoff.trends.open_columns import TABLES
from lidoff.trends.table import NOT_THE_MARKET

CONTEXT = "https://schema.org"
# what could end the block, or begin another piece of markup in it
_ESCAPES = str.maketrans({"<": "\\u003c", ">": "\\u003e", "&": "\\u0026", "\u2028": "\\u2028", "\u2029": "\\u2029"})


def data_block(content: Mapping[str, object]) -> Markup:
    """The data as an element of a page, whatever text it holds."""
    text = json.dumps({"@context": CONTEXT, **content}, ensure_ascii=False, separators=(",", ":"))
    return Markup(f'<script type="application/ld+json">{text.translate(_ESCAPES)}</script>')


def collection_data(about: About) -> Markup:
    """The collection as a Dataset with its files."""
    files = [*(f"{name}.csv" for name in TABLES), *(f"{name}.json" for name in TABLES)]
    return data_block({
        "@type": "Dataset",
        "name": about.site_name,
        "description": NOT_THE_MARKET,
        "url": f"{about.site_url}{addresses.DATA}",
        "creator": {"@type": "Organization", "name": about.author},
        **({"dateModified": about.newest} if about.newest else {}),
        **({"license": [_licence(one) for one in about.licences]} if about.licences else {}),
        "distribution": [
            {
                "@type": "DataDownload",
                "contentUrl": f"{about.site_url}{addresses.DATA}{name}",
                "encodingFormat": "text/csv" if name.endswith(".csv") else "application/json",
            }
            for name in files
        ],
    })  # fmt: skip


def product_data_block(entry: Entry, settings: Settings) -> Markup:
    """The page of a product as a TechArticle; of an invented one it says so."""
    record, teardown = entry.record, entry.record.teardown
    days = [one.date for one in record.corrections] + ([teardown.date] if teardown else [])
    return data_block({
        "@type": "TechArticle",
        "headline": entry.title,
        "url": f"{settings.site_url}{addresses.product(entry.slug)}",
        "about": {"@type": "Product", "name": entry.title, "brand": {"@type": "Brand", "name": record.product.brand},
                  "model": record.product.model},
        **({"abstract": "Invented demonstration data: this product does not exist."} if record.demo else {}),
        **({"datePublished": teardown.date} if teardown else {}),
        **({"dateModified": max(days)} if days else {}),
        **({"author": [{"@type": "Person", "name": name} for name in teardown.by]} if teardown and teardown.by else {}),
        **({"license": _licence(teardown.text_license)} if teardown and teardown.text_license else {}),
        "isPartOf": {"@type": "Dataset", "name": settings.site_name, "url": f"{settings.site_url}{addresses.DATA}"},
    })  # fmt: skip


def _licence(identifier: str) -> str:
    """The address that SPDX gives to a licence."""
    return f"https://spdx.org/licenses/{identifier}.html"
