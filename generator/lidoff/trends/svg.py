"""The drawing that Vega made -> SVG to set into a page: no styles, no scripts, no fonts, the page's colours and links.

Vega's output is rewritten element by element, so that nothing passes that is not named here.
"""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from lidoff.trends.palette import COLOURS, GROUND, STAND_INS, Fill

# the address that links have while a chart is drawn; Vega makes relative ones absolute
SITE = "https://lidoff.invalid"
Link = Callable[[str], str]

_SVG = "{http://www.w3.org/2000/svg}"
_HREF = "{http://www.w3.org/1999/xlink}href"
_SHAPE_ATTRIBUTES = (
    "transform", "d", "x", "y", "x2", "y2", "width", "height", "fill", "fill-opacity", "stroke", "stroke-width",
    "stroke-dasharray", "text-anchor", "font-size", "font-weight",
)  # fmt: skip
_INHERITED = ("fill", "stroke", "stroke-width", "text-anchor", "font-size")
_ATTRIBUTES = {"g": (), "a": (), **dict.fromkeys(("path", "line", "rect", "text"), _SHAPE_ATTRIBUTES)}
_LONG_FRACTION = re.compile(r"-?\d+\.\d{3,}(?:e-?\d+)?")

# pattern -> size of its tile, its turn in degrees, and the part of the tile that is left open
_TILES = {
    "stripes": (8, 45, "M0 0h1.5v8h-1.5z"),
    "dots": (7, 45, "M2.5 2.5h2v2h-2z"),
    "grid": (8, 0, "M0 0h8v1.2h-8zM0 0h1.2v8h-1.2z"),
    "lines": (6, 0, "M0 0h6v1.4h-6z"),
    "dense": (5, 135, "M0 0h2v5h-2z"),
}


@dataclass(frozen=True, slots=True)
class Frame:
    """What a drawing is set in: its words, the prefix of its ids, its size, and how links are written."""

    prefix: str
    title: str
    description: str
    width: int
    height: int
    link: Link


def framed(drawing: str, frame: Frame) -> str:
    """The finished SVG of a drawing."""
    source = ET.fromstring(drawing)
    used: dict[str, Fill] = {}
    content = [piece for child in source for piece in _kept(child, frame, used)]
    # an image hides what is inside from assistive technology, so a drawing with links is a group
    has_links = any(piece.tag == "a" or piece.find(".//a") is not None for piece in content)
    root = ET.Element(
        "svg", {
            "xmlns": "http://www.w3.org/2000/svg", "class": "chart", "viewBox": f"0 0 {frame.width} {frame.height}",
            "width": "100%", "role": "group" if has_links else "img",
            "aria-labelledby": f"{frame.prefix}-title", "aria-describedby": f"{frame.prefix}-desc",
        },
    )  # fmt: skip
    ET.SubElement(root, "title", {"id": f"{frame.prefix}-title"}).text = frame.title
    ET.SubElement(root, "desc", {"id": f"{frame.prefix}-desc"}).text = frame.description
    if used:
        root.append(_patterns(used, frame.prefix))
    root.extend(content)
    return ET.tostring(root, encoding="unicode", short_empty_elements=True) + "\n"


def _kept(source: ET.Element, frame: Frame, used: dict[str, Fill]) -> Iterator[ET.Element]:
    """The element with what is allowed in it; nothing for what draws nothing, the content alone for a bare group."""
    tag = source.tag.removeprefix(_SVG)
    if tag not in _ATTRIBUTES:
        return
    content = [piece for child in source for piece in _kept(child, frame, used)]
    if tag == "g":
        yield from _grouped(source, content)
        return
    if _leads_nowhere(source):
        yield from content
        return
    if tag in ("path", "rect", "line") and not _draws(source):
        return
    present = [name for name in _ATTRIBUTES[tag] if name in source.attrib]
    kept = ET.Element(tag, {name: _attribute(name, source.attrib[name], frame, used) for name in present})
    if tag == "path" and "fill" not in kept.attrib:
        kept.set("fill", "none")
    if tag == "a":
        kept.set("href", frame.link(source.attrib[_HREF].removeprefix(SITE)))
    if tag == "text":
        kept.text = source.text
    yield _titled(kept, source, content)


