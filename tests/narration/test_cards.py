"""Cards: their size, what they say, that the same entry gives the same bytes, and that nothing leaves the picture."""

import io
import xml.etree.ElementTree as ET
from collections.abc import Mapping
from dataclasses import replace

import pytest
from PIL import Image

from lidoff.entry import Entry
from lidoff.narration.cards.link import SHOWN
from lidoff.narration.cards.make import as_png, cards_of
from lidoff.narration.cards.pair import rows_of
from lidoff.narration.cards.sheet import BOTTOM, HEIGHT, WIDTH, wrapped
from lidoff.narration.placing import density_placing
from lidoff.settings import Settings
from lidoff.trends.canvas import text_width

SVG = "{http://www.w3.org/2000/svg}"
NAMES = {"plate", "ports", "size", "density", "chain", "parts", "link"}


def published(entries: Mapping[str, Entry]) -> tuple[Entry, ...]:
    return tuple(entry for entry in entries.values() if not entry.is_draft)


@pytest.fixture(scope="module")
def cards(demo_entries: dict[str, Entry], demo_settings: Settings) -> dict[str, Mapping[str, str]]:
    every = published(demo_entries)
    return {entry.slug: cards_of(entry, None, every, demo_settings.tiers_w)[0] for entry in every}


def test_every_published_product_has_its_cards(cards: dict[str, Mapping[str, str]]) -> None:
    assert all(set(found) == NAMES for found in cards.values()), {
        slug: NAMES - set(found) for slug, found in cards.items()
    }


def test_no_text_leaves_a_card(
    cards: dict[str, Mapping[str, str]], demo_entries: dict[str, Entry], demo_settings: Settings
) -> None:
    every = published(demo_entries)
    pairs = {
        one.slug: cards_of(one, other, every, demo_settings.tiers_w)[0]["pair"]
        for one, other in zip(every, every[1:], strict=False)
    }
    for slug, svg in [(slug, svg) for slug, found in cards.items() for svg in found.values()] + list(pairs.items()):
        for text in ET.fromstring(svg).iter(f"{SVG}text"):
            size, x, y = int(text.get("font-size")), float(text.get("x")), float(text.get("y"))
            width = text_width(text.text or "", size)
            left = x - {"start": 0.0, "middle": width / 2, "end": width}[text.get("text-anchor")]
            assert left >= 0 and left + width <= WIDTH + 1, (slug, text.text)
            assert size <= y <= max(BOTTOM + 24, 1044), (slug, text.text, y)


def test_a_picture_has_the_size_of_a_video(cards: dict[str, Mapping[str, str]]) -> None:
    picture = Image.open(io.BytesIO(as_png(cards["fernhollow/fh-65"]["size"])))
    assert picture.size == (WIDTH, HEIGHT)
    assert len(picture.convert("RGB").getcolors(1 << 24)) > 3
    assert Image.open(io.BytesIO(as_png(cards["fernhollow/fh-65"]["link"]))).size == (1200, 630)


def test_the_same_entry_gives_the_same_bytes(demo_entries: dict[str, Entry], demo_settings: Settings) -> None:
    entry, every = demo_entries["fernhollow/fh-65"], published(demo_entries)
    first, second = (cards_of(entry, None, every, demo_settings.tiers_w)[0] for _ in range(2))
    assert first == second
    assert as_png(first["chain"]) == as_png(second["chain"])


def test_every_card_of_invented_data_says_so(cards: dict[str, Mapping[str, str]]) -> None:
    assert all("All data is invented" in svg for found in cards.values() for svg in found.values())


def test_a_card_tells_what_it_draws_in_words(cards: dict[str, Mapping[str, str]]) -> None:
    described = {name: ET.fromstring(svg).findtext(f"{SVG}desc") for name, svg in cards["fernhollow/fh-65"].items()}
    assert "58" in described["size"] and "2.28" in described["size"]
    assert (
        "C1: printed 5 V 3 A, 9 V 3 A, 15 V 3 A, 20 V 3.25 A; offered 5 V 3 A, 9 V 3 A, 15 V 3 A, 20 V 3.25 A."
        in described["ports"]
    )
    assert "Quasi-resonant flyback" in described["chain"]
    assert described["link"].startswith("Power density: 0.931 W/cm³. Average efficiency, 230 V: ")


def test_the_size_is_drawn_to_scale(cards: dict[str, Mapping[str, str]]) -> None:
    """The body of 58 by 41.5 mm beside the card ID-1 of 85.60 by 53.98 mm (ISO/IEC 7810, from memory)."""
    boxes = [box for box in ET.fromstring(cards["fernhollow/fh-65"]["size"]).iter(f"{SVG}rect")]
    sizes = [(float(box.get("width")), float(box.get("height"))) for box in boxes]
    card = next(size for size in sizes if abs(size[0] / size[1] - 85.60 / 53.98) < 0.001)
    assert any(
        abs(size[0] / card[0] - 58 / 85.60) < 0.001 and abs(size[1] / card[1] - 41.5 / 53.98) < 0.001 for size in sizes
    )


def test_a_product_without_measures_loses_only_the_cards_that_need_them(
    demo_entries: dict[str, Entry], demo_settings: Settings
) -> None:
    entry = demo_entries["fernhollow/fh-65"]
    bare = replace(entry, record=replace(entry.record, measured=None, label=None, conversion=None, components=()))
    drawn, missing = cards_of(bare, None, (), demo_settings.tiers_w)
    assert set(missing) == {"plate", "size", "chain", "parts"}
    assert set(drawn) == {"ports", "density", "link"}


def test_the_placing_counts_the_products_of_the_tier(demo_entries: dict[str, Entry], demo_settings: Settings) -> None:
    every = published(demo_entries)
    placing = density_placing(demo_entries["fernhollow/fh-65"], every, demo_settings.tiers_w)
    members = [one for one in every if 45 < (one.record.product.rated_power_w or 0) <= 67]
    densities = sorted((one.figures.value("power_density_w_per_cm3") for one in members), reverse=True)
    assert [value for _, value in placing.values] == densities
    assert placing.denser == densities.index(demo_entries["fernhollow/fh-65"].figures.value("power_density_w_per_cm3"))


def test_wrapped_text_fits() -> None:
    assert all(
        text_width(line, 30) <= 300 for line in wrapped("some words of a label that is rather long " * 5, 300, 30)
    )


def test_the_link_card_asks_only_for_lines_that_there_are(demo_entries: dict[str, Entry]) -> None:
    assert set(SHOWN) <= {name for name, _ in rows_of(demo_entries["fernhollow/fh-65"])}


def test_a_gap_is_named_for_what_it_is(demo_entries: dict[str, Entry]) -> None:
    entry = demo_entries["fernhollow/fh-65"]
    said = dict(rows_of(replace(entry, record=replace(entry.record, measured=None, conversion=None))))
    assert said["Body"] == said["Mass"] == said["No load, 230 V"] == "not measured"
    assert said["Converter"] == "not recorded" and said["Rated power"] == "65\u00a0W"
