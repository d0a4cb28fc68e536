"""Text of a record is shown as it was written: whatever stands in it, no page gains an element or an attribute."""

import csv
import io
import itertools
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest
import yaml

from lidoff import pages
from lidoff.entry import Entry
from lidoff.figures.figure import Assumed, Corner, Figure, FigureInput, Figures
from lidoff.finding import Finding
from lidoff.pages.context import make_context
from lidoff.pages.environment import environment
from lidoff.pages.trend_tables import Trends
from lidoff.pages.website import build_website, plans
from lidoff.record.model import Record
from lidoff.settings import Settings

TEMPLATES = Path(pages.__file__).parent / "templates"
PLAIN = "Zq plain Zq"
CORPUS = yaml.safe_load((Path(__file__).parents[1] / "hostile" / "payloads.yaml").read_text(encoding="utf-8"))
# what the reader refuses never comes to a page
CLASSES = {name: tuple(texts) for name, texts in CORPUS.items() if name != "refused_signs"}
PAYLOADS = tuple(text for texts in CLASSES.values() for text in texts)
LEADING = ("href", "src", "srcset", "action", "formaction", "poster", "data", "ping", "background", "xlink:href")


def entry_of(texts: Iterator[str], filled: Callable[[Iterator[str]], Record], slug: str) -> Entry:
    """An entry with the texts in its figures and findings too."""
    record, text = filled(texts), next(texts)
    known = {"stored_energy_j": "J", "average_efficiency_pct": "%", "efficiency_limit_pct": "%", "turns_ratio": "1"}
    inputs, assumed = (FigureInput(text, 1.0, "V"),), (Assumed(next(texts), 1.0, "V", next(texts)),)
    corner = Corner(next(texts), 230.0, 50.0, 20.0)
    figures = [
        Figure(name, unit, 3.0, corner, 0.1, inputs, assumed, next(texts), next(texts)) for name, unit in known.items()
    ]
    absent = [Figure("inrush_peak_a", "A", absent=next(texts)), Figure("price_per_watt", f"{next(texts)}/W", 0.5)]
    told = itertools.islice(texts, 6)
    finding = Finding("missing-file", "warning", "p", 1, 1, *itertools.islice(told, 5), answer=next(told))
    return Entry(f"entries/{slug}/record.yaml", slug, record, Figures((*figures, *absent)), (finding,))


def site_of(
    texts: Sequence[str],
    filled: Callable[[Iterator[str]], Record],
    settings: Settings,
    wanted: Callable[[str], bool],
) -> dict[str, str]:
    """Pages of a site of two products that hold these texts in turn; an address stands for its section and number."""
    entries = [entry_of(itertools.cycle(texts), filled, slug) for slug in ("brand-one/a", "brand-two/b")]
    bodies: dict[str, str] = {}
    for planned in plans(make_context(entries, settings), Trends(entries, settings)):
        section = planned.address.split("/")[1]
        if wanted(planned.address):
            number = sum(key.startswith(f"{section} ") for key in bodies)
            bodies[f"{section} {number}"] = planned.make().body
    return bodies


def shape(tree: Any) -> Counter:
    """Elements with the names of their attributes, counted."""
    return Counter((element.tag, tuple(sorted(element.attrib))) for element in tree.iter())


def is_light(address: str) -> bool:
    return address.split("/")[1] not in ("trends", "methods", "checks", "fields", "vocabulary") and address != "/"


def is_made_from_records(address: str) -> bool:
    return address.split("/")[1] not in ("fields", "vocabulary")


def shapes(trees: Mapping[str, Any]) -> Counter:
    """The pages of each section by their shapes: the order of texts decides which comes first, not what is on it."""
    return Counter((name.split()[0], frozenset(shape(tree).items())) for name, tree in trees.items())


def trees_of(site: Mapping[str, str], parse: Callable[[str], Any]) -> dict[str, Any]:
    """The parsed pages: the parser is slow, so each is parsed once."""
    return {name: parse(body) for name, body in site.items()}


