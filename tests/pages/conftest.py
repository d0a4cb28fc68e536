"""A small invented collection as entries, and its site as pages and files in memory."""

import types
import typing
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import html5lib
import pytest

from lidoff.entry import Entry
from lidoff.figures.assumptions import read_assumptions
from lidoff.figures.derive import derive
from lidoff.finding import Finding
from lidoff.pages.context import Context, make_context
from lidoff.pages.website import build_website
from lidoff.record.load import load_text
from lidoff.record.model import Record
from lidoff.record.model.fields import defaults_of
from lidoff.settings import Settings
from lidoff.website import Page, SiteFile

SECOND = """
schema: 1
demo: true
status: published
product: {brand: Wexmoor, model: WX-60, kind: wall-charger, launched: 2024, rated_power_w: 60}
teardown: {date: 2025-05-02, authenticity: doubtful, authenticity_signs: [The label is misspelt.]}
coverage: {boards: main, parts: main}
ports: [{id: C1, connector: usb-c, protocols: [usb-pd-3.0]}]
measured: {body_mm: {size: [60, 40, 30]}, mass_g: 120}
conversion: {pfc: none, primary: flyback-active-clamp}
components:
  - ref: Q1
    roles: [primary-switch]
    technology: gan-enhancement
    maker: Quillstone
    part_number: QS650-R150
    marking: {lines: [QS65, "?150"], state: partial}
    identified_by: printed-code
    strength: likely
  - {ref: C1, roles: [bulk-capacitor], maker: Marrow Bay, ratings: {voltage_v: 400, capacitance_uf: 82}}
"""
BARE = """
schema: 1
status: published
source: An invented public document
product: {brand: Osk, model: Bare, kind: outlet}
ports: [{id: A1, connector: usb-a}]
"""


@dataclass(frozen=True)
class Site:
    """A whole site in memory."""

    pages: Mapping[str, Page]
    files: Mapping[str, SiteFile]
    order: Sequence[Page]


@pytest.fixture(scope="session")
def settings() -> Settings:
    return Settings(Path("/nowhere/mkdocs.yml"), site_name="Test base", site_url="https://example.org/base/")


@pytest.fixture(scope="session")
def make_entry() -> Callable[..., Entry]:
    """Makes an entry of a record's text."""

    def make(text: str, slug: str, findings: tuple[Finding, ...] = ()) -> Entry:
        path = f"entries/{slug}/record.yaml"
        loaded = load_text(text, path)
        assert loaded.record is not None, loaded.findings
        return Entry(path, slug, loaded.record, derive(loaded.record, read_assumptions()), findings)

    return make


@pytest.fixture(scope="session")
def full_entry(make_entry: Callable[..., Entry], sample_text: str) -> Entry:
    """The complete sample record, with a warning that is answered and a note."""
    place = ("entries/fernhollow/fh-65/record.yaml", 3, 1, "photos[0].file")
    findings = (
        Finding("missing-file", "warning", *place, "found text", "expected text", "fix text", answer="It was lost."),
        Finding("unknown-reference", "note", *place, "another", "something else", "mend it"),
    )
    return make_entry(sample_text, "fernhollow/fh-65", findings)


@pytest.fixture(scope="session")
def second_entry(make_entry: Callable[..., Entry]) -> Entry:
    """A product of another brand, in the same tier, with the same primary switch."""
    return make_entry(SECOND, "wexmoor/wx-60")


@pytest.fixture(scope="session")
def bare_entry(make_entry: Callable[..., Entry]) -> Entry:
    """A record that says next to nothing, of a public document and not invented by its own word."""
    return make_entry(BARE, "osk/bare")


@pytest.fixture(scope="session")
def entries(full_entry: Entry, second_entry: Entry, bare_entry: Entry) -> tuple[Entry, ...]:
    return full_entry, second_entry, bare_entry


@pytest.fixture(scope="session")
def context(entries: tuple[Entry, ...], settings: Settings) -> Context:
    return make_context(entries, settings)


@pytest.fixture(scope="session")
def site(entries: tuple[Entry, ...], settings: Settings) -> Site:
    website = build_website(entries, settings)
    made = [piece.make() for piece in website.pieces]
    order = [*website.pages, *(page for page, _ in made)]
    bundled = (file for bundle in website.bundles for file in bundle.make())
    files = [*website.files, *bundled, *(file for _, beside in made for file in beside)]
    return Site({page.address: page for page in order}, {file.path: file for file in files}, order)


@pytest.fixture(scope="session")
def parse() -> Callable[[str], typing.Any]:
    """Parses a fragment as the body of a page; raises at the first fault of its HTML."""

    def parsed(body: str) -> typing.Any:
        parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
        page = f"<!doctype html><html lang=en><head><title>t</title></head><body>{body}</body></html>"
        return parser.parse(page).find("body")

    return parsed


@pytest.fixture(scope="session")
def trees(site: Site, parse: Callable[[str], typing.Any]) -> Mapping[str, typing.Any]:
    """The body of every page as a tree, by address."""
    return {address: parse(page.body) for address, page in site.pages.items()}


@pytest.fixture(scope="session")
def filled() -> Callable[[Iterator[str]], Record]:
    """Makes a record with the next of some texts in every field that holds text, words of the vocabulary included."""
    return lambda texts: _filled(Record, texts, "")


# fields whose form the code reads: anything else could not have come through the schema
READ_FIELDS = {"photo": "photos/trace.png", "words": ("0x0801912C",), "date": "2026-03-09", "status": "published"}


def _filled(kind: typing.Any, texts: Iterator[str], name: str) -> typing.Any:
    if name in READ_FIELDS:
        return READ_FIELDS[name]
    origin, arguments = typing.get_origin(kind), typing.get_args(kind)
    if origin is None and (fields := defaults_of(kind)) is not None:
        hints = typing.get_type_hints(kind)
        return kind(**{field: _filled(hints[field], texts, field) for field in fields})
    if origin in (types.UnionType, typing.Union):
        return _filled(next(one for one in arguments if one is not types.NoneType), texts, name)
    if origin is tuple:
        several = arguments if Ellipsis not in arguments else arguments[:1]
        return tuple(_filled(one, texts, "") for one in several)
    if origin is not None:
        return {next(texts): _filled(arguments[1], texts, "")}
    return next(texts) if kind is str else {float: 2.0, int: 1, bool: True}[kind]
