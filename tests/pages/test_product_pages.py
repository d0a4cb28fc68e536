"""What a product page says: the reader's four questions, in words, with evidence, doubt and margins."""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import pytest

from lidoff.entry import Entry
from lidoff.figures.catalogue import QUESTIONS
from lidoff.pages.context import Context, make_context
from lidoff.pages.website import find_page, render_product
from lidoff.record.model.component import Candidate
from lidoff.record.model.construction import Conversion, Evidence
from lidoff.record.model.measured import Body, Measured, OtherSample
from lidoff.record.model.product import Correction
from lidoff.settings import Settings

NO_BREAK = "\u00a0"


def words(tree: Any) -> str:
    """The text of a page with single spaces."""
    return " ".join(" ".join(tree.itertext()).replace(NO_BREAK, " ").split())


@pytest.fixture
def page_of(settings: Settings, parse: Callable[[str], Any]) -> Callable[[Entry], str]:
    """The words of the page of one entry."""
    return lambda entry: words(parse(render_product(entry, make_context([entry], settings)).body))


def test_the_questions_come_in_their_order(trees: Mapping[str, Any]) -> None:
    headings = [element.text for element in trees["/products/fernhollow/fh-65/"].iter("h2")]
    assert headings == list(QUESTIONS.values())


def test_promises_are_told_apart_from_what_is_advertised(trees: Mapping[str, Any]) -> None:
    text = words(trees["/products/fernhollow/fh-65/"])
    promised, delivered = text.index(QUESTIONS["promises"], 400), text.index("Port C1")
    assert "INPUT 100-240V~ 50/60Hz 1.7A" in text[promised:delivered]
    assert "5 V 3 A, 9 V 3 A, 15 V 3 A, 20 V 3.25 A, PPS 3.3 to 21 V 3.25 A" in text[promised:delivered]
    assert "0x00064145" in text[delivered:] and "0x00064145" not in text[promised:delivered]


def test_captures_are_told_state_by_state(trees: Mapping[str, Any]) -> None:
    text = words(trees["/products/fernhollow/fh-65/"])
    assert "Alone, cable marked for 5 A: 5 V 3 A, 9 V 3 A, 15 V 3 A, 20 V 3.25 A and PPS 3.3 to 21 V 3.25 A." in text
    assert "Beside A1, cable marked for 5 A: 5 V 3 A, 9 V 3 A, 15 V 3 A and 20 V 2.25 A." in text
    assert "The fixed voltages on the label are those that it advertises." in text
    assert "It was asked for its capabilities and gave none." in text


def test_what_differs_from_sample_to_sample_is_told(trees: Mapping[str, Any]) -> None:
    text = words(trees["/products/fernhollow/fh-65/"])
    assert "Sample s2 may not be what it says it is: there are signs against it." in text
    assert "Sample s2: Its label lacks the maker that the first one names." in text
    row = "C1 Marrow Bay s2 Tarn Semiconductor, print TN 68 400, date code 2433 Another maker."
    assert row in text[text.index("Where the samples have different parts") :]


def test_ratings_of_single_roles_are_told(trees: Mapping[str, Any]) -> None:
    text = words(trees["/products/fernhollow/fh-65/"])
    assert "105 °C, rated life 2000 h" in text and "series MB4" in text
    assert "isolation tested at 5000 V AC" in text


def test_size_and_mass_stand_in_both_systems(trees: Mapping[str, Any]) -> None:
    text = words(trees["/products/fernhollow/fh-65/"])
    assert "58 × 41.5 × 29 mm 2.28 × 1.63 × 1.14 in" in text
    assert "112 g 3.95 oz" in text


def test_a_verdict_is_words_with_a_margin_and_a_hedge(trees: Mapping[str, Any]) -> None:
    text = words(trees["/products/fernhollow/fh-65/"])
    assert re.search(r"C1, 20 V out, 115 V 60 Hz mains: 9\d\.\d\d (± 0\.\d\d )?% on average over four loads", text)
    assert "One unit, the reviewer's instruments, no compliance test." in text
    assert "below the published maximum of" in text
    for forbidden in ("✓", "✔", "✗", "complies", "compliant", "certified", " safe to touch", "PASS", "FAIL"):
        assert forbidden not in text


def test_each_conclusion_says_what_it_rests_on(trees: Mapping[str, Any]) -> None:
    text = words(trees["/products/fernhollow/fh-65/"])
    assert "Isolated converter: Quasi-resonant flyback That is: flyback, switched in the valley." in text
    assert "Likely, but another reading is possible; it rests on how the circuit is laid out (U1, Q1 and T1)." in text
    assert "No second switch on the primary side." in text


def test_a_conclusion_without_evidence_says_so(full_entry: Entry, page_of: Callable[[Entry], str]) -> None:
    record = replace(full_entry.record, conversion=Conversion(primary="flyback"))
    assert "The record gives no reason for this." in page_of(replace(full_entry, record=record))


@pytest.mark.parametrize(
    ("evidence", "said"),
    [
        (Evidence("primary", "circuit", "certain"), "No reasonable doubt; it rests on how the circuit is laid out."),
        (Evidence("primary", "brand-claim", "guess"), "A guess; it rests on a claim of the brand."),
        (Evidence("primary", "unidentified", "guess", ("Q1",)), "A guess; nothing is identified (Q1)."),
    ],
)
def test_evidence_in_words(evidence: Evidence, said: str, full_entry: Entry, page_of: Callable[[Entry], str]) -> None:
    record = replace(full_entry.record, conversion=Conversion(primary="flyback", evidence=(evidence,)))
    assert said in page_of(replace(full_entry, record=record))


