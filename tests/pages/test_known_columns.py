"""Lines of comparisons are made once a product, and no more of them kept than stated."""

from dataclasses import dataclass

import pytest

from lidoff.pages import known_columns
from lidoff.pages.known_columns import KnownColumns


@dataclass(frozen=True)
class Product:
    slug: str


def test_the_oldest_lines_make_room(monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[str] = []
    monkeypatch.setattr(known_columns, "MOST_KNOWN", 2)
    monkeypatch.setattr(known_columns, "comparison_lines", lambda entry: made.append(entry.slug) or (entry.slug,))
    columns = KnownColumns()
    for slug in ("a", "b", "a", "c", "c", "b", "a"):
        assert columns.of(Product(slug)) == (slug,)
    assert made == ["a", "b", "c", "a"]
