"""Charts: well-formed SVG that a strict content security policy lets through, with text, links and nothing random."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest

from lidoff.entry import Entry
from lidoff.rows.tiers import tier_text
from lidoff.trends.canvas import WIDTH, Drawing, text_width
from lidoff.trends.charts import draw_chart, has_chart
from lidoff.trends.frames import Frames
from lidoff.trends.palette import COLOURS
from lidoff.trends.point_chart import MOST_DRAWN, MOST_LINKED
from lidoff.trends.tables import TABLES, build_table

CollectionOf = Callable[[int, int], tuple[Entry, ...]]
FramesOf = Callable[[Sequence[Entry]], Frames]
NAMES = [name for name in TABLES if has_chart(name)]
LINK = (
    r"\.\./\.\./(products/[a-z-]+/m-\d+/|tiers/[a-z0-9-]+/|makers/[a-z-]+/|parts/[a-z-]+/[a-z0-9-]+/"
    r"|products/\?year=\d{4}(&(protocol|technology)=\w+)?)"
)
SVG = "{http://www.w3.org/2000/svg}"
# elements and attributes that a page's policy, a reader's script blocker and its fonts have no say in
ELEMENTS = {"svg", "title", "desc", "defs", "pattern", "g", "a", "rect", "path", "line", "text"}
ATTRIBUTES = {
    "class", "viewBox", "width", "height", "role", "aria-labelledby", "aria-describedby", "id", "href", "transform",
    "d", "x", "y", "x2", "y2", "fill", "fill-opacity", "stroke", "stroke-width", "stroke-dasharray", "text-anchor",
    "pointer-events", "font-size", "font-weight", "patternUnits", "patternTransform",
}  # fmt: skip


def link(address: str) -> str:
    return f"../..{address}"


@pytest.fixture(scope="module")
def frames(make_collection: CollectionOf, frames_of: FramesOf) -> Frames:
    return frames_of(make_collection(90, 5))


@pytest.fixture(scope="module")
def drawings(frames: Frames) -> dict[str, Drawing]:
    return {name: draw_chart(frames, build_table(frames, name), link) for name in NAMES}


def texts(svg: str) -> list[str]:
    return [element.text or "" for element in ET.fromstring(svg).iter(f"{SVG}text")]


def test_the_asked_for_tables_have_charts() -> None:
    asked = {"technology-by-tier", "topology-by-tier", "density-by-year", "bulk-by-tier", "efficiency-margin-by-tier"}
    asked |= {"voltage-steps-by-tier", "adoption-by-year", "makers-by-function", "controller-years"}
    assert asked <= set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_nothing_in_it_needs_a_style_a_script_a_font_or_another_host(drawings: dict[str, Drawing], name: str) -> None:
    root = ET.fromstring(drawings[name].svg)
    for element in root.iter():
        assert element.tag.removeprefix(SVG) in ELEMENTS
        assert element.attrib.keys() <= ATTRIBUTES, element.tag
        for value in element.attrib.values():
            assert "://" not in value
            assert "javascript" not in value
    assert root.get("width") == "100%"
    assert re.fullmatch(rf"0 0 {WIDTH} \d+", root.get("viewBox"))


@pytest.mark.parametrize("name", NAMES)
def test_every_paint_is_a_property_of_the_page_or_a_pattern_of_the_chart(
    drawings: dict[str, Drawing], name: str
) -> None:
    root = ET.fromstring(drawings[name].svg)
    patterns = {pattern.get("id") for pattern in root.iter(f"{SVG}pattern")}
    paints = {element.get(paint) for element in root.iter() for paint in ("fill", "stroke")} - {None, "none"}
    known = {f"var(--{colour}, {values[0]})" for colour, values in COLOURS.items()} | {
        f"url(#{pattern})" for pattern in patterns
    }
    assert paints <= known
    assert len(paints) > 3


@pytest.mark.parametrize("name", NAMES)
def test_it_has_a_name_a_description_and_ids_of_its_own(drawings: dict[str, Drawing], name: str) -> None:
    root = ET.fromstring(drawings[name].svg)
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert root.get("aria-labelledby") == title.get("id")
    assert root.get("aria-describedby") == description.get("id")
    assert title.text
    assert drawings[name].caption in description.text
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    assert all(one.startswith(f"chart-{name}-") for one in ids)


def test_ids_of_several_charts_on_a_page_never_clash(drawings: dict[str, Drawing]) -> None:
    ids = [one for drawing in drawings.values() for one in re.findall(r' id="([^"]+)"', drawing.svg)]
    assert len(ids) == len(set(ids)) > len(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_links_are_written_by_the_page_and_named(drawings: dict[str, Drawing], name: str) -> None:
    root = ET.fromstring(drawings[name].svg)
    anchors = list(root.iter(f"{SVG}a"))
    if name == "technology-by-year":
        assert not anchors
        assert root.get("role") == "img"
        return
    assert root.get("role") == "group"
    for anchor in anchors:
        assert re.fullmatch(LINK, anchor.get("href"))
        assert anchor[0].tag == f"{SVG}title"
        assert anchor[0].text
    assert anchors


def test_words_over_a_linked_bar_let_the_click_through(drawings: dict[str, Drawing]) -> None:
    root = ET.fromstring(drawings["technology-by-tier"].svg)
    groups = [group for group in root.iter() if group.get("pointer-events") == "none"]
    through = {id(element) for group in groups for element in group.iter()}
    words = [
        element for element in root.iter(f"{SVG}text") if re.fullmatch(r"(GaN|silicon|undetermined) \d+", element.text)
    ]
    assert len(words) > 3
    assert all(id(element) in through for element in words)
    assert not [anchor for anchor in root.iter(f"{SVG}a") if id(anchor) in through]


def test_each_product_with_a_value_is_one_linked_mark(frames: Frames, drawings: dict[str, Drawing]) -> None:
    known = frames.products.dropna(subset=["year", "power_density_w_per_cm3"])
    linked = re.findall(r'href="\.\./\.\./products/([^"]+)/"', drawings["density-by-year"].svg)
    assert sorted(linked) == sorted(known["slug"])


def test_a_bar_chart_says_its_counts_in_words(frames: Frames, drawings: dict[str, Drawing]) -> None:
    table = build_table(frames, "technology-by-tier")
    written = texts(drawings["technology-by-tier"].svg)
    for column, total in zip(table.columns, table.column_totals, strict=True):
        assert (tier_text(column) in written) == (total > 0)
        assert total == 0 or f"n = {total}" in written
    assert {row.label for row in table.rows if any(cell.value for cell in row.cells)} <= set(written)
    marks = re.findall(r"<title>([^<]+), 46–67 W: (\d+) of (\d+) products</title>", drawings["technology-by-tier"].svg)
    expected = {row.label: table.cell(row.label, "46-67 W").value for row in table.rows}
    assert {label: int(count) for label, count, _ in marks} == {
        label: count for label, count in expected.items() if count
    }


def test_shares_are_drawn_only_of_ten_platforms_or_more(make_entry: Callable[..., Entry], frames_of: FramesOf) -> None:
    def drawn(count: int) -> Drawing:
        entries = [make_entry(f"fernhollow/a{place}") for place in range(30)]
        entries += [make_entry(f"fernhollow/b{place}", {"product": {"rated_power_w": 30}}) for place in range(count)]
        entries += [make_entry("fernhollow/c", {"product": {"rated_power_w": 140}})]
        frames = frames_of(entries)
        return draw_chart(frames, build_table(frames, "topology-by-tier"), link)

    few, enough = drawn(9), drawn(10)
    assert not [text for text in texts(few.svg) if "%" in text]
    assert "100 %" in texts(enough.svg)
    assert "Too few designs for a share: 101–140 W (1)." in enough.caption
    assert "101–140 W" not in texts(enough.svg)


def test_one_product_does_not_fill_the_axis(make_entry: Callable[..., Entry], frames_of: FramesOf) -> None:
    frames = frames_of([make_entry()])
    drawing = draw_chart(frames, build_table(frames, "topology-by-tier"), link)
    assert "5" in texts(drawing.svg)
    assert drawing.caption.startswith("Numbers of products")


@pytest.mark.parametrize("name", NAMES)
def test_no_text_leaves_the_drawing(drawings: dict[str, Drawing], name: str) -> None:
    root = ET.fromstring(drawings[name].svg)
    height = float(root.get("viewBox").split()[3])
    for x, y, element, inherited in placed(root, 0.0, 0.0, {}):
        if element.tag != f"{SVG}text":
            continue
        width = text_width(element.text or "", float(inherited["font-size"]))
        start = x - {"middle": width / 2, "end": width}.get(inherited.get("text-anchor"), 0)
        assert start >= -1, element.text
        assert start + width <= WIDTH + 1, element.text
        assert 0 <= y <= height, element.text


def placed(
    element: ET.Element, x: float, y: float, inherited: dict[str, str]
) -> list[tuple[float, float, ET.Element, dict[str, str]]]:
    """Every element with its place and the attributes that hold for it."""
    for dx, dy in re.findall(r"translate\(([-\d.e]+),([-\d.e]+)\)", element.get("transform", "")):
        x, y = x + float(dx), y + float(dy)
    holding = {**inherited, **element.attrib}
    return [(x, y, element, holding), *(one for child in element for one in placed(child, x, y, holding))]


def test_the_same_products_give_the_same_bytes(
    make_collection: CollectionOf, frames_of: FramesOf, drawings: dict[str, Drawing]
) -> None:
    again = frames_of(tuple(reversed(make_collection(90, 5))))
    for name in NAMES:
        assert draw_chart(again, build_table(again, name), link) == drawings[name], name


def test_there_is_no_chart_of_nothing_and_none_of_a_table_without_one(frames: Frames, frames_of: FramesOf) -> None:
    empty = frames_of([])
    assert [draw_chart(empty, build_table(empty, name), link) for name in NAMES] == [None] * len(NAMES)
    assert draw_chart(frames, build_table(frames, "controllers"), link) is None


def test_a_part_or_maker_may_have_any_name(make_collection: CollectionOf, frames_of: FramesOf) -> None:
    # names that every object of JavaScript has: the drawing library fails where one stands for a row
    odd = ("constructor", "toString", "__proto__", "valueOf")

    def renamed(entry: Entry, place: int) -> Entry:
        name = odd[place % len(odd)]
        parts = [replace(one, maker=name, part_number=name) if one.maker else one for one in entry.record.components]
        return replace(entry, record=replace(entry.record, components=tuple(parts)))

    frames = frames_of([renamed(entry, place) for place, entry in enumerate(make_collection(40, 5))])
    for name in ("makers-by-function", "controller-years"):
        written = " ".join(texts(draw_chart(frames, build_table(frames, name), link).svg))
        assert "constructor" in written and "toString" in written


def test_names_from_records_are_escaped(make_entry: Callable[..., Entry], frames_of: FramesOf) -> None:
    name = '<script>alert("1")</script> & "x"'
    entry = make_entry(
        "fernhollow/x", {"product": {"brand": name, "model": "</svg>"}}, {"power_density_w_per_cm3": 1.0}
    )
    svg = draw_chart(frames_of([entry]), build_table(frames_of([entry]), "density-by-year"), link).svg
    assert "<script" not in svg
    assert any(name in (element.text or "") for element in ET.fromstring(svg).iter(f"{SVG}title"))


def test_very_many_products_are_drawn_without_links_and_thinned(
    make_entry: Callable[..., Entry], frames_of: FramesOf
) -> None:
    count = 2 * MOST_DRAWN + 1
    entry = make_entry("fernhollow/x", figures={"power_density_w_per_cm3": 1.0, "bulk_uf_per_w": 1.5})
    frames = frames_of(
        [Entry(entry.path, f"fernhollow/x{place}", entry.record, entry.figures) for place in range(count)]
    )
    drawing = draw_chart(frames, build_table(frames, "bulk-by-tier"), link)
    assert count > MOST_LINKED
    assert "<a " not in drawing.svg
    assert f"{-(-count // 3)} of {count} products are drawn" in drawing.caption
    assert len(drawing.svg) < 300_000
