"""The scripts stay small and never make markup of text; the style sheets stay readable in both colour schemes."""

import re
from pathlib import Path

import pytest

from lidoff import pages

ASSETS = Path(pages.__file__).parent / "assets"
SCRIPTS = sorted(ASSETS.rglob("*.js"))
STYLES = sorted((ASSETS / "css").glob("*.css"))
FRAME = Path(pages.__file__).parents[1] / "publish" / "theme" / "assets" / "frame" / "frame.css"
FORBIDDEN = (
    "innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval(", "new Function", ".style.",
    "http:", "https:",
)  # fmt: skip
TEXTS = ("--ink", "--ink-soft", "--soft", "--accent", "--copper", "--second", "--petrol")
LIGHT_DARK = re.compile(r"(--[a-z-]+): (?:var\([a-z-]+, )?light-dark\((#[0-9a-f]{6}), (#[0-9a-f]{6})\)")


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.name)
def test_a_script_is_short_and_makes_no_markup_of_text(script: Path) -> None:
    text = script.read_text(encoding="utf-8")
    assert text.count("\n") < 300
    for forbidden in FORBIDDEN:
        assert forbidden not in text.replace("http://www.w3.org/2000/svg", ""), forbidden
    assert text.startswith("// "), "the first line says what the script is for"


def test_there_are_scripts_and_styles_to_read() -> None:
    assert len(SCRIPTS) >= 6 and len(STYLES) >= 4


def luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.2, from its definition in sRGB."""
    channels = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4 for channel in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first: str, second: str) -> float:
    lighter, darker = sorted((luminance(first), luminance(second)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


# WCAG 2.2, criterion 1.4.3 and its definitions of contrast ratio and relative luminance (from memory):
# black on white is 21 to 1, #767676 on white just passes 4.5 to 1
def test_the_contrast_formula_meets_its_known_values() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert 4.5 < contrast("#767676", "#ffffff") < 4.6


@pytest.mark.parametrize("source", [ASSETS / "css" / "10-text.css", FRAME], ids=["own", "frame"])
def test_text_and_signs_stand_out_in_both_schemes(source: Path) -> None:
    pairs = LIGHT_DARK.findall(source.read_text(encoding="utf-8"))
    found = {name.replace("--lf-", "--"): colours for name, *colours in pairs}
    names = {"paper": ("--paper",), "sheet": ("--sheet",), "wash": ("--wash", "--copper-wash")}
    grounds = [next(found[name] for name in options if name in found) for options in names.values()]
    texts = {name: found[name] for name in TEXTS if name in found}
    assert len(texts) >= 4
    for scheme in (0, 1):
        for name, colours in texts.items():
            for ground in grounds:
                assert contrast(colours[scheme], ground[scheme]) >= 4.5, (name, colours[scheme], ground[scheme])
    strong = next(found[name] for name in ("--strong", "--rule-strong") if name in found)
    for scheme in (0, 1):
        assert contrast(strong[scheme], grounds[0][scheme]) >= 3, "borders of controls need 3 to 1"


def test_styles_think_of_paper_narrow_screens_and_forced_colours() -> None:
    text = "\n".join(path.read_text(encoding="utf-8") for path in STYLES)
    assert "@media print" in text and "forced-colors: active" in text
    assert "overflow-x: auto" in text
    assert not re.search(r"@import|url\(", text), "a style sheet loads nothing"
