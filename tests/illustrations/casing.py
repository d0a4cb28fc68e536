"""A casing from its largest face, from below and from the end with the sockets, all to one scale."""

from collections.abc import Mapping
from dataclasses import dataclass

from art import box, disc, line, shape, words
from board import Drawing
from frame import RULER, defs, mat, ruler, signed
from items import ports_of
from layout import Rect

PIXELS = 1280
GAP = 7.0
SOCKETS = {"usb-c": (8.4, 2.6), "usb-a": (12.0, 4.5)}
_TINTS = {"Fernhollow": "#3c4148", "Haddlewick": "#f1efe9", "Lanterby": "#f4f4f2", "Marlscombe": "#2b2d31",
          "Ostermere": "#43505f", "Oxtermoor": "#efede6", "Pinderby": "#e9e4da", "Sallowfield": "#d9dedb",
          "Tarnwick": "#ecebe7", "Wrenscar": "#26282c"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Casing:
    """The drawing, where sockets and plug pins are (by port, or ``mains``), and the outlines of the three views."""

    drawing: Drawing
    places: Mapping[str, Rect]
    views: tuple[Rect, ...]


@dataclass(frozen=True, slots=True)
class _Body:
    """Length, width and depth, and how far the plug's pins stand out along the length or the depth."""

    long: float
    wide: float
    deep: float
    pins_long: float
    pins_deep: float


def tint_of(record: Mapping) -> str:
    """Colour of a brand's casings."""
    return _TINTS.get(record["product"]["brand"], "#e7e5df")


def casing_drawing(record: Mapping) -> Casing:
    """All three views, with the sockets named."""
    body = _body(record)
    top = max(body.wide, 1.0)
    left = GAP + body.pins_long
    width = left + body.long + GAP + body.deep + body.pins_deep + GAP
    side_y = GAP + top + GAP
    height = side_y + body.deep + body.pins_deep + GAP + RULER
    tint = tint_of(record)
    ends_x = left + body.long + GAP
    places: dict[str, Rect] = {}
    content = [
        _pins(record, body, (left, GAP), places),
        _face(record, body, (left, GAP), tint),
        _side(record, body, (left, side_y), tint),
        _end(record, body, (ends_x, GAP), tint, places),
        _front(record, body, (left, GAP), tint, places),
    ]
    scale = PIXELS / width
    pixels_high = round(height * scale)
    pieces = (defs(), mat(width, height), *content, ruler(left, height - RULER, body.long), signed(width, height, 5.0))
    svg = shape("svg", "".join(pieces), xmlns="http://www.w3.org/2000/svg", width=PIXELS, height=pixels_high,
                viewBox=f"0 0 {width:.3f} {pixels_high / scale:.3f}")  # fmt: skip
    views = (
        Rect(left, GAP, body.long, body.wide),
        Rect(left, side_y, body.long, body.deep),
        Rect(ends_x, GAP, body.deep, body.wide),
    )
    return Casing(Drawing(svg, PIXELS, pixels_high, scale, (0.0, 0.0)), places, views)


def ruler_points(record: Mapping, casing: Casing) -> tuple[tuple[tuple[float, float], tuple[float, float]], float]:
    """Two ends of the ruler as fractions of the picture, and the length between them."""
    body = _body(record)
    whole = float(int(body.long))
    left = GAP + body.pins_long
    high = round(1 - (RULER - 0.4) * casing.drawing.scale / casing.drawing.height, 4)
    width = casing.drawing.width / casing.drawing.scale
    return ((round(left / width, 4), high), (round((left + whole) / width, 4), high)), whole


def _body(record: Mapping) -> _Body:
    measured = record["measured"]["body_mm"]
    size = measured["size"]
    deep, wide, long = sorted(size)
    grown = measured.get("with_prongs")
    if not grown or measured.get("prongs") == "folded":
        return _Body(long, wide, deep, 0.0, 0.0)
    longer = [after - before for before, after in zip(size, grown, strict=True)]
    at = max(range(3), key=lambda place: longer[place])
    return _Body(
        long, wide, deep, longer[at] if size[at] == long else 0.0, longer[at] if size[at] == deep != long else 0.0
    )


def _shell(x: float, y: float, width: float, height: float, tint: str, corner: float) -> str:
    shadow = "".join(
        box(x + 0.9 - grow, y + 1.5 - grow, width + 2 * grow, height + 2 * grow, "#000", corner + grow, opacity=0.06)
        for grow in (1.8, 1.4, 1.0, 0.6, 0.3, 0.0)
    )  # fmt: skip
    rim = box(
        x + 0.25,
        y + 0.25,
        width - 0.5,
        height - 0.5,
        "none",
        max(corner - 0.25, 0.2),
        stroke="#fff",
        stroke_width=0.3,
        opacity=0.25,
    )
    return shadow + box(x, y, width, height, tint, corner) + box(x, y, width, height, "url(#shell)", corner) + rim


def _corner(record: Mapping) -> float:
    return 5.0 if record["measured"]["body_mm"].get("shape") in ("rounded-box", "irregular") else 1.6


def _ink(tint: str) -> str:
    return "#d9dbdf" if int(tint[1:3], 16) < 128 else "#6d6f73"


def _face(record: Mapping, body: _Body, at: tuple[float, float], tint: str) -> str:
    x, y = at
    if _faces_front(record):
        return _shell(x, y, body.long, body.wide, tint, _corner(record))
    name = record["product"]["brand"].upper()
    size = min(body.long * 0.6 / (len(name) * 0.72), 6.0)
    brand = words(
        x + body.long / 2, y + body.wide / 2 - size * 0.2, name, size, _ink(tint), letter_spacing=round(size * 0.1, 2)
    )
    model = words(
        x + body.long / 2, y + body.wide / 2 + size, record["product"]["model"], size * 0.5, _ink(tint), opacity=0.8
    )
    return _shell(x, y, body.long, body.wide, tint, _corner(record)) + brand + model


def _side(record: Mapping, body: _Body, at: tuple[float, float], tint: str) -> str:
    x, y = at
    pins = ""
    if body.pins_deep:
        pins = "".join(
            box(x + body.long * part - 1.6, y + body.deep - 0.5, 3.2, body.pins_deep + 0.5, "url(#metal)", 0.6)
            for part in (0.3, 0.46)
        )
    if body.pins_long:
        pins = box(x - body.pins_long, y + body.deep / 2 - 0.9, body.pins_long + 0.5, 1.8, "url(#metal)", 0.4)
    seam = line(x + 0.4, y + body.deep * 0.5, x + body.long - 0.4, y + body.deep * 0.5, "#000", 0.18, opacity=0.35)
    return pins + _shell(x, y, body.long, body.deep, tint, min(_corner(record), body.deep * 0.3)) + seam


def _pins(record: Mapping, body: _Body, at: tuple[float, float], places: dict[str, Rect]) -> str:
    x, y = at
    if not body.pins_long:
        return ""
    middle = y + body.wide / 2
    pins = [Rect(x - body.pins_long, middle + side * 6.35 - 2.4, body.pins_long + 0.5, 4.8) for side in (-1, 1)]
    places["mains"] = Rect(x - body.pins_long, middle - 8.75, body.pins_long, 17.5)
    return "".join(box(pin.x, pin.y, pin.width, pin.height, "url(#metal)", 1.6) for pin in pins)


def _end(record: Mapping, body: _Body, at: tuple[float, float], tint: str, places: dict[str, Rect]) -> str:
    """The end with the sockets, the largest face at its left."""
    x, y = at
    drawn = [_shell(x, y, body.deep, body.wide, tint, min(_corner(record), body.deep * 0.3))]
    ports = [] if _faces_front(record) else _sockets(record)
    lengths = [SOCKETS[port["connector"]][0] for port in ports]
    room = (body.wide - sum(lengths)) / (len(ports) + 1)
    top = y + room
    for port, length in zip(ports, lengths, strict=True):
        thick = SOCKETS[port["connector"]][1]
        place = Rect(x + body.deep / 2 - thick / 2, top, thick, length)
        places[port["id"]] = place
        drawn.append(_socket(place, port["connector"]))
        drawn.append(
            words(place.x + thick + 3.0, top + length / 2, port.get("printed_name", port["id"]), 2.0, _ink(tint))
        )
        top += length + room
    if record["ports"][0]["connector"].startswith("captive"):
        drawn.append(_cord(x + body.deep / 2, y + body.wide / 2))
    return "".join(drawn)


def _sockets(record: Mapping) -> list[Mapping]:
    return [port for port in record["ports"] if port["connector"] in SOCKETS]


def _faces_front(record: Mapping) -> bool:
    """Whether the sockets stand in the largest face, beside those of the mains."""
    return record["product"]["kind"] in ("outlet", "extension-lead")


def _front(record: Mapping, body: _Body, at: tuple[float, float], tint: str, places: dict[str, Rect]) -> str:
    """Sockets of an outlet or a lead: those of the mains as round recesses, those for USB at the right."""
    if not _faces_front(record):
        return ""
    x, y = at
    radius = min(body.wide * 0.36, 20.0)
    ports = _sockets(record)
    room = 17.0
    count = max(1, int((body.long - room - 6) / (2 * radius + 4)))
    step = (body.long - room - 4) / count
    drawn = [box(x + 1.5, y + 1.5, body.long - 3, body.wide - 3, tint, 2.0)]
    for number in range(count):
        middle = (x + 3 + step * (number + 0.5), y + body.wide / 2)
        drawn.append(
            disc(*middle, radius, "#d9d6ce", stroke="#a9a59b", stroke_width=0.4)
            + disc(*middle, radius * 0.9, "#c9c6bd")
        )
        drawn += [disc(middle[0] + side * 9.5, middle[1], 2.6, "#1c1d20") for side in (-1, 1)]
    height = sum(SOCKETS[port["connector"]][1] for port in ports) + 7.0 * (len(ports) - 1)
    top = y + body.wide / 2 - height / 2
    for port in ports:
        length, thick = SOCKETS[port["connector"]]
        places[port["id"]] = Rect(x + body.long - room / 2 - 3 - length / 2, top, length, thick)
        drawn.append(_socket(places[port["id"]], port["connector"]))
        drawn.append(
            words(
                x + body.long - room / 2 - 3, top + thick + 2.4, port.get("printed_name", port["id"]), 2.0, _ink(tint)
            )
        )
        top += thick + 7.0
    return "".join(drawn)


def _socket(place: Rect, kind: str) -> str:
    lying = place.width > place.height
    corner = min(place.width, place.height) / 2 if kind == "usb-c" else 0.5
    hole = box(place.x - 0.25, place.y - 0.25, place.width + 0.5, place.height + 0.5, "#0d0e10", corner + 0.25)
    metal = box(place.x, place.y, place.width, place.height, "#16171a", corner, stroke="#b9bdc3", stroke_width=0.32)
    if lying:
        tongue = box(
            place.x + 0.9,
            place.y + place.height * 0.34,
            place.width - 1.8,
            place.height * 0.32,
            "#45484e" if kind == "usb-c" else "#f0f0ee",
            0.3,
        )
    elif kind == "usb-c":
        tongue = box(place.x + place.width / 2 - 0.4, place.y + 0.9, 0.8, place.height - 1.8, "#45484e", 0.3)
    else:
        tongue = box(
            place.x + place.width * 0.16, place.y + 0.6, place.width * 0.36, place.height - 1.2, "#f0f0ee", 0.2
        )
    return hole + metal + tongue


def _cord(x: float, y: float) -> str:
    return disc(x, y, 3.4, "#1b1c1f") + disc(x, y, 2.0, "#2c2e33") + disc(x - 0.5, y - 0.6, 0.7, "#5a5d63", opacity=0.6)


def places_of(record: Mapping, casing: Casing) -> list[tuple[str, Rect]]:
    """Which parts can be seen from outside and where: the connectors at their ports, the contacts of the plug."""
    shown = []
    for part in record["components"]:
        role = part["roles"][0]
        if role == "output-connector":
            shown += [(part["ref"], casing.places[port]) for port in ports_of(record, part) if port in casing.places]
        elif role == "mains-contact" and "mains" in casing.places:
            shown.append((part["ref"], casing.places["mains"]))
    return shown
