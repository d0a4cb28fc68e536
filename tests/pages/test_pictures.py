"""Pictures on pages: which variants, what is said of them, marks that lead to the parts table, close-ups."""

import dataclasses
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.bench.picture_file import PictureFacts, PictureFault
from lidoff.entry import Entry
from lidoff.pages.context import make_context
from lidoff.pages.picture_plan import CLOSE_UP_LEAST, close_ups, cut, find_picture, picture_set, wanted
from lidoff.pages.website import build_website, render_product
from lidoff.record.model.picture import Callout, Photo
from lidoff.settings import Settings
from lidoff.website import Website

BASE = Path("/nowhere")
BOARD = Photo(
    "photos/board-top.jpg", "photo", "Top side of the board.", shows="board", board="main", side="top", credit="Ada <i>", license="CC-BY-4.0",
    callouts=(Callout("Q1", (0.42, 0.31, 0.10, 0.08)), Callout("C1", (0.1, 0.1, 0.2, 0.2))),
)  # fmt: skip


def facts(file: str, width: int = 2308, height: int = 1732, **more: Any) -> PictureFacts:
    return PictureFacts(file, 1000, **{"sha256": "ab" * 32, "format": "jpeg", "width": width, "height": height} | more)


@pytest.fixture(scope="module")
def with_photos(full_entry: Entry) -> Callable[..., Entry]:
    """The sample record with other pictures; of each the file is what the facts say."""

    def with_photos(*photos: Photo, pictures: Mapping[str, PictureFacts] | None = None) -> Entry:
        found = pictures if pictures is not None else {photo.file: facts(photo.file) for photo in photos}
        return dataclasses.replace(
            full_entry, record=dataclasses.replace(full_entry.record, photos=photos), pictures=found
        )

    return with_photos


@pytest.fixture(scope="module")
def body_of() -> Callable[[Entry], str]:
    def body_of(entry: Entry) -> str:
        return render_product(entry, make_context([entry], Settings(BASE / "mkdocs.yml"))).body

    return body_of


def bodies_of(website: Website) -> dict[str, str]:
    made = [piece.make()[0] for piece in website.pieces]
    return {page.address: page.body for page in (*website.pages, *made)}


def test_a_picture_comes_in_three_widths_and_as_jpeg(with_photos: Callable) -> None:
    entry = with_photos(BOARD)
    found = picture_set(entry, BOARD, BASE)
    assert [(one.path.rpartition(".")[2], one.size) for one in (*found.webp, found.jpeg)] == [
        ("webp", (480, 360)), ("webp", (1024, 768)), ("webp", (2048, 1537)), ("jpg", (1024, 768)),
    ]  # fmt: skip
    assert re.fullmatch(r"pictures/fernhollow/fh-65/board-top-[0-9a-f]{12}-480\.webp", found.webp[0].path)
    assert found.webp[0].source == f"{BASE}/entries/fernhollow/fh-65/photos/board-top.jpg"


@pytest.mark.parametrize(
    ("width", "widths"),
    [(5000, [480, 1024, 2048]), (1100, [480, 1100]), (1024, [480, 1024]), (500, [500]), (480, [480]), (3, [3])],
)
def test_no_variant_is_wider_than_its_master(width: int, widths: list[int], with_photos: Callable) -> None:
    entry = with_photos(BOARD, pictures={BOARD.file: facts(BOARD.file, width, 3)})
    assert [one.size[0] for one in picture_set(entry, BOARD, BASE).webp] == widths


def test_a_name_changes_with_the_picture(with_photos: Callable) -> None:
    names = {
        picture_set(
            with_photos(BOARD, pictures={BOARD.file: facts(BOARD.file, sha256=digest * 32)}), BOARD, BASE
        ).jpeg.path
        for digest in ("ab", "cd")
    }
    assert len(names) == 2


