"""The page of ``lidoff mark`` in a real browser: with the mouse, with fingers, with the keyboard alone; saved into the record."""

import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from axe_playwright_python.sync_playwright import Axe

from lidoff.mark.desk import Desk
from lidoff.mark.entry import Entry
from lidoff.mark.server import DeskServer

pytestmark = pytest.mark.browser
TAGS = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], "resultTypes": ["violations"]}
MOVED_BY = 3e-3  # a pixel of the screen in this picture


@pytest.fixture
def desk(marked_entry: Path) -> Iterator[DeskServer]:
    server = DeskServer(Desk(Entry(marked_entry / "record.yaml", "entries/fernhollow/fh-65/record.yaml")))
    thread = threading.Thread(target=server.serve_until_closed, daemon=True)
    thread.start()
    yield server
    server.shutdown()
    server.server_close()


@pytest.fixture
def page(desk: DeskServer, open_page: Callable) -> Iterator[Any]:
    page = opened(open_page, desk)
    yield page
    assert page.problems == []


def opened(open_page: Callable, desk: DeskServer, **options: Any) -> Any:
    page = open_page(desk.url, **options)
    page.wait_for_function("() => document.querySelector('#picture').complete && document.querySelector('.box')")
    return page


def on_stage(page: Any, x: float, y: float) -> tuple[float, float]:
    """Where a point of the picture, as fractions, lies in the window."""
    box = page.locator("#picture").bounding_box()
    return box["x"] + x * box["width"], box["y"] + y * box["height"]


def drag(page: Any, start: tuple[float, float], end: tuple[float, float]) -> None:
    page.mouse.move(*on_stage(page, *start))
    page.mouse.down()
    page.mouse.move(*on_stage(page, (start[0] + end[0]) / 2, (start[1] + end[1]) / 2))
    page.mouse.move(*on_stage(page, *end))
    page.mouse.up()


def boxes(page: Any) -> dict[str, list[float]]:
    """Boxes of the picture on the stage by part, as their names for screen readers say."""
    script = """() => [...document.querySelectorAll(".box:not(.draft)")].map((g) => [
      g.getAttribute("aria-label").match(/Box of (\\w+)/)[1], [...g.getAttribute("aria-label").matchAll(/([\\d.]+) %/g)].map((m) => m[1] / 100)])"""
    return dict(page.evaluate(script))


def near(box: list[float], expected: list[float]) -> bool:
    return all(abs(one - other) < MOVED_BY for one, other in zip(box, expected, strict=True))


def saved(page: Any) -> None:
    page.get_by_role("button", name="Save").click()
    page.get_by_text("All saved").wait_for()


def record(folder: Path) -> dict:
    return yaml.safe_load((folder / "record.yaml").read_text(encoding="utf-8"))


def test_a_box_is_drawn_moved_resized_assigned_and_saved(page: Any, marked_entry: Path) -> None:
    before = (marked_entry / "record.yaml").read_text(encoding="utf-8")
    page.locator("#open").get_by_role("button", name="Q2").click()
    drag(page, (0.125, 0.167), (0.208, 0.256))
    assert near(boxes(page)["Q2"], [0.125, 0.167, 0.083, 0.089])
    drag(page, (0.16, 0.20), (0.26, 0.25))
    assert near(boxes(page)["Q2"], [0.225, 0.217, 0.083, 0.089])
    drag(page, (0.308, 0.306), (0.35, 0.40))
    assert near(boxes(page)["Q2"], [0.225, 0.217, 0.125, 0.183])
    page.get_by_label("Part", exact=True).select_option("U2")
    assert set(boxes(page)) == {"T1", "U2"}
    saved(page)
    after = (marked_entry / "record.yaml").read_text(encoding="utf-8")
    lines = [line for line in after.splitlines() if line not in before.splitlines()]
    assert len(lines) == 1 and "T1, box: [0.42, 0.31, 0.20, 0.28]}, {ref: U2" in lines[0]
    assert all(comment in after for comment in ("# the transformer alone so far", "# under the shield", "# these two"))
    (first, second) = record(marked_entry)["photos"][0]["callouts"]
    assert first["ref"] == "T1" and second["ref"] == "U2" and near(second["box"], [0.225, 0.217, 0.125, 0.183])


