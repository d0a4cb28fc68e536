"""The palette: enough contrast on light and dark pages, and colours that colour-blind readers can tell apart."""

import math
from itertools import combinations

import pytest

from lidoff.trends.palette import COLOURS, SERIES, STAND_INS, Fill, fill_of, style_sheet

# WCAG 2.2, success criterion 1.4.11: 3 to 1 for graphical objects; 1.4.3: 4.5 to 1 for text (from memory)
GRAPHICAL, TEXT = 3.0, 4.5
# a just noticeable difference in OKLab is about 0.02 (from memory); areas in a key need several of them
DISTANCE = 0.1
# full dichromacy on linear RGB: Machado, Oliveira and Fernandes, 2009 (from memory)
VISION = {
    "usual": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "protanopia": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deuteranopia": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "tritanopia": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}
PAGES = {"light": 0, "dark": 1}


def linear(colour: str) -> tuple[float, ...]:
    parts = (int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5))
    return tuple(part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)


def contrast(one: str, other: str) -> float:
    light, dark = sorted(
        (sum(w * part for w, part in zip((0.2126, 0.7152, 0.0722), linear(c), strict=True)) for c in (one, other)),
        reverse=True,
    )
    return (light + 0.05) / (dark + 0.05)


def oklab(rgb: tuple[float, ...]) -> tuple[float, ...]:
    cone = (
        (0.4122214708, 0.5363325363, 0.0514459929),
        (0.2119034982, 0.6806995451, 0.1073969566),
        (0.0883024619, 0.2817188376, 0.6299787005),
    )
    lab = (
        (0.2104542553, 0.7936177850, -0.0040720468),
        (1.9779984951, -2.4285922050, 0.4505937099),
        (0.0259040371, 0.7827717662, -0.8086757660),
    )
    return applied(lab, tuple(max(part, 0.0) ** (1 / 3) for part in applied(cone, rgb)))


def applied(matrix: tuple, vector: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(sum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix)


def test_the_contrast_of_black_on_white_is_21() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("page", PAGES.values(), ids=PAGES)
def test_fills_and_text_stand_out_from_the_page(page: int) -> None:
    ground = COLOURS["chart-ground"][page]
    for name in (*SERIES, "chart-neutral"):
        assert contrast(COLOURS[name][page], ground) >= GRAPHICAL, name
    for name in ("chart-ink", "chart-quiet"):
        assert contrast(COLOURS[name][page], ground) >= TEXT, name


@pytest.mark.parametrize("page", PAGES.values(), ids=PAGES)
@pytest.mark.parametrize("vision", VISION)
def test_colours_can_be_told_apart(page: int, vision: str) -> None:
    seen = {name: oklab(applied(VISION[vision], linear(COLOURS[name][page]))) for name in (*SERIES, "chart-neutral")}
    for one, other in combinations(seen, 2):
        assert math.dist(seen[one], seen[other]) >= DISTANCE, (one, other)


def test_fifteen_groups_look_different_and_the_first_five_differ_in_pattern_too() -> None:
    fills = [fill_of(f"word {place}", place) for place in range(15)]
    assert len(set(fills)) == 15
    assert len({fill.pattern for fill in fills[:5]}) == 5


def test_words_that_say_why_nothing_is_known_keep_their_look() -> None:
    assert fill_of("undetermined", 0) == fill_of("undetermined", 9) != fill_of("not recorded", 9)
    assert fill_of("undetermined", 0).colour == "chart-neutral"


def test_each_fill_has_a_stand_in_of_its_own() -> None:
    assert len(STAND_INS) == len({fill.stand_in for fill in STAND_INS.values()})
    assert STAND_INS[Fill("chart-2", "dots").stand_in] == Fill("chart-2", "dots")


def test_the_style_sheet_defines_every_property_for_light_dark_print_and_forced_colours() -> None:
    sheet = style_sheet("html", "html[data-dark]")
    for name, (light, dark) in COLOURS.items():
        assert sheet.count(f"--{name}:") == 4
        assert f"--{name}: {light};" in sheet
        assert f"--{name}: {dark};" in sheet
    assert sheet.count("{") == sheet.count("}")