@given(st.tuples(*[st.floats(0, 1)] * 4), st.integers(1, 4000), st.integers(1, 4000))
def test_a_piece_lies_in_the_picture_is_never_too_small_and_holds_its_box(box: tuple, width: int, height: int) -> None:
    left, top, right, bottom = cut(box, width, height)
    assert 0 <= left < right <= width and 0 <= top < bottom <= height
    assert right - left >= min(width, CLOSE_UP_LEAST) and bottom - top >= min(height, CLOSE_UP_LEAST)
    assert left <= box[0] * width + 1 and right >= min(width, (box[0] + box[2]) * width) - 1


def test_close_ups_come_from_the_picture_that_shows_the_part_largest(with_photos: Callable) -> None:
    near = dataclasses.replace(BOARD, file="photos/near.jpg", callouts=(Callout("Q1", (0.2, 0.2, 0.6, 0.6)),))
    heat = dataclasses.replace(near, file="photos/heat.jpg", kind="thermal", callouts=(Callout("Q1", (0, 0, 1, 1)),))
    found = close_ups(with_photos(BOARD, heat, near), BASE)
    assert (found["Q1"].place, found["C1"].place) == (2, 0)
    assert max(found["Q1"].thumb.size) == 144 and max(found["Q1"].picture.size) == 480
    assert found["C1"].picture is None  # a part without a number has no page
    assert close_ups(with_photos(heat), BASE)["Q1"].place == 0


def test_boxes_that_show_nothing_make_no_marks(with_photos: Callable, body_of: Callable) -> None:
    odd = (Callout("Q1", (0.1, 0.1, 0, 0.2)), Callout("NONE1", (0.1, 0.1, 0.2, 0.2)))
    entry = with_photos(dataclasses.replace(BOARD, callouts=odd))
    assert close_ups(entry, BASE) == {}
    assert "lf-marks" not in body_of(entry) and "Close-up" not in body_of(entry)


def test_every_picture_that_pages_name_is_made(with_photos: Callable) -> None:
    body = dataclasses.replace(BOARD, file="photos/body.png", shows="body", callouts=())
    entry = with_photos(body, BOARD)
    website = build_website([entry], Settings(BASE / "mkdocs.yml"))
    bodies = bodies_of(website)
    named = set(re.findall(r"pictures/[^ \",]+", " ".join(bodies.values())))
    made = [one.path for one in website.pictures]
    assert named == set(made) and len(made) == len(set(made)) == 8 + 3
    for path in made:
        assert find_picture(path, [entry], BASE).path == path
    assert find_picture("pictures/fernhollow/fh-65/other.webp", [entry], BASE) is None
    assert find_picture("pictures/../x", [entry], BASE) is None


def test_a_picture_that_cannot_be_shown_is_described(with_photos: Callable, body_of: Callable) -> None:
    fault = PictureFault("no picture", "a picture", "take it out")
    for pictures in ({}, {BOARD.file: facts(BOARD.file, fault=fault)}, {BOARD.file: facts(BOARD.file, 9000, 9000)}):
        entry = with_photos(BOARD, pictures=pictures)
        assert "The picture photos/board-top.jpg can't be shown. It is described as: Top side of the board." in body_of(
            entry
        )
        assert "<img" not in body_of(entry) and list(wanted(entry, BASE)) == []


def test_only_the_first_picture_of_a_page_is_loaded_at_once(with_photos: Callable, body_of: Callable) -> None:
    label = dataclasses.replace(BOARD, file="photos/label.jpg", shows="label", callouts=())
    for photos in ((label, BOARD), (label, BOARD, dataclasses.replace(label, file="photos/body.jpg", shows="body"))):
        images = re.findall(r"<img[^>]*>", body_of(with_photos(*photos)))
        assert ["lazy" not in image for image in images] == [True, *[False] * (len(images) - 1)]
        assert all(re.search(r' width="\d+" height="\d+" ', image) for image in images)


