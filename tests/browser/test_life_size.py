"""Bodies at one scale: by address, ready-made, and on paper, where a millimetre must be a millimetre."""

import io
import math
from collections.abc import Callable, Iterable
from typing import Any

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser
POINTS_PER_MM = 72 / 25.4  # a PDF's unit is 1/72 inch, ISO 32000-1, 8.3.2.3
WITHIN_MM = 0.2
STROKE_MM = 0.5  # a dashed line is printed as its outline, which is half a stroke larger on each side
CARD_MM = (85.60 + STROKE_MM, 53.98 + STROKE_MM)  # ISO/IEC 7810, ID-1
CELL_MM = (14.5 + STROKE_MM, 49.5 + STROKE_MM)  # IEC 60086-2, R6, without its pole
Box = tuple[float, float, float, float]


@pytest.fixture
def slugs(site: Any) -> list[str]:
    """Published products whose body and boards were measured."""
    measured = [slug for slug, record in site.records.items() if (record.get("measured") or {}).get("body_mm")]
    small = [slug for slug in measured if max(site.records[slug]["measured"]["body_mm"]["size"]) < 140]
    return sorted(slug for slug in small if any(board.get("size_mm") for board in site.records[slug].get("boards", ())))


@pytest.fixture
def at_scale(visit: Any) -> Callable[..., Any]:
    """Opens the page for some products and waits for their drawings."""

    def at_scale(slugs: Iterable[str], **options: Any) -> Any:
        page = visit("scale/?" + "&".join(f"p={slug}" for slug in slugs), **options)
        page.locator("[data-life-size] > *").first.wait_for()
        return page

    return at_scale


def printed_boxes(pdf: bytes) -> list[Box]:
    """Left, bottom, right and top in mm of every path of a PDF, as it stands on its sheet."""
    from pypdf import PdfReader

    boxes: list[Box] = []
    points: list[tuple[float, float]] = []

    def seen(operator: bytes, operands: list[Any], matrix: list[float], text_matrix: list[float]) -> None:
        numbers = [float(one) for one in operands] if operator in (b"re", b"m", b"l", b"c", b"v", b"y") else []
        if operator == b"re":
            x, y, width, height = numbers
            numbers = [x, y, x + width, y + height]
        for x, y in zip(numbers[::2], numbers[1::2], strict=True):
            a, b, c, d, e, f = matrix
            points.append((a * x + c * y + e, b * x + d * y + f))
        if operator in (b"S", b"s", b"f", b"f*", b"B", b"B*", b"b", b"b*", b"n") and points:
            xs, ys = [x / POINTS_PER_MM for x, _ in points], [y / POINTS_PER_MM for _, y in points]
            boxes.append((min(xs), min(ys), max(xs), max(ys)))
            points.clear()

    for sheet in PdfReader(io.BytesIO(pdf)).pages:
        sheet.extract_text(visitor_operand_before=seen)
    return boxes


def has_size(boxes: Iterable[Box], size: Iterable[float]) -> bool:
    wide, high = size
    near = (math.hypot(right - left - wide, top - bottom - high) for left, bottom, right, top in boxes)
    return min(near) <= WITHIN_MM


def test_the_address_puts_products_at_one_scale(slugs: list[str], site: Any, at_scale: Any) -> None:
    page = at_scale(slugs[:3])
    assert page.locator(".lf-one figcaption a").all_inner_texts() == list(map(site.title, slugs[:3]))
    per_mm = set()
    for place, slug in enumerate(slugs[:3]):
        size = sorted(site.records[slug]["measured"]["body_mm"]["size"])
        face = page.locator(".lf-one").nth(place).locator(".lf-face rect").evaluate(
            """(rect) => { const box = rect.getBBox(), matrix = rect.getScreenCTM();
               return [box.width, box.height, matrix.a, matrix.d]; }"""
        )  # fmt: skip
        assert face[:2] == pytest.approx([size[2], size[1]], abs=0.01)
        per_mm |= {round(face[2], 3), round(face[3], 3)}
    assert sorted(per_mm) == [pytest.approx(96 / 25.4, rel=1e-3)], (
        "one scale for all, that of a millimetre in style sheets"
    )


