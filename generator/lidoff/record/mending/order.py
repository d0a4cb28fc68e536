"""Keys in the order of the schema: whole pieces of text change places, each with the comments above it."""

from collections.abc import Iterator, Sequence

import yaml

from lidoff.record.schema import Shape, record_shape
from lidoff.record.yaml_lines import WIDTH

_COMPOSER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

Done = tuple[int, str]
Pair = tuple[yaml.ScalarNode, yaml.Node]


def in_schema_order(text: str) -> tuple[str, tuple[Done, ...]]:
    """The text with the keys of every mapping in the schema's order; unknown keys come last, as they stood.

    One mapping after another is put right, the innermost first. Raises KeyError for a key that stands twice.
    """
    done: list[Done] = []
    left_alone: set[str] = set()
    while True:
        root = yaml.compose(text, _COMPOSER)
        found = next((one for one in _out_of_order(root, record_shape(), "") if one[1] not in left_alone), None)
        if found is None:
            return text, tuple(done)
        node, path, order = found
        changed = _flow(text, node, order) if node.flow_style else _block(text, node, order)
        left_alone.add(path)
        if changed is not None:
            done.append((node.start_mark.line + 1, f"{path or 'the record'}: keys put in the order of the schema"))
            text = changed


def _out_of_order(
    node: yaml.Node | None, shape: Shape | None, path: str
) -> Iterator[tuple[yaml.MappingNode, str, list[int]]]:
    """Mappings whose keys stand in another order, inner ones first, with the order that they should have."""
    if isinstance(node, yaml.SequenceNode):
        for number, item in enumerate(node.value):
            yield from _out_of_order(item, shape.items if shape else None, f"{path}[{number}]")
    if not isinstance(node, yaml.MappingNode):
        return
    keys = [key.value for key, _ in node.value]
    for place, key in enumerate(keys):
        if not isinstance(key, str) or key in keys[:place]:
            raise KeyError(key)
    for key, value in node.value:
        yield from _out_of_order(
            value, shape.step(key.value) if shape else None, f"{path}.{key.value}" if path else key.value
        )
    if shape is not None and shape.keys:
        rank = {key: number for number, key in enumerate(shape.keys)}
        order = sorted(range(len(keys)), key=lambda place: rank.get(keys[place], len(rank)))
        if order != list(range(len(keys))):
            yield node, path, order


def _flow(text: str, node: yaml.MappingNode, order: Sequence[int]) -> str | None:
    """The text with the pairs inside brackets changed round; what parts them stays where it is.

    None where a comment stands among them or a line would get too long.
    """
    ends = [(key.start_mark.index, value.end_mark.index) for key, value in node.value]
    if "#" in text[ends[0][0] : ends[-1][1]]:
        return None
    pieces = [text[start:end] for start, end in ends]
    changed = text
    for (start, end), place in reversed(list(zip(ends, order, strict=True))):
        changed = changed[:start] + pieces[place] + changed[end:]
    return None if _widest(changed) > max(WIDTH, _widest(text)) else changed


def _widest(text: str) -> int:
    return max(map(len, text.split("\n")))


def _block(text: str, node: yaml.MappingNode, order: Sequence[int]) -> str | None:
    """The text with blocks of lines changed round; None where that would part a dash from its first key."""
    lines = text.split("\n")
    starts = _starts(node.value, lines)
    last = _end(node, lines)
    column = node.value[0][0].start_mark.column
    lead = lines[starts[0]][:column]
    lines[starts[0]] = " " * column + lines[starts[0]][column:]
    blocks = [lines[start:end] for start, end in zip(starts, (*starts[1:], last), strict=True)]
    moved = [line for place in order for line in blocks[place]]
    if lead.strip() and not moved[0].strip().startswith("#") and moved[0].strip():
        moved[0] = lead + moved[0][column:]
    elif lead.strip():
        return None
    return "\n".join([*lines[: starts[0]], *moved, *lines[last:]])


def _starts(pairs: Sequence[Pair], lines: Sequence[str]) -> list[int]:
    """The first line of each key's block: that of the comments right above it, for the first key its own."""
    starts = []
    for place, (key, _) in enumerate(pairs):
        line = key.start_mark.line
        while (
            place
            and line - 1 > pairs[place - 1][0].start_mark.line
            and _is_own_comment(lines[line - 1], key.start_mark.column)
        ):
            line -= 1
        starts.append(line)
    return starts


def _is_own_comment(line: str, column: int) -> bool:
    """Whether a line is a comment set as far in as the key below it; one set further in belongs to what is above."""
    return line.lstrip().startswith("#") and len(line) - len(line.lstrip()) <= column


def _end(node: yaml.Node, lines: Sequence[str]) -> int:
    """The line behind the last one of a block; the parser's own mark lies at the next value."""
    inner = node
    while isinstance(inner, yaml.CollectionNode) and not inner.flow_style and inner.value:
        last = inner.value[-1]
        inner = last[1] if isinstance(last, tuple) else last
    end = inner.end_mark.line
    is_text = isinstance(inner, yaml.ScalarNode) and inner.style in ("|", ">")
    end = end if is_text and inner.end_mark.column == 0 else end + 1
    column = node.start_mark.column
    while (
        end < len(lines) and lines[end].lstrip().startswith("#") and len(lines[end]) - len(lines[end].lstrip()) > column
    ):
        end += 1
    return end
