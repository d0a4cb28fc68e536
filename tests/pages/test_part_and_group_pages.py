"""Where a part is used, who makes it, what a tier and a brand hold."""

import json
import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from lidoff.entry import Entry
from lidoff.finding import Finding
from lidoff.pages import addresses
from lidoff.pages.context import make_context
from lidoff.pages.views.listing import MOST_LISTED
from lidoff.pages.views.product_sets import switch_strength
from lidoff.pages.vocabulary import definitions
from lidoff.pages.website import find_page, pieces
from lidoff.record.model.component import Candidate, Component
from lidoff.settings import Settings

PART = "/parts/quillstone/qs650-r150/"


def words(tree: Any) -> str:
    return " ".join(" ".join(tree.itertext()).replace("\u00a0", " ").split())


def test_a_part_page_says_where_how_and_how_sure(trees: Mapping[str, Any]) -> None:
    text = words(trees[PART])
    assert "Seen in 2 products from 2024 to 2025, as primary switch." in text
    assert "Fernhollow FH-65 2025 65 W Q1 Primary switch likely, by a printed code" in text
    assert "Wexmoor WX-60 2024 60 W Q1 Primary switch likely, by a printed code" in text
    assert "QS65 / ?150 partly readable likely, by a printed code Fernhollow FH-65 and Wexmoor WX-60" in text
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
    assert "Its maker is not recorded." in pages["-"].body


def test_spellings_that_share_an_address_share_a_page(second_entry: Entry, settings: Settings) -> None:
    part = second_entry.record.components[0]
    other = replace(part, ref="Q2", part_number="qs650-r150")
    entry = replace(second_entry, record=replace(second_entry.record, components=(part, other)))
    context = make_context([entry], settings)
    assert [found.part_number for found in context.parts.values()] == ["QS650-R150"]
    assert len(next(iter(context.parts.values())).uses) == 2


def test_pages_of_a_large_collection_hold_the_newest_and_say_where_all_are(
    second_entry: Entry, settings: Settings
) -> None:
    conversion = replace(second_entry.record.conversion, primary="flyback-quasi-resonant")
    record = replace(second_entry.record, conversion=conversion)
    many = [replace(second_entry, slug=f"wexmoor/wx-{number}", record=record) for number in range(MOST_LISTED + 1)]
    pages = {
        address: find_page(address, many, settings).body
        for address in ("/tiers/46-67-w/", "/topologies/flyback-quasi-resonant/", PART)
    }
    rows = [len(re.findall(r'<th scope="row"><a href="[./]+/products/wexmoor/', body)) for body in pages.values()]
    assert rows == [MOST_LISTED] * 3
    assert 'href="../../products/?tier=46-67+W">All 301 in the list of products</a>' in pages["/tiers/46-67-w/"]
    topology = pages["/topologies/flyback-quasi-resonant/"]
    assert "products/?topology=Quasi-resonant+flyback" in topology and "The newest are shown." in topology
    assert "The newest 300 of 301 uses" in pages[PART]
    few = find_page("/tiers/46-67-w/", many[:MOST_LISTED], settings).body
    assert few.count("/products/wexmoor/") == MOST_LISTED and "in the list of products" not in few


def test_a_tier_page_lists_its_products_and_the_other_tiers(trees: Mapping[str, Any]) -> None:
    text = words(trees["/tiers/46-67-w/"])
    assert "2 products with a rated power of 46–67 W. The upper limit of a tier is included." in text
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


def test_a_topology_has_a_page_with_its_meaning_products_and_parts(trees: Mapping[str, Any]) -> None:
    text = words(trees["/topologies/flyback-active-clamp/"])
    assert "1 product of 3 opened, as their reviewers conclude." in text
    assert "Year 46–67 W Products 2024 1 1" in text
    assert "Quillstone QS650-R150 Primary switch 1 of 1" in text
    assert "Wexmoor WX-60" in text and "Fernhollow FH-65" not in text


def test_every_word_for_an_isolated_converter_has_a_page_that_others_lead_to(site: Any) -> None:
    words_known = definitions()["primary"]
    pages = {address for address in site.pages if address.startswith("/topologies/")}
    assert pages == {f"/topologies/{word}/" for word in words_known} and len(pages) > 5
    assert "No products of 3 opened" in site.pages["/topologies/forward/"].body
    assert 'href="../../../topologies/flyback-active-clamp/"' in site.pages["/products/wexmoor/wx-60/"].body
    assert 'href="../topologies/forward/"' in site.pages["/vocabulary/"].body
    assert 'href="../../topologies/flyback-active-clamp/"' in site.pages["/trends/topology-by-tier/"].body


def part_entry(entry: Entry, *changed: Component, **parts: object) -> Entry:
    return replace(entry, record=replace(entry.record, components=changed), **parts)


