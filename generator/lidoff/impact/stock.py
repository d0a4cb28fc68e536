"""What the records of one state of the knowledge base say, taken stock of once and kept.

A change is told by what it takes out of the stock and what it puts in, so that of thousands of records only those are
read that changed, and those that are held against them. Under each topic stands how often a thing is said, such as the
number of products in a cell of a table; under each group of records that checks hold against each other, who is in it and
how. Topics and groups stay packed until they are asked for.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from typing import Any

import msgspec

from lidoff.finding import Finding

Said = tuple[str, str]
"""A topic, and what is said under it."""
Grouped = tuple[str, str, str]
"""A kind of group, the group, and how a record stands in it."""
Counts = Mapping[str, int]
Members = Mapping[str, Sequence[int]]
"""The numbers of the records that stand in a group in each way."""


class Head(msgspec.Struct, frozen=True, array_like=True, gc=False):
    """One record: the key under which it is kept, whether it can be read, and whether tables count it."""

    path: str
    key: str
    is_readable: bool
    is_published: bool


class Stock(msgspec.Struct, frozen=True):
    """The stock. ``findings`` are those of the checks of the collection, by path, before anything that records answer."""

    heads: tuple[Head, ...]
    findings: Mapping[str, msgspec.Raw]
    topics: Mapping[str, msgspec.Raw]
    groups: Mapping[str, Mapping[str, msgspec.Raw]]

    def said(self, topic: str) -> Counts:
        """How often each thing is said under a topic."""
        return _unpacked(self.topics.get(topic), dict[str, int])

    def names(self, kind: str) -> Iterable[str]:
        """The groups of a kind."""
        return self.groups.get(kind, ())

    def members(self, kind: str, group: str) -> Members:
        """Who stands in a group, and how."""
        return _unpacked(self.groups.get(kind, {}).get(group), dict[str, list[int]])

    def findings_of(self, path: str) -> list[Finding]:
        """What the checks of the collection found in one record."""
        return list(_unpacked(self.findings.get(path), tuple[Finding, ...]))


class StockTaking:
    """Takes stock, record by record."""

    def __init__(self) -> None:
        self._heads: list[Head] = []
        self._topics: dict[str, Counter[str]] = defaultdict(Counter)
        self._groups: dict[str, dict[str, dict[str, list[int]]]] = defaultdict(lambda: defaultdict(dict))

    def add(self, head: Head, said: Iterable[Said], grouped: Iterable[Grouped]) -> None:
        """Count in one record."""
        number = len(self._heads)
        self._heads.append(head)
        for topic, item in said:
            self._topics[topic][item] += 1
        for kind, group, standing in dict.fromkeys(grouped):
            self._groups[kind][group].setdefault(standing, []).append(number)

    def stock(self, findings: Mapping[str, Sequence[Finding]], said: Iterable[Said]) -> Stock:
        """The whole stock, with what only several records say together."""
        for topic, item in said:
            self._topics[topic][item] += 1
        groups = {kind: dict(_packed(found)) for kind, found in self._groups.items()}
        return Stock(tuple(self._heads), dict(_packed(findings)), dict(_packed(self._topics)), groups)


def as_bytes(stock: Stock) -> bytes:
    """The stock as it is kept."""
    return msgspec.msgpack.encode(stock)


def from_bytes(content: bytes) -> Stock | None:
    """A stock that was kept; None where the bytes are of another form."""
    try:
        return msgspec.msgpack.decode(content, type=Stock)
    except msgspec.MsgspecError:
        return None


def _packed(found: Mapping[str, Any]) -> Iterator[tuple[str, msgspec.Raw]]:
    yield from ((name, msgspec.Raw(msgspec.msgpack.encode(content))) for name, content in found.items())


def _unpacked(content: msgspec.Raw | None, kind: Any) -> Any:
    return kind() if content is None else _decoder(kind).decode(content)


@cache
def _decoder(kind: Any) -> msgspec.msgpack.Decoder:
    return msgspec.msgpack.Decoder(kind)