def strange_addresses(trees: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Whatever would be fetched, sent or opened elsewhere than in the site, or is no address at all."""
    given = [
        (name, value.strip())
        for name, tree in trees.items()
        for element in tree.iter()
        for attribute, value in element.attrib.items()
        if (attribute if isinstance(attribute, str) else attribute[1]) in LEADING
    ]
    sound = re.compile(r"(\.\.?(/|$)|#|[\w-]|$)")
    return [(name, value) for name, value in given if not sound.match(value) or is_elsewhere(value)]


def is_elsewhere(value: str) -> bool:
    """Whether an address names a scheme or a host: none that a record brings along is ever a link."""
    return ":" in value.partition("/")[0].partition("?")[0].partition("#")[0] or value.startswith(("//", "\\"))


@pytest.fixture(scope="module")
def plain_site(filled: Callable[[Iterator[str]], Record], settings: Settings) -> dict[str, str]:
    return site_of([PLAIN], filled, settings, is_made_from_records)


@pytest.fixture(scope="module")
def plain_shapes(plain_site: dict[str, str], parse: Callable[[str], Any]) -> dict[str, Counter]:
    return {name: shape(tree) for name, tree in trees_of(plain_site, parse).items()}


def plain_texts(number: int) -> list[str]:
    """As many different texts, all harmless."""
    return [f"Zq {index} Zq" for index in range(number)]


@pytest.mark.parametrize("kind", CLASSES)
def test_no_page_gains_an_element_or_an_attribute(
    kind: str, filled: Callable[[Iterator[str]], Record], settings: Settings, parse: Callable[[str], Any]
) -> None:
    # the texts of a class in turn, so that one after another stands in neighbouring fields
    site = trees_of(site_of(CLASSES[kind], filled, settings, is_light), parse)
    plain = trees_of(site_of(plain_texts(len(CLASSES[kind])), filled, settings, is_light), parse)
    assert shapes(site) == shapes(plain)
    assert strange_addresses(site) == []
    text = "".join(site["products 1"].itertext())
    assert [payload for payload in CLASSES[kind] if payload not in text] == [], "not shown as it was written"


@pytest.mark.long
@pytest.mark.parametrize("payload", PAYLOADS)
def test_nor_where_one_text_stands_in_every_field(
    payload: str,
    filled: Callable[[Iterator[str]], Record],
    settings: Settings,
    plain_shapes: dict[str, Counter],
    parse: Callable[[str], Any],
) -> None:
    site = trees_of(site_of([payload], filled, settings, is_light), parse)
    for name, tree in site.items():
        assert shape(tree) == plain_shapes[name], name
    assert strange_addresses(site) == []
    text = "".join(site["products 1"].itertext())
    assert text.count(payload) > 100, "the text must be shown as it was written"


def test_nor_do_the_pages_of_tables_methods_and_checks(
    filled: Callable[[Iterator[str]], Record], settings: Settings, parse: Callable[[str], Any]
) -> None:
    site = site_of(PAYLOADS, filled, settings, is_made_from_records)
    plain = site_of(plain_texts(len(PAYLOADS)), filled, settings, is_made_from_records)
    assert len(site) == len(plain) > 100
    assert shapes(trees_of(site, parse)) == shapes(trees_of(plain, parse))


def test_the_search_for_strange_addresses_finds_them(parse: Callable[[str], Any]) -> None:
    links = ["javascript:x", " data:text/html", "//evil.example/x", "https://evil.example", "\\\\evil.example", "/\\x"]
    sound = ["../a/?p=a/b:c", "#x", "a/b.csv", "..", "."]
    page = "".join(f'<a href="{link}">x</a>' for link in [*links, *sound])
    assert [value for _, value in strange_addresses({"x": parse(page)})] == [link.strip() for link in links]


def test_each_text_field_reaches_a_page(plain_site: dict[str, str]) -> None:
    # a payload test proves nothing for a template that never shows the field
    for name in ("products", "parts", "makers", "brands", "tiers", "compare", "trends"):
        assert any(PLAIN in body for key, body in plain_site.items() if key.startswith(f"{name} ")), name


def test_a_link_never_holds_a_record_s_text(plain_site: dict[str, str]) -> None:
    for name, body in plain_site.items():
        for target in re.findall(r'(?:href|src)="([^"]*)"', body):
            assert " " not in target, f"{name}: {target}"


def test_no_exported_table_holds_a_formula(filled: Callable[[Iterator[str]], Record], settings: Settings) -> None:
    texts = (*CLASSES["formula"], *CLASSES["markdown"], *CLASSES["unicode"])
    entries = [entry_of(itertools.cycle(texts), filled, slug) for slug in ("brand-one/a", "brand-two/b")]
    website = build_website(entries, settings)
    files = (*website.files, *(file for bundle in website.bundles for file in bundle.make()))
    tables = [file for file in files if file.path.endswith(".csv")]
    assert len(tables) > 10
    cells = [
        (file.path, part)
        for file in tables
        for row in csv.reader(io.StringIO(file.content.decode("utf-8"), newline=""))
        for cell in row
        for part in (cell, *re.split("[;\t\r\n]", cell))  # as programs read it that part cells at other signs
    ]
    begins, is_number = re.compile(r"\s*[=+\-@＝＋－＠]"), re.compile(r" *[+-]?[\d.]+")
    assert [one for one in cells if begins.match(one[1]) and not is_number.fullmatch(one[1])] == []
    assert sum("'=" in part for _, part in cells) > 5, "no formula came to any table"


def test_templates_escape_and_never_say_otherwise() -> None:
    assert environment().autoescape is True
    for template in sorted(TEMPLATES.rglob("*.j2")):
        text = template.read_text(encoding="utf-8")
        assert not re.search(r"\|\s*safe|%\s*autoescape|Markup", text), template.name
        assert not re.search(r"\sstyle=|\son[a-z]+=", text), f"{template.name}: the content security policy blocks this"
        unquoted = re.search(r"\s[\w:-]+=\{\{", text)
        assert unquoted is None, f"{template.name}: an attribute without quotes"
        assert text.count("\n") < 120, f"{template.name} is long: split it"


def test_markup_is_made_in_few_places() -> None:
    makers = {
        path.relative_to(TEMPLATES.parent).as_posix()
        for path in TEMPLATES.parent.rglob("*.py")
        if re.search(r"\bMarkup\(", path.read_text(encoding="utf-8"))
    }
    # tables, comparisons, marks and drawings escape each text themselves, data blocks what could end them; formulas and
    # charts are our own
    assert makers == {
        "table_html.py",
        "comparison_html.py",
        "drawings_html.py",
        "marks_html.py",
        "docstrings.py",
        "views/trend.py",
        "linked_data.py",
    }
