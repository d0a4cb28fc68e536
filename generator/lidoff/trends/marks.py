"""Layers of a Vega-Lite view as plain data: which rows are drawn as what, and what decides place, colour and words.

Plain data, since a library that checks and copies every layer takes ten times as long as the drawing itself.
"""

from collections.abc import Mapping, Sequence

Layer = Mapping[str, object]
Channel = Mapping[str, object]


def layer(rows: Sequence[Mapping[str, object]], mark: str, look: Mapping[str, object], **channels: Channel) -> Layer:
    """One mark a row; ``look`` is the same for all of them, ``channels`` say what differs."""
    return {"data": {"values": rows}, "mark": {"type": mark, **look}, "encoding": channels}


def where(layer: Layer, condition: str) -> Layer:
    """The layer with those rows alone that meet a condition."""
    return {**layer, "transform": [{"filter": condition}]}


def number(field: str, **more: object) -> Channel:
    """A channel that a number decides."""
    return {"field": field, "type": "quantitative", **more}


def word(field: str, **more: object) -> Channel:
    """A channel that a word decides."""
    return {"field": field, "type": "nominal", **more}


def rank(field: str, order: Sequence[object], **more: object) -> Channel:
    """A channel that places rows in the order given."""
    return {"field": field, "type": "ordinal", "sort": list(order), **more}


def fixed(value: object) -> Channel:
    """A channel that is the same for every row, such as a place in pixels."""
    return {"value": value}
