"""Put a value into a record's file and leave all else as it is, byte for byte: comments, quotes, order, line ends.

The file is never written anew from its data. The place of the new lines follows from where the values around them end,
and the outcome is read again before it is handed out.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import yaml

from lidoff.record.paths import Trail, steps, written
from lidoff.record.schema import shape_at
from lidoff.record.yaml_lines import WIDTH, flow, item_lines, keyed, wrapped

BOM = "\ufeff"
COMPOSER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
AS_TEXT = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


class EditError(ValueError):
    """The value can't be put there; the text says why."""


@dataclass(frozen=True, slots=True)
class _Insertion:
    """Text for one place: whole lines behind a line, or a piece inside a line. Line and column count from 0."""

    line: int
    column: int | None
    lines: tuple[str, ...]


def inserted(content: bytes, field: str, value: object) -> bytes:
    """The file with a value at a field: a key that is not there yet, or further items for a list.

    Mappings on the way to the field that are not there yet are made. Raises EditError where the field holds a value
    already, where something on the way is missing in a list, and where the outcome would not read as it should. The
    content must be that of a record without errors.

    Examples
    --------
    >>> before = b"ports:\\n  - id: C1      # left\\n"
    >>> print(inserted(before, "ports[0].advertised", [{"message": "spr"}]).decode(), end="")
    ports:
      - id: C1      # left
        advertised:
          - {message: spr}
    """
    raw = content.decode("utf-8")
    text = raw.removeprefix(BOM).replace("\r\n", "\n")
    root = yaml.compose(text, COMPOSER)
    trail, held = _existing(root, steps(field), value)
    insertion = _planned(root, text.split("\n"), trail, held)
    changed = _applied(raw, insertion)
    if data_of(changed) != _with(data_of(raw), steps(field), value):
        raise EditError(f"{field} can't be added without changing what stands around it: write it by hand")
    return changed.encode("utf-8")


def replaced(content: bytes, field: str, value: object) -> bytes:
    """The file with another value at a field that has one; a comment behind it stays.

    Raises EditError where nothing stands there, and where what stands there goes over lines of its own, as a block.

    Examples
    --------
    >>> before = b"components:\\n  - {ref: Q1, maker: Quilstone}  # to be seen again\\n"
    >>> print(replaced(before, "components[0].maker", "Quillstone").decode(), end="")
    components:
      - {ref: Q1, maker: Quillstone}  # to be seen again
    """
    raw = content.decode("utf-8")
    node: yaml.Node | None = yaml.compose(raw.removeprefix(BOM).replace("\r\n", "\n"), COMPOSER)
    for step in steps(field):
        node = node_inside(node, step) if node is not None else None
    if node is None:
        raise EditError(f"{field} is not there")
    is_block = node.style in ("|", ">") if isinstance(node, yaml.ScalarNode) else not node.flow_style
    if is_block:
        raise EditError(f"{field} stands over lines of its own: change it by hand")
    start, end = (offset_of(raw, mark) for mark in (node.start_mark, node.end_mark))
    changed = raw[:start] + flow(value) + raw[end:]
    if data_of(changed) != _with_other(data_of(raw), steps(field), value):
        raise EditError(f"{field} can't be changed without changing what stands around it: write it by hand")
    return changed.encode("utf-8")


def offset_of(raw: str, mark: yaml.Mark) -> int:
    """The place of a mark in the file as it is, with its line ends and byte-order mark."""
    lines = raw.split("\n")
    first = len(BOM) if raw.startswith(BOM) and mark.line == 0 else 0
    return sum(len(line) + 1 for line in lines[: mark.line]) + mark.column + first


def _with_other(data: object, trail: Trail, value: object) -> object:
    """The data with the value at a trail in place of the one that is there."""
    if not trail:
        return yaml.load(flow(value), AS_TEXT)
    step, *rest = trail
    if isinstance(step, int):
        return [_with_other(item, tuple(rest), value) if place == step else item for place, item in enumerate(data)]
    return {key: _with_other(item, tuple(rest), value) if key == step else item for key, item in data.items()}


def _existing(root: yaml.Node, trail: Trail, value: object) -> tuple[Trail, object]:
    """The shortest trail that is not there yet, and what has to be put there so that the value comes to its field."""
    node = root
    for number, step in enumerate(trail):
        inner = node_inside(node, step)
        if inner is None:
            if isinstance(step, int) or not isinstance(node, yaml.MappingNode):
                raise EditError(f"{written(trail[: number + 1])} is not there")
            for further in reversed(trail[number + 1 :]):
                if isinstance(further, int):
                    raise EditError(f"{written(trail[: number + 1])} is not there")
                value = {further: value}
            return trail[: number + 1], value
        node = inner
    if not isinstance(node, yaml.SequenceNode) or not isinstance(value, Sequence) or isinstance(value, str):
        raise EditError(f"{written(trail)} is there already")
    return trail, value


def node_inside(node: yaml.Node, step: str | int) -> yaml.Node | None:
    """The node one step further in."""
    if isinstance(step, int):
        items = node.value if isinstance(node, yaml.SequenceNode) else []
        return items[step] if step < len(items) else None
    pairs = node.value if isinstance(node, yaml.MappingNode) else []
    return next((value for key, value in pairs if key.value == step), None)


def _planned(root: yaml.Node, lines: Sequence[str], trail: Trail, value: object) -> _Insertion:
    node, parent, column = root, root, 0
    for step in trail:
        parent, inner = node, node_inside(node, step)
        if isinstance(parent, yaml.MappingNode) and parent.value:
            column = parent.value[0][0].start_mark.column
        if inner is None:
            return _new_key(parent, lines, trail, value)
        node = inner
    return _new_items(node, lines, column, value)


