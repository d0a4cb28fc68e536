"""Places that are kept in few bytes are those that the file itself gives."""

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from lidoff.record.gist import NAMED
from lidoff.record.marks import Marks, reading_of
from lidoff.record.paths import Trail, written
from lidoff.record.reader import Node
from lidoff.record.spots import ALL

ROOT = Path(__file__).parents[2]
RECORDS = sorted(ROOT.glob("entries/*/*/record.yaml"))
ODD = """\
status: draft
status: published
product: {brand: "A: b", model:, "revision_of": >-
  x}
"label":
  certificates:
  - number: 1
  -
  - [a, {number: 2}]
components:
  - maker:
    roles: [a,
      b]
    ratings:

      voltage_v: 1
      "odd key [0].x": 2
  - &anchor {maker: X, maker: Y, ratings: {}}
  - *anchor
measured: [1, 2]
? [complex, key]
: value
photos: no list
"""


def trails(node: Node, before: Trail = ()) -> Iterator[Trail]:
    """Every place of a tree, and beside each some that are not there."""
    yield before
    yield (*before, "not-there")
    yield (*before, 99)
    if node.kind == "list":
        for number, item in enumerate(node.content):
            yield from trails(item, (*before, number))
    elif node.kind == "mapping":
        for key, value in node.content:
            if isinstance(key.content, str):
                yield from trails(value, (*before, key.content))


def texts() -> Iterator[str]:
    yield ODD
    yield ""
    yield "[]"
    yield "just text"
    for path in RECORDS:
        yield path.read_text(encoding="utf-8")


@pytest.mark.parametrize("wanted", [NAMED, ALL, {}], ids=["those named", "all", "none"])
def test_every_place_is_that_of_the_file(wanted: object) -> None:
    count = 0
    for text in texts():
        marks = Marks("record.yaml", text)
        kept = Marks("record.yaml", text, marks.packed(wanted))
        for trail in trails(reading_of(text, "record.yaml").root or Node("scalar", 1, 1)):
            field = written(trail)
            assert kept.place(field) == marks.place(field), field
            count += 1
        assert kept.place("no [field") == marks.place("no [field")
    assert count > 10_000


def test_what_is_kept_needs_no_file() -> None:
    text = RECORDS[0].read_text(encoding="utf-8")
    marks = Marks("record.yaml", text)
    away = Marks("record.yaml", Path("/no/such/file"), marks.packed(NAMED))
    for field in ("product.model", "label.certificates[0].number", "components[0].roles", "measured.body_mm.size"):
        assert away.place(field) == marks.place(field) != Marks("record.yaml", "").place(field)


def test_any_text_gives_the_same_places_or_none(monkeypatch: pytest.MonkeyPatch) -> None:
    chance = random.Random(1)
    for _ in range(40):
        text = chance.choice(RECORDS).read_text(encoding="utf-8")[: chance.randrange(20, 4000)]
        for _ in range(3):
            at = chance.randrange(len(text))
            text = text[:at] + chance.choice("{}[]:-\n #&*?\"'é") + text[at:]
        marks = Marks("record.yaml", text)
        kept = Marks("record.yaml", text, marks.packed(NAMED))
        for field in ("status", "product", "product.model", "label.printed", "components[1].ratings.voltage_v", "demo"):
            assert kept.place(field) == marks.place(field)
