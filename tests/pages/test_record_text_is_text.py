"""Text of a record is shown as it was written: whatever stands in it, no page gains an element or an attribute."""

import re
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from lidoff import pages
from lidoff.entry import Entry
from lidoff.figures.figure import Assumed, Corner, Figure, FigureInput, Figures
from lidoff.finding import Finding
from lidoff.pages.context import make_context
from lidoff.pages.environment import environment
from lidoff.pages.trend_tables import Trends
from lidoff.pages.website import plans
from lidoff.record.model import Record
from lidoff.settings import Settings

TEMPLATES = Path(pages.__file__).parent / "templates"
PLAIN = "Zq plain Zq"
PAYLOADS = (
    "<script>alert(1)</script>",
    "</script><script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "\"><svg onload=alert(1)>",
    "' onmouseover='alert(1)",
    "\" autofocus onfocus=\"alert(1)",
    "javascript:alert(1)",
    "</title><base href=//evil.example>",
    "</table></div></article><form action=//evil.example>",
    "--><script>alert(1)</script><!--",
    "]]><script>alert(1)</script>",
    "</svg><style>*{display:none}</style>",
    "</desc></title><foreignObject><iframe src=//evil.example>",
    "{{ 7 * 7 }}",
    "{% raw %}{{ view }}{% endraw %}",
    "&lt;b&gt;already escaped&lt;/b&gt;",
    "&#60;script&#62;alert(1)&#60;/script&#62;",
    "<a href=\"data:text/html,<script>alert(1)</script>\">x</a>",
    "<math><mtext></mtext><mglyph><svg><mtext><style><img src=x onerror=alert(1)></style>",
    "`${alert(1)}` \\u003cscript\\u003e",
)  # fmt: skip


def entry_of(record: Record, text: str, slug: str) -> Entry:
    """An entry with the text in its figures and findings too."""
    known = {"stored_energy_j": "J", "average_efficiency_pct": "%", "efficiency_limit_pct": "%", "turns_ratio": "1"}
    inputs, assumed = (FigureInput(text, 1.0, "V"),), (Assumed(text, 1.0, "V", text),)
    corner = Corner(text, 230.0, 50.0, 20.0)
    figures = [Figure(name, unit, 3.0, corner, 0.1, inputs, assumed, text, text) for name, unit in known.items()]
    absent = [Figure("inrush_peak_a", "A", absent=text), Figure("price_per_watt", f"{text}/W", 0.5)]
    finding = Finding("missing-file", "warning", "p", 1, 1, text, text, text, text, text, answer=text)
    return Entry(f"entries/{slug}/record.yaml", slug, record, Figures((*figures, *absent)), (finding,))


def site_of(
    text: str, filled: Callable[[str], Record], settings: Settings, wanted: Callable[[str], bool]
) -> dict[str, str]:
    """Pages of a site of two products that hold this text everywhere; an address stands for its section and number."""
    entries = [entry_of(filled(text), text, slug) for slug in ("brand-one/a", "brand-two/b")]
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


@pytest.fixture(scope="module")
def plain_site(filled: Callable[[str], Record], settings: Settings) -> dict[str, str]:
    return site_of(PLAIN, filled, settings, is_made_from_records)


@pytest.fixture(scope="module")
def plain_shapes(plain_site: dict[str, str], parse: Callable[[str], Any]) -> dict[str, Counter]:
    return {name: shape(parse(body)) for name, body in plain_site.items()}


@pytest.mark.parametrize("payload", PAYLOADS)
def test_no_page_gains_an_element_or_an_attribute(
    payload: str,
    filled: Callable[[str], Record],
    settings: Settings,
    plain_shapes: dict[str, Counter],
    parse: Callable[[str], Any],
) -> None:
    site = site_of(payload, filled, settings, is_light)
    for name, body in site.items():
        tree = parse(body)
        assert shape(tree) == plain_shapes[name], name
    text = "".join(parse(site["products 1"]).itertext())
    assert text.count(payload) > 100, "the text must be shown as it was written"


def test_nor_do_the_pages_of_tables_methods_and_checks(
    filled: Callable[[str], Record],
    settings: Settings,
    plain_shapes: dict[str, Counter],
    parse: Callable[[str], Any],
) -> None:
    everything = " ".join(PAYLOADS)
    site = site_of(everything, filled, settings, is_made_from_records)
    assert len(site) == len(plain_shapes) > 100
    for name, body in site.items():
        assert shape(parse(body)) == plain_shapes[name], name


def test_each_text_field_reaches_a_page(plain_site: dict[str, str]) -> None:
    # a payload test proves nothing for a template that never shows the field
    for name in ("products", "parts", "makers", "brands", "tiers", "compare", "trends"):
        assert any(PLAIN in body for key, body in plain_site.items() if key.startswith(f"{name} ")), name


def test_a_link_never_holds_a_record_s_text(plain_site: dict[str, str]) -> None:
    for name, body in plain_site.items():
        for target in re.findall(r'(?:href|src)="([^"]*)"', body):
            assert " " not in target or target.startswith("Zq plain"), f"{name}: {target}"


def test_templates_escape_and_never_say_otherwise() -> None:
    assert environment().autoescape is True
    for template in sorted(TEMPLATES.rglob("*.j2")):
        text = template.read_text(encoding="utf-8")
        assert not re.search(r"\|\s*safe|%\s*autoescape|Markup", text), template.name
        assert not re.search(r"\sstyle=|\son[a-z]+=", text), f"{template.name}: the content security policy blocks this"
        unquoted = re.search(r"=\{\{", text)
        assert unquoted is None, f"{template.name}: an attribute without quotes"
        assert text.count("\n") < 120, f"{template.name} is long: split it"


def test_markup_is_made_in_few_places() -> None:
    makers = {
        path.relative_to(TEMPLATES.parent).as_posix()
        for path in TEMPLATES.parent.rglob("*.py")
        if re.search(r"\bMarkup\(", path.read_text(encoding="utf-8"))
    }
    # tables and marks escape each text themselves; formulas and charts are drawn by ourselves
    assert makers == {"table_html.py", "marks_html.py", "docstrings.py", "views/trend.py"}