def test_the_next_part_follows_and_the_count_goes_down(page: Any) -> None:
    count = int(page.locator("#open-count").inner_text())
    first = page.locator("#open [aria-pressed=true] b").inner_text()
    drag(page, (0.1, 0.6), (0.2, 0.7))
    drag(page, (0.3, 0.6), (0.4, 0.7))
    assert int(page.locator("#open-count").inner_text()) == count - 2
    assert first in boxes(page) and len(boxes(page)) == 3
    assert page.locator("#open").get_by_text(first, exact=True).count() == 0


def test_two_presses_draw_a_box_without_dragging(page: Any) -> None:
    page.mouse.click(*on_stage(page, 0.1, 0.6))
    page.mouse.click(*on_stage(page, 0.25, 0.75))
    assert any(near(box, [0.1, 0.6, 0.15, 0.15]) for box in boxes(page).values())


def test_with_the_keyboard_alone(page: Any, marked_entry: Path) -> None:
    page.locator("#open").get_by_role("button", name="L1").focus()
    page.keyboard.press("Enter")
    page.locator("#stage").focus()
    page.keyboard.press("Enter")
    drawn = boxes(page)["L1"]
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    for _ in range(3):
        page.keyboard.press("Shift+ArrowDown")
    changed = boxes(page)["L1"]
    assert changed[0] > drawn[0] and changed[3] > drawn[3] and changed[1:3] == drawn[1:3]
    page.keyboard.press("Alt+ArrowLeft")
    assert boxes(page)["L1"][0] == pytest.approx(changed[0] - 1 / 1200, abs=6e-4)
    page.keyboard.press("Tab")
    page.keyboard.press("Control+s")
    page.get_by_text("All saved").wait_for()
    assert {one["ref"] for one in record(marked_entry)["photos"][0]["callouts"]} == {"T1", "L1"}
    page.locator(".box", has_text="L1").focus()
    page.keyboard.press("Delete")
    assert set(boxes(page)) == {"T1"}
    assert page.evaluate("document.activeElement.id") == "stage"


def test_every_control_is_reached_and_shows_that_it_is(page: Any) -> None:
    page.evaluate("document.body.focus()")
    reached = set()
    for _ in range(60):
        page.keyboard.press("Tab")
        reached.add(
            page.evaluate(
                "document.activeElement.id || document.activeElement.dataset.tool || document.activeElement.className.baseVal || document.activeElement.className"
            )
        )
    assert {"stage", "box", "shift", "known", "card", "length", "smaller", "larger", "fit", "part"} <= {
        one.split(" ")[0] for one in reached
    }


def test_undo_and_redo(page: Any) -> None:
    drag(page, (0.1, 0.6), (0.2, 0.7))
    page.keyboard.press("Shift+ArrowRight")
    page.get_by_role("button", name="Undo").click()
    page.keyboard.press("Control+z")
    assert set(boxes(page)) == {"T1"}
    assert page.get_by_role("button", name="Undo").is_disabled()
    page.get_by_text("All saved").wait_for()
    page.keyboard.press("Control+Shift+z")
    assert len(boxes(page)) == 2
    page.get_by_role("button", name="Undo").click()


def test_undo_goes_back_behind_a_save(page: Any, marked_entry: Path) -> None:
    drag(page, (0.1, 0.6), (0.2, 0.7))
    saved(page)
    page.keyboard.press("Control+z")
    saved(page)
    assert [one["ref"] for one in record(marked_entry)["photos"][0]["callouts"]] == ["T1"]


def test_a_box_inside_another_and_the_view_larger(page: Any) -> None:
    drag(page, (0.45, 0.35), (0.55, 0.45))  # inside the transformer's box, which is not chosen
    assert len(boxes(page)) == 2
    page.keyboard.press("Escape")
    page.mouse.click(*on_stage(page, 0.44, 0.33))
    assert page.locator(".box.chosen text").text_content() == "T1"
    page.mouse.move(*on_stage(page, 0.2, 0.2))
    point = on_stage(page, 0.2, 0.2)
    page.mouse.wheel(0, -600)
    page.wait_for_timeout(50)
    assert page.locator("#zoom").inner_text() != "100 %"
    assert on_stage(page, 0.2, 0.2) == pytest.approx(point, abs=1)
    page.get_by_role("button", name="Whole").click()