def test_products_are_added_left_out_and_told_when_unknown(slugs: list[str], site: Any, at_scale: Any) -> None:
    page = at_scale([slugs[0]])
    field = page.get_by_label("Add a product")
    field.focus()
    expect(page.locator("datalist option")).to_have_count(len(site.records))
    field.fill(site.title(slugs[1]))
    field.press("Enter")
    expect(page.locator(".lf-one")).to_have_count(2)
    assert page.url == f"{site.url}scale/?p={slugs[0]}&p={slugs[1]}"
    page.get_by_role("button", name=f"Leave out {site.title(slugs[0])}", exact=True).click()
    expect(page.locator(".lf-one")).to_have_count(1)
    assert page.url == f"{site.url}scale/?p={slugs[1]}"


def test_an_unknown_product_is_told(slugs: list[str], at_scale: Any) -> None:
    page = at_scale([slugs[0], "no/such-one", "../../x"])
    expect(page.get_by_text("No such product here: no/such-one.")).to_be_visible()
    expect(page.locator(".lf-one")).to_have_count(1)
    assert all("404" in complaint for complaint in page.complaints)
    page.complaints.clear()


def test_a_ready_made_set_needs_no_script(site: Any, visit: Any) -> None:
    address = site.of_kind("life-size-set")[0]
    page = visit(address, java_script_enabled=False)
    assert page.locator(".lf-one svg .lf-face").count() >= 2
    expect(page.locator(".lf-ruler svg")).to_be_visible()


def test_pages_lead_there(slugs: list[str], visit: Any) -> None:
    page = visit(f"products/{slugs[0]}/")
    page.get_by_role("link", name="Set it beside others at one scale").click()
    page.locator(".lf-one svg").wait_for()
    page = visit(f"compare/?p={slugs[0]}&p={slugs[1]}")
    page.get_by_role("link", name="See them side by side in life size").click()
    expect(page.locator(".lf-one svg")).to_have_count(2)


def test_paper_shows_life_size(slugs: list[str], site: Any, at_scale: Any) -> None:
    """The ruler is 100 mm long; bodies, boards, card and cell have their size in the PDF's own units."""
    page = at_scale(slugs[:3])
    boxes = printed_boxes(page.pdf(prefer_css_page_size=True))
    ruler = [right - left for left, bottom, right, top in boxes if 95 < right - left < 106 and 4 < top - bottom < 8]
    assert ruler == [pytest.approx(100, abs=WITHIN_MM)]
    assert has_size(boxes, CARD_MM) and has_size(boxes, CELL_MM)
    for slug in slugs[:3]:
        record = site.records[slug]
        depth, width, length = sorted(record["measured"]["body_mm"]["size"])
        assert has_size(boxes, (length, width)) and has_size(boxes, (depth, width)), slug
        for board in record["boards"]:
            if board.get("size_mm"):
                assert has_size(boxes, sorted(board["size_mm"], reverse=True)), (slug, board["id"])
    assert all(left > 5 and right < 205 for left, _, right, _ in boxes if right - left < 200), "within the sheet"


def test_paper_shows_a_ready_made_set_and_a_product_page_in_life_size(slugs: list[str], site: Any, visit: Any) -> None:
    page = visit(site.of_kind("life-size-set")[0], java_script_enabled=False)
    boxes = printed_boxes(page.pdf(prefer_css_page_size=True))
    assert has_size(boxes, CARD_MM) and any(abs(right - left - 100) <= WITHIN_MM for left, _, right, _ in boxes)
    page = visit(f"products/{slugs[0]}/")
    boxes = printed_boxes(page.pdf(format="A4", margin=dict.fromkeys(("left", "right", "top", "bottom"), "10mm")))
    depth, width, length = sorted(site.records[slugs[0]]["measured"]["body_mm"]["size"])
    assert has_size(boxes, (length, width)) and has_size(boxes, CARD_MM)
