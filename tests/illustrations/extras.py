"""An X-ray picture, an infrared one, one through a microscope and a trace, each where the record speaks of it."""

import math
from collections.abc import Mapping

from casing import casing_drawing
from describe import product_name
from instruments import flyback_trace, infrared_image, microscope_drawing, trace_drawing, with_scale, xray_drawing
from items import Item, items_of
from layout import Layout
from pictures import CREDIT, Picture, raster, ruler_scale

SEEN_THROUGH = ("transformer", "bulk-capacitor", "x-capacitor", "common-mode-choke", "bridge-rectifier",
                "primary-switch", "output-capacitor")  # fmt: skip
XRAY, INFRARED, MICROSCOPE, TRACE = "marlscombe/mc-120", "marlscombe/mc-120", "fernhollow/fh-140", "ostermere/om-65"


def extras_of(entry: str, record: Mapping, layout: Layout) -> list[Picture]:
    """Further pictures of one product."""
    made = []
    if entry == XRAY:
        made.append(_xray(record, layout))
    if entry == INFRARED:
        made.append(_infrared(record))
    if entry == MICROSCOPE:
        made.append(_microscope(record, "ctl", "U2"))
    if entry == TRACE:
        made.append(_trace(record))
    return made


def _xray(record: Mapping, layout: Layout) -> Picture:
    drawing = xray_drawing(layout)
    refs = [part["ref"] for part in record["components"]]
    both = (*layout.top, *layout.bottom)
    placed = [one for one in both if one.item.ref in refs and one.item.role in SEEN_THROUGH]
    callouts = [{"ref": one.item.ref, "box": list(drawing.fractions(one.rect))} for one in placed]
    callouts.sort(key=lambda callout: refs.index(callout["ref"]))
    item = {
        "file": "photos/main-x-ray.png", "kind": "x-ray", "illustration": True, "shows": "board", "board": "main",
        "alt": "Drawing in shades of grey of what an X-ray picture of the filled block of the "
        f"{product_name(record)} would show: the dark turns of the transformer, the rolls of the capacitors, "
        "rings of the chokes, and lead ends as dark dots.",
        **CREDIT, "callouts": callouts, "scale": ruler_scale(drawing, float(int(layout.width))), "tube_kv": 90,
    }  # fmt: skip
    return Picture(item, lambda: raster(drawing))


def _infrared(record: Mapping) -> Picture:
    casing = casing_drawing(record)
    soak = record["measured"]["soak"][0]
    hot, air = soak["surface_c"], soak["ambient_c"]
    face, side, end = casing.views
    edge = (face.x + face.width - 2.5, face.y + face.height / 2)
    spots = [(*edge, 9.0, hot), (face.x + face.width * 0.4, face.y + face.height * 0.5, 12.0, hot - 9),
             (side.x + side.width - 3, side.y + side.height / 2, 7.0, hot - 3),
             (end.x + end.width / 2, end.y + end.height / 2, 9.0, hot - 4)]  # fmt: skip
    low, high = 20.0, 90.0

    def draw() -> object:
        heat = infrared_image(casing, spots, low, high, air)
        return with_scale(heat, low, high, (*edge, hot), casing.drawing.scale)

    item = {
        "file": "photos/body-infrared.jpg", "kind": "thermal", "illustration": True, "shows": "body",
        "alt": f"Drawing of an infrared picture of the closed {product_name(record)} after "
        f"{soak['after_min']} minutes of load: dark violet air, orange body, "
        f"the brightest spot of {hot:g} °C at the edge above the sockets.",
        **CREDIT, "emissivity": 0.95, "scale_min_c": low, "scale_max_c": high, "ambient_c": air,
    }  # fmt: skip
    return Picture(item, draw)


def _microscope(record: Mapping, board: str, ref: str) -> Picture:
    found = next(one for one in record["boards"] if one["id"] == board)
    part: Item = next(one for one in items_of(record, found) if one.ref == ref)
    drawing, place = microscope_drawing(part)
    lines = " and ".join(part.lines)
    item = {
        "file": f"photos/{ref.lower()}-print.jpg", "kind": "microscope", "illustration": True, "shows": "part",
        "alt": f"Drawing of the top of {ref} of the {product_name(record)} under a microscope: a black body with six "
        f"contacts a side, a dot at pin 1 and the lines {lines} in grey; dust on it, a bar of 1 mm at the lower right.",
        **CREDIT, "callouts": [{"ref": ref, "box": list(place)}], "magnification": 40,
    }  # fmt: skip
    return Picture(item, lambda: raster(drawing))


def _trace(record: Mapping) -> Picture:
    seen = record["measured"]["waveforms"][0]
    magnetics = record["magnetics"][0]
    turns = {one["name"]: one["turns"] for one in magnetics["windings"]}
    bus = seen["mains_v"] * math.sqrt(2)
    reflected = seen["output_v"] * turns["primary"] / turns["secondary"]
    period = 1000 / magnetics["switching_khz"]
    drawing = trace_drawing(
        flyback_trace(bus, reflected, seen["peak_v"], period),
        (2.0, 100.0),
        f"{seen['ref']}, {seen['node']}: 100 V and 2 µs a division",
    )
    item = {
        "file": f"photos/{seen['ref'].lower()}-drain.png", "kind": "waveform", "illustration": True, "shows": "part",
        "alt": f"Drawing of the voltage from drain to source of {seen['ref']} over 20 µs: near zero while on, "
        f"a spike to {seen['peak_v']} V with ringing at turn-off, a plateau near {bus + reflected:.0f} V, then a swing "
        "down to a valley where it turns on again.",
        "caption": "An idealised curve through the recorded peak, no record of an oscilloscope.",
        **CREDIT, "node": f"{seen['ref']}, {seen['node']}", "volts_per_division_v": 100, "time_per_division_us": 2,
    }  # fmt: skip
    return Picture(item, lambda: raster(drawing))
