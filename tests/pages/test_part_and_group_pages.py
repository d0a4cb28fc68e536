"""Where a part is used, who makes it, what a tier and a brand hold."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.context import make_context
from lidoff.pages.website import find_page
from lidoff.settings import Settings

PART = "/parts/quillstone/qs650-r150/"


def words(tree: Any) -> str:
    return " ".join(" ".join(tree.itertext()).replace("\u00a0", " ").split())


def test_a_part_page_says_where_how_and_how_sure(trees: Mapping[str, Any]) -> None:
    text = words(trees[PART])
    assert "Seen in 2 products from 2024 to 2025, as primary switch." in text
    assert "Fernhollow FH-65 2025 65 W Q1 Primary switch likely, by a printed code" in text
    assert "Wexmoor WX-60 2024 60 W Q1 Primary switch likely, by a printed code" in text
    assert "QS65 / ?150 partly readable Fernhollow FH-65 and Wexmoor WX-60" in text
    assert "It is no data sheet" in text


def test_a_part_without_a_number_has_no_page_but_its_maker_has(site: Any, trees: Mapping[str, Any]) -> None:
    assert not any(address.startswith("/parts/marrow-bay/") for address in site.pages)
    assert "Parts of which only the maker is known" in words(trees["/makers/marrow-bay/"])


def test_the_same_number_of_another_maker_is_another_part(second_entry: Entry, settings: Settings) -> None:
    parts = second_entry.record.components
    rival = replace(parts[0], ref="Q2", maker="Kelderby Devices")
    unknown = replace(parts[0], ref="Q3", maker=None)
    entry = replace(second_entry, record=replace(second_entry.record, components=(*parts, rival, unknown)))
    makers = ("quillstone", "kelderby-devices", "-")
    pages = {maker: find_page(f"/parts/{maker}/qs650-r150/", [entry], settings) for maker in makers}
    assert all(pages.values())
    assert "The same number is seen from another maker too" in pages["quillstone"].body
    assert "Its maker is not known." in pages["-"].body


def test_spellings_that_share_an_address_share_a_page(second_entry: Entry, settings: Settings) -> None:
    part = second_entry.record.components[0]
    other = replace(part, ref="Q2", part_number="qs650-r150")
    entry = replace(second_entry, record=replace(second_entry.record, components=(part, other)))
    context = make_context([entry], settings)
    assert [found.part_number for found in context.parts.values()] == ["QS650-R150"]
    assert len(next(iter(context.parts.values())).uses) == 2


def test_a_tier_page_lists_its_products_and_the_other_tiers(trees: Mapping[str, Any]) -> None:
    text = words(trees["/tiers/46-67-w/"])
    assert "2 products with a rated power of 46-67 W. The upper limit of a tier is included." in text
    assert "Fernhollow FH-65" in text and "Wexmoor WX-60" in text and "Osk" not in text
    assert "Osk Bare" in words(trees["/tiers/unknown/"])
    assert "No products" in words(trees["/tiers/141-240-w/"])


def test_the_index_lists_every_product_newest_first(trees: Mapping[str, Any]) -> None:
    rows = [words(row[0]) for row in trees["/products/"].iter("tr")][1:]
    assert rows == ["Fernhollow FH-65 Fernhollow Pocket 65", "Wexmoor WX-60", "Osk Bare"]


def test_addresses_are_relative_to_the_page_wherever_the_site_stands() -> None:
    assert addresses.root("/") == "./"
    assert addresses.root("/products/") == "../"
    assert addresses.root("/products/b/m/") == "../../../"
    assert addresses.part(None, "AB 1") == "parts/-/ab-1/"


def test_pictures_go_with_their_page(make_entry: Callable[..., Entry], sample_text: str, tmp_path: Any) -> None:
    from lidoff.pages.sections.products import files

    entry = make_entry(sample_text, "fernhollow/fh-65")
    folder = tmp_path / "entries" / "fernhollow" / "fh-65" / "photos"
    folder.mkdir(parents=True)
    photo = entry.record.photos[0]
    (folder.parent / photo.file).write_bytes(b"picture")
    context = make_context([entry], Settings(config_path=tmp_path / "mkdocs.yml"))
    found = [(file.path, file.content) for file in files(context)]
    assert found == [(f"products/fernhollow/fh-65/{photo.file}", b"picture")]
