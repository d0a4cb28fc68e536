"""Addresses of the pages. Once published they never change, so nothing here depends on any other record."""

from lidoff.record.identity import slug

UNKNOWN = "-"
DATA = "data/"


def root(address: str) -> str:
    """From a page back to the site's base, so that links hold wherever the site is put."""
    return "../" * (address.count("/") - 1) or "./"


def product(product_slug: str) -> str:
    """Address of a product page; ``product_slug`` is brand/model."""
    return f"products/{product_slug}/"


def part(maker: str | None, part_number: str) -> str:
    """Address of a part page."""
    return f"parts/{part_slug(maker, part_number)}/"


def part_slug(maker: str | None, part_number: str) -> str:
    """What keys a part: its maker, ``-`` where unknown, and its number."""
    return f"{slug(maker) if maker else UNKNOWN}/{slug(part_number)}"


def maker(name: str) -> str:
    """Address of a maker's page."""
    return f"makers/{slug(name)}/"


def brand(product_slug: str) -> str:
    """Address of a brand's page."""
    return f"brands/{product_slug.partition('/')[0]}/"


def topology(word: str) -> str:
    """Address of the page of an isolated converter, by its word in the vocabulary."""
    return f"topologies/{word}/"


def method(figure_id: str) -> str:
    """Address of the page on how a figure is computed."""
    return f"methods/{figure_id}/"


def check(rule_id: str) -> str:
    """Address of the page on a check."""
    return f"checks/{rule_id}/"


def trend(table_name: str) -> str:
    """Address of the page of a trend table."""
    return f"trends/{table_name}/"


def product_data(product_slug: str) -> str:
    """File with what a comparison shows of a product."""
    return f"data/products/{product_slug}.json"


def record_data(product_slug: str) -> str:
    """File with the whole record of a product and its figures."""
    return f"data/records/{product_slug}.json"
