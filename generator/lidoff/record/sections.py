"""The pictures, boards and parts of a record that may have errors elsewhere, as a fresh draft has."""

from collections.abc import Mapping
from dataclasses import dataclass

import msgspec
import yaml

from lidoff.finding import Finding
from lidoff.record.load import load_text
from lidoff.record.model.component import Component
from lidoff.record.model.construction import Board
from lidoff.record.model.measured import Instrument
from lidoff.record.model.picture import Photo

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_KEYS = ("photos", "boards", "components", "instruments")


@dataclass(frozen=True, slots=True)
class Sections:
    """Some sections of a record; ``title`` is brand and model."""

    title: str = ""
    photos: tuple[Photo, ...] = ()
    boards: tuple[Board, ...] = ()
    components: tuple[Component, ...] = ()
    instruments: tuple[Instrument, ...] = ()


def sections_of(content: bytes, path: str) -> tuple[Sections | None, tuple[Finding, ...]]:
    """The sections, and all errors of the record; None where one of them lies in these sections or bars all reading."""
    loaded = load_text(content, path)
    errors = tuple(one for one in loaded.findings if one.severity == "error")
    title = " ".join(loaded.product or ())
    record = loaded.record
    if record is not None:
        return Sections(title, record.photos, record.boards, record.components, record.instruments), errors
    if any(not one.field or one.field.startswith(_KEYS) for one in errors):
        return None, errors
    data = yaml.load(content.decode("utf-8-sig"), _LOADER)
    held: Mapping = {key: data[key] for key in _KEYS if data.get(key)}
    return msgspec.convert({"title": title, **held}, Sections), errors
