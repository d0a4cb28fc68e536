"""Change or take out what a record's file holds at a field, and leave all else as it is, byte for byte."""

from collections.abc import Iterator, Mapping, Sequence

import yaml

from lidoff.record.edit import BOM, COMPOSER, EditError, data_of, inserted, last_line, node_inside, offset_of, replaced
from lidoff.record.paths import Trail, steps, written


def set_to(content: bytes, field: str, value: object) -> bytes:
    """The file with a value at a field, whatever stands there; None takes the key out.

    Of a list or mapping that keeps its shape only those values are written that differ, so that comments between them
    stay. Raises EditError where that can't be done without changing what stands around it.

    Examples
    --------
    >>> before = b"- {ref: Q1, box: [0.10, 0.2]}  # the switch\\n- {ref: C1}\\n"
    >>> print(set_to(before, "[0].box", [0.1, 0.25]).decode(), end="")
    - {ref: Q1, box: [0.1, 0.25]}  # the switch
    - {ref: C1}
    """
    node = node_at(content, field)
    if value is None:
        return content if node is None else removed(content, field)
    if node is None:
        return inserted(content, field, value)
    for inner, one in list(_changes(node, steps(field), value)):
        content = _changed(content, written(inner), one)
    return content


def node_at(content: bytes, field: str) -> yaml.Node | None:
    """What stands at a field; None where nothing does."""
    node: yaml.Node | None = yaml.compose(_text(content), COMPOSER)
    for step in steps(field):
        node = node_inside(node, step) if node is not None else None
    return node


def removed(content: bytes, field: str) -> bytes:
    """The file without a key or an item of a list, and without a comment behind it in its line.

    Raises EditError where it is not there, where it is the only one of what holds it, and where more would change.

    Examples
    --------
    >>> before = b"callouts: # seen from above\\n  - {ref: Q1}  # the switch\\n  # sharp\\n  - {ref: C1}\\n"
    >>> print(removed(before, "callouts[0]").decode(), end="")
    callouts: # seen from above
      # sharp
      - {ref: C1}
    """
    raw, trail = content.decode("utf-8"), steps(field)
    holder = node_at(content, written(trail[:-1]))
    if holder is None or node_inside(holder, trail[-1]) is None:
        raise EditError(f"{field} is not there")
    if len(holder.value) == 1:
        raise EditError(f"{field} is the only one there: take out what holds it")
    pieces = _spans(holder)
    place = next(at for at, (step, _, _) in enumerate(pieces) if step == trail[-1])
    cut = _cut_flow if holder.flow_style else _cut_block
    changed = cut(raw, pieces, place, holder)
    if data_of(changed) != _without(data_of(raw), trail):
        raise EditError(f"{field} can't be taken out without changing what stands around it: do it by hand")
    return changed.encode("utf-8")


def _text(content: bytes) -> str:
    return content.decode("utf-8").removeprefix(BOM).replace("\r\n", "\n")


def _changes(node: yaml.Node, trail: Trail, value: object) -> Iterator[tuple[Trail, object]]:
    """The smallest values that differ, each with its trail; None for a key that is to go."""
    if isinstance(node, yaml.ScalarNode):
        if not _is_same(node.value, value):
            yield trail, value
    elif isinstance(node, yaml.MappingNode) and isinstance(value, Mapping):
        held = {key.value: inner for key, inner in node.value}
        for key, one in value.items():
            if key in held:
                yield from _changes(held[key], (*trail, key), one)
            else:
                yield (*trail, key), one
        yield from (((*trail, key), None) for key in held if key not in value)
    elif _is_list(node, value) and len(node.value) == len(value):
        inner = [change for at, one in enumerate(value) for change in _changes(node.value[at], (*trail, at), one)]
        is_one_line = node.flow_style and node.start_mark.line == node.end_mark.line
        yield from [(trail, value)] if inner and is_one_line else inner
    else:
        yield trail, value


def _is_list(node: yaml.Node, value: object) -> bool:
    return isinstance(node, yaml.SequenceNode) and isinstance(value, Sequence) and not isinstance(value, str)


def _is_same(written_value: str, value: object) -> bool:
    """Whether a scalar is written so already; numbers may be written in several ways."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return written_value == (str(value).lower() if isinstance(value, bool) else value)
    try:
        return float(written_value) == value
    except ValueError:
        return False


def _changed(content: bytes, field: str, value: object) -> bytes:
    if value is None:
        return removed(content, field)
    return inserted(content, field, value) if node_at(content, field) is None else replaced(content, field, value)


def _spans(holder: yaml.CollectionNode) -> list[tuple[str | int, yaml.Node, yaml.Node]]:
    """What a list or mapping holds: step, first and last node of each."""
    if isinstance(holder, yaml.MappingNode):
        return [(key.value, key, value) for key, value in holder.value]
    return [(place, item, item) for place, item in enumerate(holder.value)]


def _cut_block(raw: str, pieces: Sequence, place: int, holder: yaml.CollectionNode) -> str:
    """The file without the lines of one item or key."""
    _, first, last = pieces[place]
    lines = raw.split("\n")
    lead = lines[first.start_mark.line][: first.start_mark.column]
    if lead.strip() != ("-" if isinstance(holder, yaml.SequenceNode) else ""):
        raise EditError("it begins in a line with something else: take it out by hand")
    plain = _text(raw.encode("utf-8")).split("\n")
    return "\n".join(lines[: first.start_mark.line] + lines[last_line(last, plain) + 1 :])


def _cut_flow(raw: str, pieces: Sequence, place: int, holder: yaml.CollectionNode) -> str:
    """The file without one piece between brackets and without one comma."""
    _, first, last = pieces[place]
    start, end = offset_of(raw, first.start_mark), offset_of(raw, last.end_mark)
    if place + 1 < len(pieces):
        upto = offset_of(raw, pieces[place + 1][1].start_mark)
        line_end = raw.find("\n", end, upto)
        has_comments = line_end >= 0 and raw[line_end:upto].strip()
        kept = raw[line_end - (raw[line_end - 1] == "\r") : upto] if has_comments else ""
        return raw[:start].rstrip(" ") + kept + raw[upto:] if kept else raw[:start] + raw[upto:]
    # the last one: the comma before it goes, comments between the two stay
    before = offset_of(raw, pieces[place - 1][2].end_mark)
    between = raw[before:start].replace(",", "", 1)
    return raw[:before] + (between.rstrip(" ") if "\n" in between else "") + raw[end:]


def _without(data: object, trail: Trail) -> object:
    step, *rest = trail
    items = list(data.items()) if isinstance(data, Mapping) else list(enumerate(data))
    kept = [
        (key, _without(one, tuple(rest)) if key == step and rest else one) for key, one in items if key != step or rest
    ]
    return dict(kept) if isinstance(data, Mapping) else [one for _, one in kept]
