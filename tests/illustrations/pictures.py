"""The pictures of one product: how each is drawn, and what the record says of it."""

import io
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import vl_convert
import yaml
from board import Drawing, board_drawing, seen
from casing import casing_drawing, places_of, ruler_points
from describe import board_alt, casing_alt, label_alt
from items import Item, fillers_of, items_of
from label import label_drawing
from layout import Layout, laid_out
from PIL import Image

ENTRIES = Path(__file__).resolve().parents[2] / "entries"
CREDIT = {"credit": "The Lidoff authors", "license": "CC-BY-4.0"}
COLOURS = 256


@dataclass(frozen=True, slots=True)
class Picture:
    """One file beside a record: the item of ``photos`` that names it, and how to draw it."""

    item: Mapping[str, object]
    draw: Callable[[], Image.Image]

    @property
    def file(self) -> str:
        """Its place beside the record."""
        return str(self.item["file"])


def record_of(entry: str) -> Mapping:
    """A record as plain data."""
    return yaml.safe_load((ENTRIES / entry / "record.yaml").read_text(encoding="utf-8"))


@lru_cache(maxsize=64)
def layout_of(entry: str, board: str) -> Layout:
    """The parts of one board in their places."""
    record = record_of(entry)
    found = next(one for one in record["boards"] if one["id"] == board)
    return laid_out(items_of(record, found), *found["size_mm"], fillers_of(record, found))


def plain_pictures_of(entry: str) -> tuple[Picture, ...]:
    """Casing, label and both sides of each board of one product."""
    record = record_of(entry)
    drawn = [_casing(record), _label(record)]
    for board in record["boards"]:
        if board.get("size_mm"):
            drawn += _sides(entry, record, board)
    return tuple(drawn)


def _casing(record: Mapping) -> Picture:
    casing = casing_drawing(record)
    points, length = ruler_points(record, casing)
    placed = places_of(record, casing)
    callouts = [{"ref": ref, "box": list(casing.drawing.fractions(place, 0.6))} for ref, place in placed]
    item = {
        "file": "photos/body.png", "kind": "photo", "illustration": True, "shows": "body",
        "alt": casing_alt(record), **CREDIT,
        "callouts": callouts,
        "scale": {"points": [list(point) for point in points], "length_mm": length},
    }  # fmt: skip
    return Picture({key: value for key, value in item.items() if value != []}, lambda: raster(casing.drawing))


def _label(record: Mapping) -> Picture:
    drawing = label_drawing(record)
    length = float(int(drawing.width / drawing.scale - 2 * drawing.corner[0]))
    item = {
        "file": "photos/label.png", "kind": "photo", "illustration": True, "shows": "label", "alt": label_alt(record),
        **CREDIT, "scale": ruler_scale(drawing, length),
    }  # fmt: skip
    return Picture(item, lambda: raster(drawing))


def ruler_scale(drawing: Drawing, length: float) -> Mapping[str, object]:
    """Both ends of the ruler, whose zero stands under the corner."""
    wide, high = drawing.width / drawing.scale, drawing.height / drawing.scale
    y = round((high - 6.6) / high, 4)
    left = drawing.corner[0]
    return {"points": [[round(left / wide, 4), y], [round((left + length) / wide, 4), y]], "length_mm": length}


def _sides(entry: str, record: Mapping, board: Mapping) -> list[Picture]:
    layout = layout_of(entry, board["id"])
    main = board["role"] == "main"
    shown = [side for side in ("top", "bottom") if main or _listed(record, layout, side)]
    return [_side(record, board, side, layout) for side in shown]


def _listed(record: Mapping, layout: Layout, side: str) -> bool:
    refs = {part["ref"] for part in record["components"]}
    return any(one.item.ref in refs for one in seen(layout, side))


def room_of(item: Item) -> float:
    """Room around a part in its box, in mm; the turns of a standing ring bulge over its core."""
    return 0.65 if item.family == "toroid" and item.wide < item.long else 0.25


def _side(record: Mapping, board: Mapping, side: str, layout: Layout) -> Picture:
    drawing = board_drawing(layout, side, board, record)
    refs = {part["ref"] for part in record["components"]}
    callouts = [
        {"ref": one.item.ref, "box": list(drawing.fractions(one.rect, room_of(one.item)))}
        for one in seen(layout, side)
        if one.item.ref in refs
    ]
    callouts.sort(key=lambda callout: [part["ref"] for part in record["components"]].index(callout["ref"]))
    item = {
        "file": f"photos/{board['id']}-{side}.png", "kind": "photo", "illustration": True, "shows": "board",
        "board": board["id"], "side": side, "alt": board_alt(record, board, side, layout), **CREDIT,
        "callouts": callouts, "scale": ruler_scale(drawing, float(int(layout.width))),
    }  # fmt: skip
    return Picture({key: value for key, value in item.items() if value != []}, lambda: raster(drawing))


def raster(drawing: Drawing) -> Image.Image:
    """Pixels of a drawing, in as many colours as a palette holds."""
    return rendered(drawing).quantize(COLOURS, method=Image.Quantize.MEDIANCUT, kmeans=3, dither=Image.Dither.NONE)


def rendered(drawing: Drawing) -> Image.Image:
    """Pixels of a drawing in all its colours."""
    return Image.open(io.BytesIO(vl_convert.svg_to_png(drawing.svg))).convert("RGB")
