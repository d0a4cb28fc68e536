"""Parts of a table -> the components of a record, with everything else in its file left as it is."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

import yaml

from lidoff.bench.parts_table.read_parts import Part
from lidoff.bench.parts_table.words import form
from lidoff.bench.spreadsheet.grid import Cell
from lidoff.bench.spreadsheet.remark import Remark
from lidoff.finding import Finding
from lidoff.record.edit import EditError, inserted, replaced
from lidoff.record.load import load_text
from lidoff.record.nearest import closest
from lidoff.record.paths import steps

_AS_TEXT = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
UNREADABLE = frozenset(("record-syntax", "record-encoding", "record-size", "record-empty", "record-documents"))


@dataclass(frozen=True, slots=True)
class Entered:
    """The record's new text, the designators that were added, and what changed: field, old and new value."""

    content: bytes
    added: tuple[str, ...] = ()
    changes: tuple[tuple[str, str, str], ...] = ()


class RefusedParts(Exception):
    """Parts that can't go into the record: remarks on their cells, or the errors of the record itself."""

    def __init__(self, remarks: Sequence[Remark] = (), findings: Sequence[Finding] = ()) -> None:
        super().__init__(f"{len(remarks)} remarks, {len(findings)} findings")
        self.remarks, self.findings = tuple(remarks), tuple(findings)


def entered(content: bytes, path: str, parts: Sequence[Part], table: str, update: bool) -> Entered:
    """The record with the parts; those that it has already are changed where ``update`` says so, else refused.

    The record may have errors elsewhere, as a fresh draft has, but its components must be sound. Raises RefusedParts.
    """
    before = load_text(content, path)
    data = _data(content, before.findings)
    own = [one for one in before.findings if one.field.startswith("components")]
    if own:
        raise RefusedParts(findings=own)
    held = {item["ref"]: place for place, item in enumerate(data.get("components") or ())}
    remarks = [*_strangers(parts, data, table), *([] if update else _refused(parts, held, path, table, before))]
    if remarks:
        raise RefusedParts(sorted(remarks))
    fresh = [part for part in parts if part.ref not in held]
    changes: list[tuple[str, str, str]] = []
    for part in parts:
        if part.ref in held:
            content, changed = _updated(content, part, held[part.ref], table)
            changes += changed
    content = _added(content, fresh, table)
    _refuse_new_errors(content, path, parts, before.findings, table)
    return Entered(content, tuple(part.ref for part in fresh), tuple(changes))


def _data(content: bytes, findings: Sequence[Finding]) -> Mapping:
    """The record's data, every single value as text; raises RefusedParts where it can't be read."""
    unreadable = [one for one in findings if one.rule in UNREADABLE]
    try:
        data = yaml.load(content.decode("utf-8-sig"), _AS_TEXT)
    except (UnicodeDecodeError, yaml.YAMLError) as error:
        raise RefusedParts(findings=unreadable or findings) from error
    if unreadable or not isinstance(data, Mapping):
        raise RefusedParts(findings=unreadable or findings)
    return data


def _strangers(parts: Sequence[Part], data: Mapping, table: str) -> Iterator[Remark]:
    """Boards and ports that the record does not have, each cell once."""
    told: set[Cell] = set()
    for key, section in (("board", "boards"), ("port", "ports")):
        known = [str(item.get("id")) for item in data.get(section) or () if isinstance(item, Mapping)]
        for part in parts:
            name, cell = part.data.get(key), part.cells.get(key)
            if name is None or name in known or cell in told:
                continue
            told.add(cell)
            same = next((one for one in known if form(one) == form(str(name))), None)
            near = same or closest(str(name), known, 0.5)
            fix = f"write {near}" if near else f"add the {key} {name} to {section} in the record first"
            expected = f"one of {', '.join(known)}" if known else f"a {key} that stands in the record"
            yield Remark(table, cell.line, cell.column, key, f'the {key} "{name}"', expected, fix)