def _new_items(node: yaml.SequenceNode, lines: Sequence[str], key_column: int, items: Sequence) -> _Insertion:
    """Items behind the last one of a list."""
    if node.flow_style:
        pieces = ", ".join(flow(item) for item in items)
        return _piece(node, node.value[-1] if node.value else None, pieces)
    column = node.start_mark.column
    after = _past_comments(lines, last_line(node, lines), key_column)
    return _Insertion(after, None, tuple(line for item in items for line in item_lines(item, column)))


def _new_key(node: yaml.MappingNode, lines: Sequence[str], trail: Trail, value: object) -> _Insertion:
    """A key behind the one that the schema has before it."""
    key = trail[-1]
    before = _before(node, trail)
    if node.flow_style:
        return _piece(node, before, f"{key}: {flow(value)}")
    column = node.value[0][0].start_mark.column
    after = _past_comments(lines, last_line(before, lines), column)
    sample = _sample_line(lines, key) if len(trail) == 1 else None
    return _Insertion(after if sample is None else sample - 1, None, tuple(keyed(key, value, column)))


def _sample_line(lines: Sequence[str], key: str) -> int | None:
    """The line where a fresh record has this key as a comment, to be filled in: that is the place of the key."""
    return next((number for number, line in enumerate(lines) if number and line.startswith(f"# {key}:")), None)


def _before(node: yaml.MappingNode, trail: Trail) -> yaml.Node | None:
    """The value behind which a new key comes; the last one where the schema has no order for it."""
    if not node.value:
        return None
    shape = shape_at(written(trail[:-1]))
    order = list(shape.keys) if shape is not None else []
    earlier = order[: order.index(trail[-1])] if trail[-1] in order else []
    known = [(earlier.index(key.value), value) for key, value in node.value if key.value in earlier]
    return max(known, key=lambda pair: pair[0])[1] if known else node.value[-1][1]


def _piece(node: yaml.Node, before: yaml.Node | None, text: str) -> _Insertion:
    """A piece inside brackets, behind one of their values; a long one goes on in the next line."""
    if before is None:
        mark, lead = node.start_mark, ""
        place = (mark.line, mark.column + 1)
    else:
        place, lead = (before.end_mark.line, before.end_mark.column), ", "
    margin = " " * (node.start_mark.column + 1)
    if place[1] + len(lead) + len(text) <= WIDTH - 2:
        return _Insertion(*place, (lead + text,))
    lines = wrapped(text, margin, WIDTH - 2)
    return _Insertion(*place, (lead.rstrip(), *lines) if lead else (lines[0].lstrip(), *lines[1:]))


def last_line(node: yaml.Node, lines: Sequence[str]) -> int:
    """The line in which a value ends. A block ends where its last value does: the parser's own mark lies far behind."""
    while isinstance(node, yaml.CollectionNode) and not node.flow_style and node.value:
        last = node.value[-1]
        node = last[1] if isinstance(last, tuple) else last
    line = node.end_mark.line
    if isinstance(node, yaml.ScalarNode) and node.style in ("|", ">") and node.end_mark.column == 0:
        line -= 1
        while line > node.start_mark.line and not lines[line].strip():
            line -= 1
    return line


def _past_comments(lines: Sequence[str], line: int, column: int) -> int:
    """The last of the comment lines that follow at once and are set further in than a key: they belong to it.

    So do lines that were taken out by a # before them.
    """
    while line + 1 < len(lines):
        text = lines[line + 1]
        inner = text.removeprefix("#") if text.startswith("#  ") else text
        indent = len(inner) - len(inner.lstrip(" "))
        if not text.lstrip().startswith("#") or indent <= column:
            break
        line += 1
    return line


def _applied(raw: str, insertion: _Insertion) -> str:
    """The file with the insertion, in its own line ends."""
    newline = "\r\n" if "\r\n" in raw else "\n"
    text = newline.join(insertion.lines)
    lines = raw.split("\n")
    start = sum(len(line) + 1 for line in lines[: insertion.line])
    if insertion.column is not None:
        mark = 1 if raw.startswith(BOM) and insertion.line == 0 else 0
        at = start + insertion.column + mark
        return raw[:at] + text + raw[at:]
    at = start + len(lines[insertion.line]) + 1
    if at > len(raw):  # the file ends without a line end
        return f"{raw}{newline}{text}"
    return f"{raw[:at]}{text}{newline}{raw[at:]}"


def data_of(raw: str) -> object:
    """The data of a file, every single value as text."""
    try:
        return yaml.load(raw.removeprefix(BOM), AS_TEXT)
    except yaml.YAMLError as error:
        raise EditError(f"the outcome would be no YAML: {error}") from error


def _with(data: object, trail: Trail, value: object) -> object:
    """The data with the value at a trail, as a reader of the outcome must find it."""
    value = yaml.load(flow(value), AS_TEXT)
    if not trail:
        return [*data, *value] if isinstance(data, list) else value
    step, *rest = trail
    if isinstance(step, int):
        return [_with(item, tuple(rest), value) if place == step else item for place, item in enumerate(data)]
    held: Mapping = data if isinstance(data, Mapping) else {}
    if step not in held:
        return {**held, step: _with({} if rest else None, tuple(rest), value)}
    return {**held, step: _with(held[step], tuple(rest), value)}