def test_marks_lead_to_the_rows_of_their_parts_and_back(
    with_photos: Callable, body_of: Callable, parse: Callable
) -> None:
    tree = parse(body_of(with_photos(BOARD)))
    ids = {one.get("id") for one in tree.iter() if one.get("id")}
    rows = {thumb.get("data-mark"): row for row in tree.iter("tr") for thumb in row.iter("a") if thumb.get("data-mark")}
    for number, row in rows.items():
        assert f"part-{number}" in ids
        thumb = next(one for one in row.iter("a") if one.get("data-mark"))
        assert thumb.get("href") == f"#mark-1-{number}" and f"mark-1-{number}" in ids
    legend = next(one for one in tree.iter("ul") if one.get("class") == "lf-legend")
    said = {item[0].get("href"): " ".join("".join(item.itertext()).split()) for item in legend}
    refs = {f"#part-{number}": row[0].text for number, row in rows.items()}
    assert {href: words.split()[1] for href, words in said.items()} == refs
    assert sorted(refs.values()) == ["C1", "Q1"] and "bulk capacitor" in " ".join(said.values())


def test_a_part_is_marked_by_one_number_on_all_pictures(with_photos: Callable, body_of: Callable) -> None:
    other = dataclasses.replace(
        BOARD, file="photos/other.jpg", side="bottom", callouts=(Callout("Q1", (0.5, 0.5, 0.1, 0.1)),) * 2
    )
    body = body_of(with_photos(BOARD, other))
    number = re.search(r"<b>(\d)</b> <span>Q1<", body)[1]
    assert len(re.findall(rf'<a[^>]* href="#part-{number}" tabindex="-1"', body)) == 3
    assert body.count(f'id="mark-2-{number}"') == 1


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({}, "By Ada &lt;i&gt;, licence CC-BY-4.0."),
        ({"illustration": True}, "Illustration, not a photograph."),
        ({"illustration": True, "kind": "x-ray"}, "Illustration of an X-ray picture, not a photograph."),
        ({"kind": "thermal", "emissivity": 0.95, "scale_min_c": 25.0, "scale_max_c": 98.5, "ambient_c": 23.0},
         "Infrared picture. Emissivity set to 0.95, colours from 25\u00a0°C to 98.5\u00a0°C, air at 23\u00a0°C."),
        ({"kind": "x-ray", "tube_kv": 80.0}, "X-ray picture. Tube voltage 80\u00a0kV."),
        ({"kind": "microscope", "magnification": 40.0}, "Microscope picture. Magnified 40 times."),
        ({"kind": "waveform", "node": "drain of Q1", "volts_per_division_v": 100.0, "time_per_division_us": 2.0},
         "Oscilloscope trace. Node: drain of Q1, 100\u00a0V a division, 2\u00a0µs a division."),
        ({"credit": None}, "Licence CC-BY-4.0."),
    ],
)  # fmt: skip
def test_each_kind_says_what_one_must_know_to_read_it(
    more: dict, said: str, with_photos: Callable, body_of: Callable
) -> None:
    assert said in body_of(with_photos(dataclasses.replace(BOARD, **more)))


def test_a_part_page_shows_close_ups_with_credit(with_photos: Callable) -> None:
    website = build_website([with_photos(dataclasses.replace(BOARD, illustration=True))], Settings(BASE / "mkdocs.yml"))
    pages = bodies_of(website)
    body = pages["/parts/quillstone/qs650-r150/"]
    assert re.search(
        r'<img src="\.\./\.\./\.\./pictures/fernhollow/fh-65/board-top-[0-9a-f]{12}-[\d-]+-480\.jpg" width="\d+" height="\d+"',
        body,
    )
    assert 'alt="Close-up of Q1 in Fernhollow FH-65"' in body and "products/fernhollow/fh-65/#picture-1" in body
    assert "Illustration, not a photograph. By Ada &lt;i&gt;, licence CC-BY-4.0." in body
    assert [address for address, text in pages.items() if "lf-close-ups" in text] == ["/parts/quillstone/qs650-r150/"]
