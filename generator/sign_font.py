# /// script
# requires-python = ">=3.11"
# dependencies = ["fonttools==4.68.0", "brotli==1.2.1"]
# ///
"""Draw the font of signs that many devices have in no font: ``uv run generator/sign_font.py``, after an edit alone.

One sign so far, that of direct current (U+2393): a line over three dashes that are as wide together, as
IEC 60417-5031 has it (form and number from memory; "direct current symbol form two" is its name in the Unicode Standard).
"""

from pathlib import Path

from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib.tables._g_l_y_f import Glyph

FILE = Path(__file__).parent / "lidoff" / "publish" / "theme" / "assets" / "frame" / "signs.woff2"
NAME = "Lidoff Signs"
UNITS = 1000  # to the em
ADVANCE = 600  # as wide as a digit of most fixed-width fonts
EDGE, THICK = 45, 72
UPPER, LOWER = 400, 215  # where the lines begin, above the foot of the letters
DASH, GAP = 126, 66
ASCENT, DESCENT = 900, 300
EPOCH = 2_082_844_800  # 1970 in a font's seconds since 1904: the day of drawing is none of its business


def rectangles(*boxes: tuple[int, int, int, int]) -> Glyph:
    """A glyph of filled rectangles, each given by left, bottom, right and top."""
    pen = TTGlyphPen(None)
    for left, bottom, right, top in boxes:
        pen.moveTo((left, bottom))
        for corner in ((left, top), (right, top), (right, bottom)):
            pen.lineTo(corner)
        pen.closePath()
    return pen.glyph()


def direct_current() -> Glyph:
    """A line over three dashes."""
    dashes = [(left, LOWER, left + DASH, LOWER + THICK) for left in range(EDGE, ADVANCE - EDGE, DASH + GAP)]
    return rectangles((EDGE, UPPER, ADVANCE - EDGE, UPPER + THICK), *dashes)


def write(file: Path) -> None:
    """Write the font; the same bytes each time."""
    builder = FontBuilder(UNITS, isTTF=True)
    builder.setupGlyphOrder([".notdef", "direct-current"])
    builder.setupCharacterMap({0x2393: "direct-current"})
    builder.setupGlyf({".notdef": rectangles(), "direct-current": direct_current()})
    builder.setupHorizontalMetrics({".notdef": (ADVANCE, 0), "direct-current": (ADVANCE, EDGE)})
    builder.setupHorizontalHeader(ascent=ASCENT, descent=-DESCENT)
    builder.setupNameTable({"familyName": NAME, "styleName": "Regular"})
    builder.setupOS2(sTypoAscender=ASCENT, sTypoDescender=-DESCENT, usWinAscent=ASCENT, usWinDescent=DESCENT)
    builder.setupPost()
    builder.font["head"].created = builder.font["head"].modified = EPOCH
    builder.font.recalcTimestamp = False
    builder.font.flavor = "woff2"
    builder.save(file)


if __name__ == "__main__":
    write(FILE)
    print(f"{FILE.name}: {FILE.stat().st_size} bytes")
