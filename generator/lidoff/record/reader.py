"""Text -> a tree of nodes, each with its line and column, from the events of the YAML parser.

The tree says what stands in the file and judges nothing but the file's form: anchors, tags and wrong values are judged
later, where the field is known. A part that can't be read is left out with one finding, and the rest is still read.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Literal

import msgspec
import yaml

from lidoff.finding import Finding
from lidoff.record.faults import fault

MAX_DEPTH = 20

# libyaml's parser where PyYAML was built with it, else the slow one; both give the same events
_PARSER = getattr(yaml, "CLoader", yaml.Loader)


class Node(msgspec.Struct, gc=False):
    """One value of the file; line and column count from 1. Thousands are made of a file, so it is a struct.

    ``content`` is text for a scalar, nodes for a list, pairs of nodes for a mapping. ``style`` is "" for plain text,
    else the quote or the sign of the block. ``marker`` is an anchor, alias or tag as written.
    """

    kind: Literal["scalar", "list", "mapping", "alias", "too-deep"]
    line: int
    column: int
    content: str | list = ""
    style: str = ""
    marker: str = ""
    is_block: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """The tree of one file; ``unread`` names the keys of the top level whose values could not be read."""

    root: Node | None
    findings: tuple[Finding, ...] = ()
    unread: frozenset[str] = frozenset()


@dataclass(slots=True)
class _Builder:
    """Builds the tree from events; ``open`` holds the collections that are still open, outermost first."""

    root: Node | None = None
    open: list[Node] = field(default_factory=list)
    key: Node | None = None
    keys: list[Node | None] = field(default_factory=list)
    further_document: tuple[int, int] | None = None
    directive: tuple[int, int] | None = None
    too_deep: tuple[int, int] | None = None
    skipped: int = 0

    def add(self, node: Node) -> None:
        """Put a finished or just opened node where it belongs."""
        if not self.open:
            self.root = self.root or node
        elif self.open[-1].kind == "list":
            self.open[-1].content.append(node)
        elif self.key is None:
            self.key = node
        else:
            self.open[-1].content.append((self.key, node))
            self.key = None

    def start(self, node: Node) -> None:
        """Open a collection."""
        if len(self.open) >= MAX_DEPTH or self.skipped:
            if not self.skipped:
                self.add(Node("too-deep", node.line, node.column))
                self.too_deep = self.too_deep or (node.line, node.column)
            self.skipped += 1
            return
        self.add(node)
        self.keys.append(self.key)
        self.key = None
        self.open.append(node)

    def end(self) -> None:
        """Close the innermost collection."""
        if self.skipped:
            self.skipped -= 1
            return
        self.open.pop()
        self.key = self.keys.pop()

    def take(self, event: yaml.Event) -> None:
        """Add an event that is no scalar."""
        sort, mark = type(event), event.start_mark
        if sort is yaml.MappingStartEvent or sort is yaml.SequenceStartEvent:
            kind = "mapping" if sort is yaml.MappingStartEvent else "list"
            self.start(
                Node(kind, mark.line + 1, mark.column + 1, [], marker=_marker(event), is_block=not event.flow_style)
            )
        elif sort is yaml.MappingEndEvent or sort is yaml.SequenceEndEvent:
            self.end()
        elif sort is yaml.AliasEvent:
            if not self.skipped:
                self.add(Node("alias", mark.line + 1, mark.column + 1, marker=f"*{event.anchor}"))
        elif sort is yaml.DocumentStartEvent:
            if self.root is not None and self.further_document is None:
                self.further_document = (mark.line + 1, mark.column + 1)
            if event.version or event.tags:
                self.directive = (mark.line + 1, mark.column + 1)


def read(text: str, path: str) -> Reading:
    """Read a file's tree; every part that is no YAML is one finding."""
    findings: list[Finding] = []
    unread: set[str] = set()
    remaining = text
    while True:
        try:
            builder = _built(remaining)
        except yaml.MarkedYAMLError as error:
            from lidoff.record.syntax import broken_section, explained  # most runs meet no broken file

            lines = remaining.split("\n")
            findings.append(explained(error, lines, path))
            section = broken_section(lines, findings[-1].line - 1)
            if section is None or len(findings) >= len(lines):
                return Reading(None, tuple(findings))
            unread.add(section.key)
            lines[section.start : section.end] = [""] * (section.end - section.start)
            remaining = "\n".join(lines)
            continue
        findings.extend(_document_findings(builder, path))
        return Reading(builder.root, tuple(findings), frozenset(unread))


def _document_findings(builder: _Builder, path: str) -> Iterator[Finding]:
    """What is wrong with the file as a whole."""
    if builder.further_document is not None:
        fix = "delete the line --- and what follows, or move it to a file of its own"
        yield fault("record-documents", path, *builder.further_document, "a second document", "one record a file", fix)
    if builder.directive is not None:
        found = "a directive (a line that starts with %)"
        yield fault("record-tag", path, *builder.directive, found, "a plain record", "delete the line")
    if builder.too_deep is not None:
        found, fix = f"more than {MAX_DEPTH} levels of nesting", "take levels of brackets or indentation away"
        yield fault("record-size", path, *builder.too_deep, found, f"at most {MAX_DEPTH} levels", fix)


def _built(text: str) -> _Builder:
    builder = _Builder()
    take_scalar, take_other, scalar = builder.add, builder.take, yaml.ScalarEvent
    with events_of(text) as following:
        # most events are scalars: this loop is where the reading of a faulty file spends its time
        while (event := following()) is not None:
            if type(event) is not scalar:
                take_other(event)
            elif not builder.skipped:
                mark, marker = event.start_mark, _marker(event) if event.anchor or event.tag else ""
                take_scalar(Node("scalar", mark.line + 1, mark.column + 1, event.value, event.style or "", marker))
    return builder


@contextmanager
def events_of(text: str) -> Iterator[Callable[[], yaml.Event | None]]:
    """What gives the parser's events of a text, one at each call, and None behind the last."""
    parser = _PARSER(text)
    try:
        yield parser.get_event
    finally:
        parser.dispose()


def _marker(event: yaml.NodeEvent) -> str:
    """The anchor or tag of a node as it is written."""
    if event.anchor:
        return f"&{event.anchor}"
    return str(event.tag) if event.tag else ""
