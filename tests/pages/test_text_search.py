"""What the text search is given of each product, and the filters of its page."""

from collections.abc import Mapping
from typing import Any

from lidoff.entry import Entry
from lidoff.pages.context import Context
from lidoff.pages.sections.search import texts
from lidoff.pages.views.search import search_choices
from lidoff.pages.website import build_website
from lidoff.settings import Settings


def test_every_product_is_searched_under_its_address(entries: tuple[Entry, ...], settings: Settings) -> None:
    found = {text.address: text.title for text in build_website(entries, settings).texts}
    assert found == {f"/products/{entry.slug}/": entry.title for entry in entries}


def test_text_holds_what_readers_look_for(context: Context) -> None:
    (text,) = [text for text in texts(context) if text.title == "Wexmoor WX-60"]
    for words in ("Quillstone", "QS650-R150", "Marrow Bay", "Active-clamp flyback", "GaN"):
        assert words in text.text
    assert text.line == "Wall charger, 60\u00a0W, 1 USB-C, launched 2024."
    assert text.filters == {"tier": "46-67 W", "technology": "GaN", "topology": "Active-clamp flyback", "year": "2024"}


def test_what_is_not_known_is_no_filter_word(context: Context) -> None:
    (text,) = [text for text in texts(context) if text.title == "Osk Bare"]
    assert "year" not in text.filters and "" not in text.filters.values()


def test_filters_offer_just_the_words_that_products_have(context: Context, trees: Mapping[str, Any]) -> None:
    selects = {
        select.attrib["name"]: [option.get("value") or option.text for option in select]
        for select in trees["/search/"].iter("select")
    }
    assert list(selects) == [choice.key for choice in search_choices(context)]
    for key, options in selects.items():
        words = {text.filters[key] for text in texts(context) if key in text.filters}
        assert (options[0], set(options[1:])) == ("any", words)
    assert selects["year"][1:] == sorted(selects["year"][1:], reverse=True)


def test_page_leads_elsewhere_without_script(trees: Mapping[str, Any]) -> None:
    page = trees["/search/"]
    assert "hidden" in page.find(".//form").attrib
    assert "../products/" in {link.attrib["href"] for link in page.find(".//p[@data-without-script]").iter("a")}