def test_candidates_are_weighed_for_and_against(full_entry: Entry, page_of: Callable[[Entry], str]) -> None:
    part = replace(
        full_entry.record.components[0],
        candidates=(Candidate("AB12", "Quillstone", ("same package",), ("pin 3 is elsewhere",)), Candidate("AB13")),
    )
    text = page_of(replace(full_entry, record=replace(full_entry.record, components=(part,))))
    assert "Quillstone AB12 For: Same package. Against: Pin 3 is elsewhere." in text
    assert "AB13 No points for or against it are recorded." in text


def test_samples_that_disagree_stand_side_by_side(full_entry: Entry, page_of: Callable[[Entry], str]) -> None:
    assert "Mass 112 g 111.4 g 0.6 g apart" in page_of(full_entry)
    other = OtherSample("s2", 112.0, Body((58.0, 41.5, 29.0)))
    measured = replace(full_entry.record.measured or Measured(), other_samples=(other,))
    text = page_of(replace(full_entry, record=replace(full_entry.record, measured=measured)))
    assert "Size 58 × 41.5 × 29 mm 58 × 41.5 × 29 mm they agree Mass 112 g 112 g they agree" in text


def test_findings_answers_and_corrections_are_shown(full_entry: Entry, page_of: Callable[[Entry], str]) -> None:
    record = replace(full_entry.record, corrections=(Correction("2026-04-01", "The mass was wrong."),))
    text = page_of(replace(full_entry, record=record))
    assert "Does not fit together: photos[0].file found found text; expected expected text. Check missing-file" in text
    assert "The reviewer answers: It was lost." in text
    assert "2026-04-01: The mass was wrong." in text


def test_the_caution_names_the_energy_and_no_time_to_wait(trees: Mapping[str, Any]) -> None:
    tree = trees["/products/fernhollow/fh-65/"]
    caution = words(next(element for element in tree.iter("aside")))
    assert re.search(r"can hold \d+(\.\d+)? J", caution)
    assert "treat as charged until proved dead" in caution
    assert not re.search(r"\bwait\b|\b(seconds|minutes)\b|\d+ s\b", caution)


def test_each_computed_figure_leads_to_its_method_and_names_what_it_assumes(trees: Mapping[str, Any]) -> None:
    tree = trees["/products/fernhollow/fh-65/"]
    rows = {words(row[0]): [words(cell) for cell in row] for row in tree.iter("tr") if len(row)}
    assert rows["Energy in the bulk capacitor"][2].endswith(" J")
    assert "Mains tolerance" in rows["Energy in the bulk capacitor"][3]
    links = {element.get("href") for element in tree.iter("a")}
    assert "../../../methods/stored_energy_j/" in links


def test_absent_figures_give_their_reason(trees: Mapping[str, Any]) -> None:
    text = words(trees["/products/osk/bare/"])
    assert "What could not be computed" in text
    assert "Power density : no rated power is recorded" in text


def test_a_record_that_says_nothing_still_makes_a_page(trees: Mapping[str, Any]) -> None:
    text = words(trees["/products/osk/bare/"])
    assert "From a public document, not from an opened unit: An invented public document" in text
    assert "nothing that is missing here can be taken as absent" in text
    assert "The record says nothing of the inside." in text
    assert "Nothing was captured or measured for this record." in text
    assert "None" not in text


def test_a_doubtful_unit_is_named_at_the_top(trees: Mapping[str, Any]) -> None:
    tree = trees["/products/wexmoor/wx-60/"]
    assert "The unit may not be what it says it is: there are signs against it." in words(tree)
    assert "The label is misspelt." in words(tree)


def test_parts_stand_along_the_way_of_the_power(trees: Mapping[str, Any]) -> None:
    headings = trees["/products/fernhollow/fh-65/"].iter("th")
    groups = [words(element) for element in headings if element.get("scope") == "rowgroup"]
    order = ["Where the mains comes in", "Rectifying and storing", "The isolated converter", "Across the insulation"]
    assert [group for group in groups if group in order] == [group for group in order if group in groups]
    assert len(groups) >= 3


def test_a_draft_is_left_out_unless_asked_for(full_entry: Entry, settings: Settings) -> None:
    draft = replace(full_entry, record=replace(full_entry.record, status="draft"))
    address = "/products/fernhollow/fh-65/"
    assert find_page(address, [draft], settings) is None
    page = find_page(address, [draft], settings, with_drafts=True)
    assert page is not None and "Draft: work in progress, counted nowhere." in page.body


def test_one_page_alone_equals_the_page_of_the_site(
    site: Any, entries: tuple[Entry, ...], settings: Settings, context: Context
) -> None:
    address = "/products/fernhollow/fh-65/"
    assert find_page(address, entries, settings) == site.pages[address] == render_product(entries[0], context)
    assert find_page("/products/no/such/", entries, settings) is None


def test_a_page_stays_within_its_weight(site: Any) -> None:
    assert len(site.pages["/products/fernhollow/fh-65/"].body.encode()) < 60_000