def test_partners_are_counted_over_the_products_in_which_the_part_is_identified(
    second_entry: Entry, settings: Settings
) -> None:
    switch = replace(second_entry.record.components[0], strength="certain")
    controller = replace(switch, ref="U1", roles=("primary-controller",), maker="Pell Lane", part_number="PL1")
    rectifier = replace(switch, ref="U2", roles=("sync-rectifier-controller",), maker="Pell Lane", part_number="PL2")
    entries = [
        replace(part_entry(second_entry, controller, rectifier), slug="wexmoor/a"),
        replace(part_entry(second_entry, controller, replace(rectifier, strength="guess")), slug="wexmoor/b"),
        replace(part_entry(second_entry, replace(controller, strength="guess"), rectifier), slug="wexmoor/c"),
    ]
    body = find_page("/parts/pell-lane/pl1/", entries, settings).body
    assert "Counted over the 2 products in which this part is identified" in body
    assert ">1 of 2</td>" in body and "2 of 2" not in body
    assert "Seen in 3 products" in body


def test_contradictions_stand_on_the_page_of_their_part_alone(second_entry: Entry, settings: Settings) -> None:
    other = replace(second_entry.record.components[0], ref="Q2", part_number="QS9")
    place = (second_entry.path, 3, 1)
    findings = (
        Finding(
            "rating-contradiction",
            "warning",
            *place,
            "components[0].ratings.voltage_v",
            "650 for Q1",
            "700 there",
            "mend",
        ),
        Finding("missing-file", "warning", *place, "components[0].ratings", "nothing like it", "x", "mend"),
    )
    entry = part_entry(second_entry, second_entry.record.components[0], other, findings=findings)
    own = find_page("/parts/quillstone/qs650-r150/", [entry], settings).body
    assert "Where the records contradict one another" in own and "650 for Q1" in own and "700 there" in own
    assert "nothing like it" not in own
    assert "Where the records contradict" not in find_page("/parts/quillstone/qs9/", [entry], settings).body


def test_a_mere_candidate_is_told_apart_from_a_use(second_entry: Entry, settings: Settings) -> None:
    known = second_entry.record.components[0]
    candidate = Candidate("QS650-R150", "Quillstone", points_for=("the package fits",), points_against=("no print",))
    doubtful = replace(known, ref="Q7", maker=None, part_number=None, candidates=(candidate,))
    entries = [second_entry, replace(part_entry(second_entry, doubtful), slug="wexmoor/doubt")]
    body = find_page("/parts/quillstone/qs650-r150/", entries, settings).body
    assert "Seen in 1 product from" in body
    assert "Parts that may be this one, and are not counted" in body
    assert "the package fits" in body and "no print" in body and "products/wexmoor/doubt/" in body


def test_a_maker_page_says_what_its_parts_do_by_year(trees: Mapping[str, Any]) -> None:
    text = words(trees["/makers/quillstone/"])
    assert "Primary switch 1 1 2" in text and "What its parts do, by year" in text


def test_a_maker_page_leads_to_the_products_with_its_parts(trees: Mapping[str, Any]) -> None:
    links = [link.get("href") for link in trees["/makers/marrow-bay/"].iter("a")]
    assert "../../products/?maker=Marrow+Bay" in links


def test_filters_without_a_column_have_files_of_places(site: Any, trees: Mapping[str, Any]) -> None:
    found = {
        key: json.loads(site.files[f"data/index/with-{key}.json"].content)
        for key in ("protocol", "maker", "strength", "source")
    }
    rows = [row[0] for row in trees["/products/"].iter("tr")][1:]
    titles = [words(next(row.iter("a"))) for row in rows]
    assert [titles[place] for place in found["maker"]["Quillstone"]] == ["Fernhollow FH-65", "Wexmoor WX-60"]
    assert [titles[place] for place in found["protocol"]["USB PD 3.0"]] == ["Wexmoor WX-60"]
    assert found["strength"]["likely"] == [0, 1]
    select = next(one for one in trees["/products/"].iter("select") if one.get("name") == "maker")
    assert select.get("data-places") == "../data/index/with-maker.json"
    assert [words(option) for option in select] == ["any", *found["maker"]]


def test_a_product_with_several_switches_is_as_sure_as_the_least_sure(second_entry: Entry) -> None:
    switch = second_entry.record.components[0]
    cases = {("certain", "guess"): ["guess"], ("certain", None): ["certain"], (None,): []}
    for strengths, expected in cases.items():
        parts = (replace(switch, ref=f"Q{at}", strength=strength) for at, strength in enumerate(strengths))
        assert list(switch_strength(part_entry(second_entry, *parts))) == expected
    claimed = replace(switch, identified_by="brand-claim", strength="certain")
    assert list(switch_strength(part_entry(second_entry, switch, claimed))) == ["claimed by the brand"]


def test_a_contradiction_that_others_bring_or_end_makes_the_page_of_the_part_anew(
    second_entry: Entry, settings: Settings
) -> None:
    entry = replace(second_entry, inputs="a digest")
    found = Finding("rating-contradiction", "warning", entry.path, 3, 1, "components[0].ratings", "650", "700", "mend")

    def inputs(one: Entry) -> str:
        made = {piece.address: piece.inputs for piece in pieces(make_context([one], settings))}
        return made["/parts/quillstone/qs650-r150/"]

    assert inputs(entry) and inputs(entry) == inputs(replace(entry, findings=()))
    assert inputs(entry) != inputs(replace(entry, findings=(found,)))