def test_boxes_of_other_pictures_are_found(page: Any, marked_entry: Path) -> None:
    page.locator("#else").get_by_role("button", name="U1").click()
    assert set(boxes(page)) == {"Q1", "C1", "U1"} and page.locator(".box.chosen text").text_content() == "U1"
    page.get_by_role("button", name="Take this box out").click()
    assert page.locator("#open b", has_text="U1").count() == 1
    saved(page)
    after = (marked_entry / "record.yaml").read_text(encoding="utf-8")
    assert "# under the shield" in after and "# these two are hard" in after
    assert [one["ref"] for one in record(marked_entry)["photos"][1]["callouts"]] == ["Q1", "C1"]


def test_a_record_that_changed_meanwhile_is_refused_and_nothing_is_lost(page: Any, marked_entry: Path) -> None:
    file = marked_entry / "record.yaml"
    drag(page, (0.1, 0.6), (0.2, 0.7))
    drawn = boxes(page)
    text = file.read_text(encoding="utf-8")
    # somebody else has changed a comment and moved the transformer's box, which was not touched here
    meanwhile = text.replace("# taken on one day", "# taken on two days").replace(
        "0.31, 0.20, 0.28", "0.31, 0.22, 0.28"
    )
    file.write_text(meanwhile, encoding="utf-8")
    page.get_by_role("button", name="Save").click()
    page.get_by_text("The record has changed on the disk").wait_for()
    page.problems.clear()  # the browser tells of the refusal in its console
    assert file.read_text(encoding="utf-8") == meanwhile and boxes(page) == drawn
    page.get_by_role("button", name="Put my marks over it").click()
    page.locator("#notice").wait_for(state="hidden")
    assert boxes(page) == drawn | {"T1": [0.42, 0.31, 0.22, 0.28]}
    saved(page)
    after = file.read_text(encoding="utf-8")
    assert "# taken on two days" in after and "{ref: T1, box: [0.42, 0.31, 0.22, 0.28]}" in after
    assert len(record(marked_entry)["photos"][0]["callouts"]) == 2


def test_what_both_have_changed_is_told(page: Any, marked_entry: Path) -> None:
    file = marked_entry / "record.yaml"
    page.locator(".box", has_text="T1").focus()
    page.keyboard.press("ArrowRight")
    mine = boxes(page)
    file.write_text(file.read_text(encoding="utf-8").replace("0.31, 0.20, 0.28", "0.31, 0.22, 0.28"), encoding="utf-8")
    page.keyboard.press("Control+s")
    page.get_by_role("button", name="Put my marks over it").click()
    page.get_by_text("photos/board-top.jpg: T1").wait_for()
    page.problems.clear()
    assert boxes(page) == mine
    saved(page)
    assert near(record(marked_entry)["photos"][0]["callouts"][0]["box"], mine["T1"])


def test_lengths_from_a_known_length_and_from_a_card(page: Any, marked_entry: Path) -> None:
    # the board is 600 by 400 pixels; 600 pixels are 52 mm
    page.get_by_role("button", name="Known length", exact=True).click()
    for x, y in ((100, 100), (700, 100)):
        page.mouse.click(*on_stage(page, x / 1200, y / 900))
    page.get_by_label("Known length (mm)").fill("52")
    page.get_by_role("button", name="Measure", exact=True).click()
    for x, y in ((100, 100), (100, 500)):
        page.mouse.click(*on_stage(page, x / 1200, y / 900))
    page.locator("#reading .value").wait_for()
    value, spread = (
        float(one) for one in page.locator("#reading .value").inner_text().removesuffix(" mm").split(" ± ")
    )
    assert value == pytest.approx(52 * 400 / 600, abs=0.2) and 0.1 < spread < 0.3
    page.get_by_role("button", name="Keep as its width").click()
    page.locator("#kept").get_by_text("Kept of board main: width").wait_for()
    saved(page)
    (photo, board) = record(marked_entry)["photos"][0], record(marked_entry)["boards"][0]
    assert photo["scale"]["length_mm"] == 52 and photo["scale"]["picture_px"] == [1200, 900]
    assert board["in_photo"]["file"] == "photos/board-top.jpg" and len(board["in_photo"]["width"]) == 2
    page.locator("#pictures").get_by_role("button", name="board-bottom.jpg").click()
    page.get_by_role("button", name="Card", exact=True).click()
    for x, y in ((700, 820), (700, 550), (1128, 550), (1128, 820)):  # begins with a short edge: put right by itself
        page.mouse.click(*on_stage(page, x / 1200, y / 900))
    page.get_by_role("button", name="Measure", exact=True).click()
    for x, y in ((100, 300), (700, 300)):
        page.mouse.click(*on_stage(page, x / 1200, y / 900))
    page.get_by_text("By a card in the picture").wait_for()
    value = float(page.locator("#reading .value").inner_text().split(" ± ")[0])
    assert value == pytest.approx(600 * 85.60 / 428, rel=0.01)
    saved(page)
    corners = record(marked_entry)["photos"][1]["card"]["corners"]
    assert abs(corners[0][0] - corners[1][0]) > 0.3 and corners[0][1] == pytest.approx(corners[1][1], abs=0.01)


