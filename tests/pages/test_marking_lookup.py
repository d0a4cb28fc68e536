"""The lookup of prints and part numbers: what its files hold, that every piece of every text is found, their sizes."""

import json
from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.entry import Entry
from lidoff.pages.context import make_context
from lidoff.pages.marking_index import FOLDER, SHORTEST, START_SIGNS, index_files, searchable
from lidoff.pages.sections import lookup
from lidoff.pages.views.lookup import MOST_READINGS, lookup_rows
from lidoff.settings import Settings
from lidoff.website import SiteFile

MOST_BYTES = {"clear": 12_100, "unclear": 4_100, "rows": 6_100}
TEXTS = st.sets(st.text("AB12?", min_size=2, max_size=9), max_size=60)


class Files:
    """The files of an index as a reader has them."""

    def __init__(self, files: Iterator[SiteFile]) -> None:
        self.content = {file.path.removeprefix(f"{FOLDER}/"): file.content for file in files}
        self.starts = json.loads(self.content["starts.json"])

    def parts(self, kind: str) -> list[list]:
        return [json.loads(self.content[f"{kind}/{number}.json"]) for number in range(len(self.starts[kind]))]

    def endings(self, kind: str) -> list[tuple[str, str, int]]:
        return [(text[at:], text, row) for part in self.parts(kind) for text, at, row in part]

    def holding(self, piece: str) -> set[str]:
        """The texts that hold a piece of known signs, by the sorted endings alone."""
        found = set()
        for kind in ("clear", "unclear"):
            endings = self.endings(kind)
            first = bisect_left(endings, piece, key=lambda ending: ending[0])
            found |= {text for ending, text, _ in endings[first:] if ending.startswith(piece)}
        return found

    @property
    def rows(self) -> list[tuple[list, int]]:
        return [row for part in self.parts("rows") for row in part]


def made(texts: Sequence[str]) -> Files:
    return Files(index_files([(text, [[text], 0]) for text in sorted(texts)]))


@pytest.fixture(scope="module")
def files(entries: tuple[Entry, ...], settings: Settings) -> Files:
    return Files(lookup.files(make_context(entries, settings)))


def rows_of(files: Files, text: str) -> list[dict[str, Any]]:
    names = ("text", "found", "part", "slug", "roles", "sure", "count", "products")
    return [dict(zip(names, row, strict=True)) for rows, _ in files.rows for row in rows if row[0] == text]


@pytest.mark.parametrize(
    ("written", "text"),
    [
        ("qs650-r150", "QS650R150"),
        (" QS 65 ", "QS65"),
        ("?150", "?150"),
        ("Ｑ１", "Q1"),
        ("ß²", "SS2"),
        ("–/.", ""),
        ("𝐀\U0001f600", "A"),
    ],
)
def test_what_is_compared_is_free_of_case_space_and_punctuation(written: str, text: str) -> None:
    assert searchable(written) == text
    assert searchable(text) == text


@given(TEXTS)
def test_every_known_piece_of_every_text_is_found_and_nothing_else(texts: set[str]) -> None:
    files = made(sorted(texts))
    pieces = {text[at:end] for text in texts for at in range(len(text)) for end in range(at + SHORTEST, len(text) + 1)}
    for piece in (piece for piece in pieces if "?" not in piece):
        assert files.holding(piece) == {text for text in texts if piece in text}


@given(TEXTS)
def test_a_number_leads_to_the_row_of_its_text(texts: set[str]) -> None:
    files = made(sorted(texts))
    for kind in ("clear", "unclear"):
        assert all(files.rows[row] == [[text], 0] for _, text, row in files.endings(kind))
        assert all(("?" in text) == (kind == "unclear") for _, text, _ in files.endings(kind))


def test_files_are_small_in_order_and_named_by_their_first_ending() -> None:
    texts = [
        f"{maker}{number:04d}{'?' if number % 3 else 'X'}" for maker in ("QS", "FRND", "MB65") for number in range(900)
    ]
    files = made(texts)
    for kind, most in MOST_BYTES.items():
        sizes = [len(content) for name, content in files.content.items() if name.startswith(f"{kind}/")]
        assert len(sizes) == len(files.starts[kind]) > 3
        assert max(sizes) <= most, kind
    for kind in ("clear", "unclear"):
        endings = [ending for ending, _, _ in files.endings(kind)]
        assert endings == sorted(endings)
        assert files.starts[kind] == [text[at : at + START_SIGNS] for (text, at, _), *_ in files.parts(kind)]
    counts = [len(part) for part in files.parts("rows")]
    assert [after - before for before, after in pairwise(files.starts["rows"])] == counts[:-1]


def test_one_row_too_large_for_a_file_has_one_of_its_own() -> None:
    files = Files(index_files([("AA", "x" * 9000), ("BB", "y"), ("CC", "z" * 9000)]))
    assert [len(part) for part in files.parts("rows")] == [1, 1, 1]


def test_every_part_number_and_every_line_is_in_the_lookup(entries: tuple[Entry, ...], files: Files) -> None:
    shown = {row[0] for rows, _ in files.rows for row in rows}
    components = [component for entry in entries for component in entry.record.components]
    wanted = {component.part_number for component in components if component.part_number}
    wanted |= {line for component in components if component.marking for line in component.marking.lines}
    wanted |= {one.part_number for component in components for one in component.candidates}
    assert len(wanted) >= 9
    assert {text for text in wanted if len(searchable(text)) >= SHORTEST} <= shown


