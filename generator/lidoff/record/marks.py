"""Where every field of a record stands in its file.

A place is looked for in what was read of the file when it is asked for, and that is not kept: thousands of records are
held at once. That of the text that was read last is at hand, as most questions follow the reading; and what checks of
the collection ask for is packed beside.
"""

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from lidoff.finding import Place
from lidoff.record.paths import Step, Trail, steps
from lidoff.record.reader import Node, Reading, read
from lidoff.record.schema import record_shape
from lidoff.record.sound import Sound, sound
from lidoff.record.spots import Spot, Wanted, nearest, packed, spot_in, spot_of
from lidoff.record.text import decoded


@dataclass(frozen=True, slots=True)
class Marks:
    """The places of one file's fields; ``source`` is its text, or the file that is read again for it.

    ``spots`` are the places that are at hand without reading, as `packed` gives them.
    """

    path: str
    source: str | Path
    spots: bytes = b""

    def place(self, field: str) -> Place:
        """The place of a field's value, or of the nearest thing that encloses it."""
        trail = _trail(field)
        spot = spot_in(self.spots, trail) if self.spots else None
        return Place(self.path, *(spot or nearest(self._spot(), trail)), field)

    def key_place(self, field: str) -> Place:
        """The place of a field's key, or of the nearest thing that encloses it."""
        key, value = None, _root(self._text(), self.path)
        for step in _trail(field):
            inner = _step(value, step)
            if inner is None:
                break
            key, value = inner
        at = key or value
        return Place(self.path, at.line, at.column, field)

    def packed(self, wanted: Wanted) -> bytes:
        """The places of the wanted fields, in bytes."""
        return packed(self._spot(), wanted)

    def _spot(self) -> Spot:
        return _spot_of_text(self._text(), self.path)

    def _text(self) -> str:
        return self.source if isinstance(self.source, str) else _text_of(self.source)


@lru_cache(maxsize=4)
def sound_of(text: str) -> Sound | None:
    """The data of a record's text and where it stands, if it is sound; asked for again and again, and read once."""
    return sound(text, record_shape())


@lru_cache(maxsize=4)
def reading_of(text: str, path: str) -> Reading:
    """The tree of a text; asked for again and again while one record is examined, and read once."""
    return read(text, path)


def _root(text: str, path: str) -> Node:
    return reading_of(text, path).root or Node("scalar", 1, 1)


@lru_cache(maxsize=4)
def _spot_of_text(text: str, path: str) -> Spot:
    found = sound_of(text)
    return spot_of(_root(text, path)) if found is None else found.spot


@lru_cache(maxsize=4)
def _text_of(file: Path) -> str:
    """The text of a file that was read before; nothing where it has gone since."""
    try:
        return decoded(file.read_bytes(), "")[0] or ""
    except OSError:
        return ""


def _trail(field: str) -> Trail:
    """The steps of a field, as far as it is written like one."""
    while field:
        try:
            return steps(field)
        except ValueError:
            field = field[: max(field.rfind("."), field.rfind("["), 0)]
    return ()


def _step(node: Node, step: Step) -> tuple[Node | None, Node] | None:
    """The key and the value one step further in; None where there is no such place."""
    if isinstance(step, int):
        return (None, node.content[step]) if node.kind == "list" and step < len(node.content) else None
    if node.kind != "mapping":
        return None
    return next((pair for pair in node.content if pair[0].content == step), None)
