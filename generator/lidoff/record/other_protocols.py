"""The users' list of proprietary protocols: one spelling each, with the aliases that people and labels use."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from lidoff.finding import Finding, in_order
from lidoff.record.faults import fault, shown
from lidoff.record.marks import Marks
from lidoff.record.reader import read
from lidoff.record.schema import Shape
from lidoff.record.text import decoded
from lidoff.record.values import values_of

FILE_NAME = "other-protocols.yaml"
LIST = "other_protocols"

_NAME = Shape("text", {"maxLength": 60})
_PROTOCOL = Shape(
    "mapping",
    {"required": ["name"]},
    keys={"name": _NAME, "aliases": Shape("list", {}, items=_NAME), "note": Shape("text", {"maxLength": 600})},
)
_FILE = Shape("mapping", {"required": [LIST]}, keys={LIST: Shape("list", {}, items=_PROTOCOL)})


@dataclass(frozen=True)
class OtherProtocols:
    """The listed protocols: ``aliases`` holds those of every name."""

    aliases: Mapping[str, tuple[str, ...]]

    @cached_property
    def name_of(self) -> Mapping[str, str]:
        """The listed name behind every name and alias."""
        pairs = [(alias, name) for name, aliases in self.aliases.items() for alias in aliases]
        return dict(pairs) | {name: name for name in self.aliases}


NO_OTHER_PROTOCOLS = OtherProtocols({})


def load_other_protocols(entries_folder: Path, base: Path) -> tuple[OtherProtocols, tuple[Finding, ...]]:
    """The list of a knowledge base, empty where it has none, and what is wrong with it."""
    file = entries_folder / FILE_NAME
    path = file.relative_to(base).as_posix() if file.is_relative_to(base) else file.as_posix()
    try:
        if file.is_symlink() or not (file.is_file() or file.is_dir()):
            return NO_OTHER_PROTOCOLS, ()  # there is none, or a link or pipe: told where the entries are looked through
        content = file.read_bytes()
    except OSError as error:
        found, fix = f"a file that can't be read: {error.strerror}", "check that the file may be read"
        return NO_OTHER_PROTOCOLS, (fault("record-file", path, 1, 1, found, "a readable file", fix),)
    return read_other_protocols(content, path)


def read_other_protocols(content: bytes | str, path: str) -> tuple[OtherProtocols, tuple[Finding, ...]]:
    """The list that a text holds; a protocol that can't be read is left out with a finding."""
    text, findings = decoded(content, path)
    if text is None:
        return NO_OTHER_PROTOCOLS, tuple(findings)
    reading = read(text, path)
    findings.extend(reading.findings)
    if reading.root is None:  # nothing, or comments alone
        return NO_OTHER_PROTOCOLS, tuple(findings)
    values = values_of(reading.root, _FILE, path)
    findings.extend(values.findings)
    data = values.data if isinstance(values.data, dict) else {}
    items = [item for item in data.get(LIST) or () if isinstance(item, dict)]
    if not findings:
        findings.extend(_faults(data, items, Marks(path, text)))
    return OtherProtocols(dict(_named(items))), in_order(findings)


def _named(items: list[dict]) -> Iterator[tuple[str, tuple[str, ...]]]:
    for item in items:
        if item.get("name"):
            yield item["name"], tuple(alias for alias in item.get("aliases") or () if alias)


def _faults(data: dict, items: list[dict], marks: Marks) -> Iterator[Finding]:
    """What the shape of the file does not say: keys too many or too few, and a name that stands twice."""
    yield from _keys(data, "", _FILE, marks)
    first: dict[str, str] = {}
    for number, item in enumerate(items):
        at = f"{LIST}[{number}]"
        yield from _keys(item, at, _PROTOCOL, marks)
        names = [(f"{at}.name", item.get("name"))]
        names += [(f"{at}.aliases[{place}]", alias) for place, alias in enumerate(item.get("aliases", ()))]
        for field, name in names:
            if name is not None and (earlier := first.setdefault(name, field)) != field:
                found = f"{shown(name)}, which {earlier} has already"
                yield _fault(marks, field, found, "each name and alias once", "merge the two protocols, or rename one")


def _keys(mapping: dict, field: str, shape: Shape, marks: Marks) -> Iterator[Finding]:
    expected = f"the keys {', '.join(shape.keys)}" if len(shape.keys) > 1 else f"the key {LIST} alone"
    for key in mapping:
        if key not in shape.keys:
            inner = f"{field}.{key}" if field else key
            yield _fault(marks, inner, f"the key {shown(key)}", expected, "correct the key, or delete the line")
    for key in shape.schema["required"]:
        if key not in mapping:
            yield _fault(marks, field, f"no key {key}", expected, f"add {key}")


def _fault(marks: Marks, field: str, found: str, expected: str, fix: str) -> Finding:
    place = marks.place(field)
    return fault("entry-protocols", place.path, place.line, place.column, found, expected, fix, field)