def _refused(parts: Sequence[Part], held: Mapping[str, int], path: str, table: str, before: object) -> Iterator[Remark]:
    rows: dict[Cell, list[str]] = {}
    for part in parts:
        if part.ref in held:
            rows.setdefault(part.cells["ref"], []).append(part.ref)
    for cell, refs in rows.items():
        places = [before.place(f"components[{held[ref]}].ref") for ref in refs]
        found = f"{', '.join(refs)}, already there: {path}:{places[0].line}"
        fix = "take the row out, or use --update to change what is there"
        yield Remark(table, cell.line, cell.column, "ref", found, "parts that are not there yet", fix)


def _added(content: bytes, parts: Sequence[Part], table: str) -> bytes:
    if not parts:
        return content
    try:
        return inserted(content, "components", [part.data for part in parts])
    except EditError as error:
        raise RefusedParts([_by_hand(parts[0].cells["ref"], str(error), table)]) from error


def _updated(content: bytes, part: Part, place: int, table: str) -> tuple[bytes, list[tuple[str, str, str]]]:
    """The record with what the table says otherwise of one part; what it does not speak of stays."""
    changes: list[tuple[str, str, str]] = []
    for field, value in _leaves(part.data, f"components[{place}]"):
        old = _value_at(yaml.load(content.decode("utf-8-sig"), _AS_TEXT), field)
        if old is not None and _same(old, value):
            continue
        try:
            content = inserted(content, field, value) if old is None else replaced(content, field, value)
        except EditError as error:
            raise RefusedParts([_by_hand(part.cells["ref"], str(error), table)]) from error
        changes.append((f"{part.ref} {field.partition('].')[2]}", "" if old is None else _shown(old), _shown(value)))
    return content, changes


def _leaves(data: Mapping[str, object], field: str) -> Iterator[tuple[str, object]]:
    for key, value in data.items():
        if isinstance(value, Mapping):
            yield from _leaves(value, f"{field}.{key}")
        elif key != "ref":
            yield f"{field}.{key}", value


def _value_at(data: object, field: str) -> object:
    """What stands at a field; None where nothing does. The items on the way are there."""
    for step in steps(field):
        inner = data if isinstance(data, Mapping) or isinstance(step, int) else {}
        data = inner[step] if isinstance(step, int) else inner.get(step)
    return data


def _same(old: object, new: object) -> bool:
    if isinstance(new, (list, tuple)):
        return isinstance(old, list) and [str(one) for one in new] == old
    if isinstance(new, str):
        return old == new
    try:
        return Decimal(str(old)) == Decimal(str(new))
    except InvalidOperation:
        return False


def _shown(value: object) -> str:
    return ", ".join(map(str, value)) if isinstance(value, (list, tuple)) else str(value)


def _by_hand(cell: Cell, reason: str, table: str) -> Remark:
    return Remark(table, cell.line, cell.column, "", reason, "a place for the part in the record", "write it by hand")


def _refuse_new_errors(content: bytes, path: str, parts: Sequence[Part], before: Sequence[Finding], table: str) -> None:
    """Put the errors that the parts would bring into the record at the cells that they come from."""
    known = {(one.rule, one.field, one.found) for one in before}
    after = load_text(content, path)
    fresh = [one for one in after.findings if (one.rule, one.field, one.found) not in known and one.severity == "error"]
    if not fresh:
        return
    data = yaml.load(content.decode("utf-8-sig"), _AS_TEXT)
    refs = [item.get("ref") for item in data.get("components") or ()]
    by_ref = {part.ref: part for part in parts}
    remarks, others = [], []
    for one in fresh:
        trail = steps(one.field) if one.field else ()
        part = by_ref.get(refs[trail[1]]) if len(trail) > 1 and trail[0] == "components" else None
        if part is None:
            others.append(one)
            continue
        key = trail[2] if len(trail) > 2 else "ref"
        cell = part.cells.get(key, part.cells["ref"])
        remarks.append(Remark(table, cell.line, cell.column, key, one.found, one.expected, one.fix))
    raise RefusedParts(sorted(set(remarks)), others)