def _grouped(source: ET.Element, content: list[ET.Element]) -> Iterator[ET.Element]:
    """A group that moves what is in it or says once what all of it has in common; else the content alone."""
    moved = source.get("transform", "translate(0,0)")
    attributes = {} if moved == "translate(0,0)" else {"transform": moved}
    if source.get("aria-hidden") == "true" and content:
        # words over a linked mark must not catch its clicks
        attributes["pointer-events"] = "none"
    if len(content) > 1 and {piece.tag for piece in content} <= {"path", "line", "rect", "text"}:
        for name in _INHERITED:
            values = {piece.get(name) for piece in content}
            if len(values) == 1 and None not in values:
                attributes[name] = values.pop()
        for piece in content:
            for name in attributes.keys() & set(_INHERITED):
                del piece.attrib[name]
    if not content or not attributes:
        yield from content
        return
    group = ET.Element("g", attributes)
    group.extend(content)
    yield group


def _titled(kept: ET.Element, source: ET.Element, content: list[ET.Element]) -> ET.Element:
    """The element with its own words in front; those of a linked mark become the name of the link."""
    title = source.get("aria-label") if source.get("role") == "graphics-symbol" else None
    if kept.tag == "a" and content and content[0].find("title") is not None:
        words = content[0].find("title")
        content[0].remove(words)
        kept.append(words)
    elif title and kept.tag != "g":
        ET.SubElement(kept, "title").text = title
    kept.extend(content)
    return kept


def _leads_nowhere(source: ET.Element) -> bool:
    """Whether it is a link that Vega made of a missing address."""
    return source.tag == f"{_SVG}a" and not source.get(_HREF, "").startswith(SITE)


def _draws(source: ET.Element) -> bool:
    is_painted = any(source.get(paint) not in (None, "none", "transparent") for paint in ("fill", "stroke"))
    return is_painted and source.get("display") != "none" and source.get("d") != ""


def _attribute(name: str, value: str, frame: Frame, used: dict[str, Fill]) -> str:
    if name in ("fill", "stroke"):
        return _paint(value, frame.prefix, used)
    if name == "font-size":
        return value.removesuffix("px")
    return _LONG_FRACTION.sub(lambda match: f"{round(float(match.group()), 2):g}", value)


def _paint(value: str, prefix: str, used: dict[str, Fill]) -> str:
    if value in ("none", "transparent"):
        return "none"
    if value not in STAND_INS:
        raise ValueError(f"a drawing holds the colour {value}, expected only stand-ins of the palette")
    fill = STAND_INS[value]
    if fill.pattern == "solid":
        return _property(fill.colour)
    name = f"{prefix}-{fill.colour}-{fill.pattern}"
    used[name] = fill
    return f"url(#{name})"


def _property(colour: str) -> str:
    return f"var(--{colour}, {COLOURS[colour][0]})"


def _patterns(used: dict[str, Fill], prefix: str) -> ET.Element:
    """The patterns that the drawing uses, in the colours of the page: what shows through is the page's ground."""
    definitions = ET.Element("defs")
    for name, fill in sorted(used.items()):
        size, turn, holes = _TILES[fill.pattern]
        box = {"width": str(size), "height": str(size)}
        tile = ET.SubElement(
            definitions,
            "pattern",
            {"id": name, **box, "patternUnits": "userSpaceOnUse", "patternTransform": f"rotate({turn})"},
        )
        ET.SubElement(tile, "rect", {**box, "fill": _property(fill.colour)})
        ET.SubElement(tile, "path", {"d": holes, "fill": _property(GROUND.colour)})
    return definitions