def test_points_with_the_keyboard(page: Any) -> None:
    page.get_by_role("button", name="Measure", exact=True).click()
    page.locator("#stage").focus()
    page.keyboard.press("Enter")
    for _ in range(10):
        page.keyboard.press("ArrowRight")
    page.locator("#stage").focus()
    page.keyboard.press("Enter")
    page.get_by_text("px", exact=False).first.wait_for()
    assert page.locator(".point").count() == 2


def test_fingers_draw_and_two_of_them_shift_the_view(desk: DeskServer, open_page: Callable) -> None:
    page = opened(open_page, desk, width=390, has_touch=True)
    client = page.context.new_cdp_session(page)

    def touch(kind: str, *points: tuple[float, float]) -> None:
        client.send(
            "Input.dispatchTouchEvent",
            {"type": kind, "touchPoints": [{"x": x, "y": y, "id": at} for at, (x, y) in enumerate(points)]},
        )

    page.locator("#stage").scroll_into_view_if_needed()
    touch("touchStart", on_stage(page, 0.1, 0.6))
    touch("touchMove", on_stage(page, 0.2, 0.7))
    touch("touchMove", on_stage(page, 0.3, 0.8))
    touch("touchEnd")
    assert len(boxes(page)) == 2
    size = page.locator("#picture").bounding_box()["width"]
    touch("touchStart", on_stage(page, 0.4, 0.5), on_stage(page, 0.6, 0.5))
    touch("touchMove", on_stage(page, 0.3, 0.5), on_stage(page, 0.7, 0.5))
    touch("touchEnd")
    assert page.locator("#picture").bounding_box()["width"] > 1.5 * size
    assert len(boxes(page)) == 2 and page.problems == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_what_was_drawn_stays_when_lidoff_ends(marked_entry: Path, open_page: Callable) -> None:
    # another process, since a server that ends here would leave its threads behind
    program = [sys.executable, "-m", "lidoff", "mark", str(marked_entry), "--no-browser"]
    with subprocess.Popen(program, stdout=subprocess.PIPE, text=True) as running:
        page = open_page(running.stdout.readline().strip())
        page.wait_for_function("() => document.querySelector('.box')")
        drag(page, (0.1, 0.6), (0.2, 0.7))
        running.send_signal(signal.SIGINT)
        assert running.wait(10) == 0
        assert "nothing was saved" in running.stdout.read()
    page.get_by_text("Lidoff no longer runs").wait_for()
    assert '- {ref: "T1", box: [0.42, 0.31, 0.2, 0.28]}' in page.get_by_label("Marks as text").input_value()
    assert len(boxes(page)) == 2


@pytest.mark.long
def test_the_desk_ends_when_its_page_is_closed(desk: DeskServer, open_page: Callable) -> None:
    page = opened(open_page, desk)
    page.reload()
    page.wait_for_function("() => document.querySelector('.box')")
    page.wait_for_timeout(5000)
    assert not desk.desk.watch.is_over()
    page.close(run_before_unload=True)
    for _ in range(80):
        if desk.desk.watch.is_over():
            break
        threading.Event().wait(0.1)
    assert desk.desk.watch.is_over()


@pytest.mark.parametrize(
    ("colours", "width"),
    [
        ("light", 1280),
        ("dark", 390),
        *(pytest.param(*other, marks=pytest.mark.long) for other in (("dark", 1280), ("light", 390))),
    ],
)
def test_no_criterion_of_accessibility_is_broken(
    desk: DeskServer, open_page: Callable, colours: str, width: int
) -> None:
    page = opened(open_page, desk, width=width, colours=colours, bypass_csp=True)
    page.locator(".box", has_text="T1").focus()
    page.keyboard.press("Enter")
    page.evaluate(Axe().axe_script)
    for tool in ("box", "known", "card"):
        page.locator(f"[data-tool={tool}]").click()
        found = page.evaluate("options => axe.run(document, options)", TAGS)
        assert found["violations"] == [], tool
    assert page.evaluate("document.documentElement.scrollWidth") <= width
