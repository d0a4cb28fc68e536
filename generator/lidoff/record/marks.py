"""Where every field of a record stands in its file.

The table of places is made from the text when it is first asked for: sound records never need it, and thousands of them
are held at once.
"""

import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from lidoff.finding import Place
from lidoff.record.paths import Step, Trail, written
from lidoff.record.reader import Node, read


@dataclass(frozen=True, slots=True)
class Spot:
    """Line and column of a value, and of the key before it."""

    line: int
    column: int
    key_line: int
    key_column: int


@dataclass(frozen=True, slots=True)
class Marks:
    """The places of one file's fields; ``packed`` is its text, compressed."""

    path: str
    packed: bytes

    def place(self, field: str) -> Place:
        """The place of a field's value, or of the nearest thing that encloses it."""
        spot = _nearest(_table(self.packed), field)
        return Place(self.path, spot.line, spot.column, field)

    def key_place(self, field: str) -> Place:
        """The place of a field's key, or of the nearest thing that encloses it."""
        spot = _nearest(_table(self.packed), field)
        return Place(self.path, spot.key_line, spot.key_column, field)


def marks_of(text: str, path: str) -> Marks:
    """The marks of a file's text."""
    return Marks(path, zlib.compress(text.encode(), 1))


def _nearest(table: Mapping[str, Spot], field: str) -> Spot:
    while field and field not in table:
        field = field[: max(field.rfind("."), field.rfind("["), 0)]
    return table.get(field, Spot(1, 1, 1, 1))


@lru_cache(maxsize=64)
def _table(packed: bytes) -> Mapping[str, Spot]:
    root = read(zlib.decompress(packed).decode(), "").root
    table: dict[str, Spot] = {}
    if root is not None:
        _enter(root, None, (), table)
    return table


def _enter(node: Node, key: Node | None, trail: Trail, table: dict[str, Spot]) -> None:
    """Note a node and all in it. A block below its key, or nothing, is looked for at the key."""
    beside = key if key is not None and (node.is_block or node.content == "") else node
    at = key or node
    table[written(trail)] = Spot(beside.line, beside.column, at.line, at.column)
    if node.kind not in ("list", "mapping"):
        return
    steps: list[tuple[Step, Node | None, Node]] = []
    if node.kind == "list":
        steps = [(index, None, item) for index, item in enumerate(node.content)]
    else:
        steps = [(inner.content, inner, value) for inner, value in node.content if isinstance(inner.content, str)]
    for step, inner_key, value in steps:
        if written((*trail, step)) not in table:
            _enter(value, inner_key, (*trail, step), table)