def test_a_line_says_what_it_is_what_it_was_taken_for_and_how_sure_that_is(files: Files) -> None:
    (row,) = rows_of(files, "?150")
    assert row["found"] == "print, partly readable"
    assert (row["part"], row["slug"]) == ("Quillstone QS650-R150", "quillstone/qs650-r150")
    assert (row["roles"], row["sure"]) == ("Primary switch", "likely, by a printed code")
    assert (row["count"], row["products"]) == (
        2,
        [["fernhollow/fh-65", "Fernhollow FH-65"], ["wexmoor/wx-60", "Wexmoor WX-60"]],
    )


def test_every_link_of_a_row_leads_to_a_page(files: Files, site: Any) -> None:
    rows = [row for rows, _ in files.rows for row in rows]
    assert {row[3] for row in rows} > {""}
    for _, _, _, slug, _, _, _, products in rows:
        assert not slug or f"/parts/{slug}/" in site.pages
        assert all(f"/products/{product}/" in site.pages for product, _ in products)


def test_the_files_do_not_depend_on_the_order_of_the_records(
    entries: tuple[Entry, ...], settings: Settings, files: Files
) -> None:
    assert Files(lookup.files(make_context(entries[::-1], settings))).content == files.content


def many_readings(make_entry: Any, count: int) -> list[Entry]:
    record = """
schema: 1
status: published
source: An invented public document
product: {{brand: Osk, model: O-{0}, kind: outlet}}
ports: [{{id: A1, connector: usb-a}}]
components:
  - {{ref: U1, roles: [primary-controller], maker: Maker {0}, part_number: PN-{0}, marking: {{lines: ["2431"], state: legible}}}}
"""
    return [make_entry(record.format(number), f"osk/o-{number}") for number in range(count)]


def test_a_line_on_very_many_parts_keeps_its_row_small_and_says_what_is_left_out(
    make_entry: Any, settings: Settings
) -> None:
    entries = many_readings(make_entry, MOST_READINGS + 3)
    (rows,) = [rows for text, rows in lookup_rows(make_context(entries, settings)) if text == "2431"]
    assert (len(rows[0]), rows[1]) == (MOST_READINGS, 3)


def test_page_says_what_to_do_without_script(trees: Mapping[str, Any]) -> None:
    page = trees["/parts/lookup/"]
    form = page.find(".//form")
    assert "hidden" in form.attrib and form.attrib["role"] == "search"
    said = page.find(".//p[@data-without-script]")
    assert "needs a script" in "".join(said.itertext())
    assert [link.attrib["href"] for link in said.iter("a")] == ["../../parts/"]


def test_index_of_parts_leads_to_the_lookup(trees: Mapping[str, Any]) -> None:
    assert "../parts/lookup/" in {link.get("href") for link in trees["/parts/"].iter("a")}


SEVERAL = """
schema: 1
status: published
source: An invented public document
product: {{brand: Osk, model: O-{0}, kind: outlet}}
ports: [{{id: A1, connector: usb-a}}]
components:
  - {{ref: Q1, roles: [primary-switch], maker: Quillstone, part_number: QS-1, marking: {{lines: ["QZ1"], state: {1}}}, {2}}}
  - {{ref: Q2, roles: [{3}], maker: Quillstone, part_number: QS-1, marking: {{lines: ["QZ1"], state: {1}}}, {2}}}
"""
SURE = "identified_by: printed-part-number, strength: certain"
LIKELY = "identified_by: pinout, strength: likely"


def rows_for(make_entry: Any, settings: Settings, *records: tuple[str, str, str]) -> list[dict[str, Any]]:
    entries = [make_entry(SEVERAL.format(n, *one), f"osk/o-{n}") for n, one in enumerate(records)]
    return rows_of(Files(lookup.files(make_context(entries, settings))), "QZ1")


def test_a_part_has_one_row_that_joins_what_it_does(make_entry: Any, settings: Settings) -> None:
    (row,) = rows_for(make_entry, settings, ("legible", LIKELY, "pfc-switch"), ("legible", LIKELY, "clamp-switch"))
    assert (row["part"], row["found"], row["count"]) == ("Quillstone QS-1", "print", 2)
    assert row["roles"] == "Primary switch, PFC switch and clamp switch", "what it does most comes first"
    assert row["sure"] == "likely, by its connections", "where all agree no number is needed"


def test_the_strongest_evidence_is_told_with_how_many_have_it(make_entry: Any, settings: Settings) -> None:
    states = (("legible", LIKELY, "pfc-switch"), ("partial", SURE, "pfc-switch"), ("legible", LIKELY, "pfc-switch"))
    (row,) = rows_for(make_entry, settings, *states)
    assert row["sure"] == "certain, by its printed part number, in 1 of 3 products"
    assert row["found"] == "print; also partly readable"


def test_what_no_record_says_of_a_part_is_said_in_words(make_entry: Any, settings: Settings) -> None:
    (row,) = rows_for(make_entry, settings, ("legible", "package: SOT-23", "pfc-switch"))
    assert row["sure"] == "not recorded"
