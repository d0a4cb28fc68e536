"""A tree of nodes and the shape of a record -> plain data for the schema's validators.

The kind of every value is settled here, because only here both the schema's wish and the way it is written are known. A
value that can't be taken is None in the data, and its trail is among the ``faulty``: the validators' complaints about
it would be echoes.
"""

import re
from dataclasses import dataclass, field

from lidoff.finding import Finding, Place
from lidoff.record import scalars, wording
from lidoff.record.faults import fault, quoted, shown
from lidoff.record.paths import Step, Trail, written
from lidoff.record.phrases import expected
from lidoff.record.reader import Node
from lidoff.record.schema import ANYTHING, Shape
from lidoff.record.text import refused_sign


@dataclass(slots=True)
class Values:
    """Data of one file, what was wrong with single values, and the trails of those that are missing in the data.

    ``holes`` are the trails of mappings that a refused key leaves incomplete.
    """

    path: str
    data: object = None
    findings: list[Finding] = field(default_factory=list)
    faulty: set[Trail] = field(default_factory=set)
    holes: set[Trail] = field(default_factory=set)
    trail: list[Step] = field(default_factory=list)

    def report(self, rule: str, node: Node, found: str, wanted: str, fix: str, related: tuple[Place, ...] = ()) -> None:
        """Add a finding at a node; the value at the present trail counts as missing."""
        self.remark(rule, node, found, wanted, fix, related)
        self.faulty.add(tuple(self.trail))

    def remark(self, rule: str, node: Node, found: str, wanted: str, fix: str, related: tuple[Place, ...] = ()) -> None:
        """Add a finding at a node whose value is kept."""
        self.findings.append(
            fault(rule, self.path, node.line, node.column, found, wanted, fix, written(self.trail), related)
        )


def values_of(root: Node, shape: Shape, path: str) -> Values:
    """The data that a tree holds under the schema."""
    values = Values(path)
    values.data = _value(root, shape, values)
    return values


def _value(node: Node, shape: Shape, values: Values) -> object:
    if node.marker or node.kind in ("alias", "too-deep"):
        return _refused(node, shape, values)
    if node.kind == "scalar":
        return _scalar(node, shape, values)
    if node.kind != shape.kind and shape is not ANYTHING:
        values.report(
            "record-structure",
            node,
            wording.collection(node),
            expected(shape),
            wording.restructured(values.trail, node, shape),
        )
        return None
    return _list(node, shape, values) if node.kind == "list" else _mapping(node, shape, values)


def _refused(node: Node, shape: Shape, values: Values) -> None:
    if node.kind == "too-deep":
        values.faulty.add(tuple(values.trail))
    elif node.kind == "alias":
        values.report(
            "record-anchor",
            node,
            f"the alias {shown(node.marker)}",
            "every value written where it stands",
            "write the value itself here, in quotes if it begins with *",
        )
    elif node.marker.startswith("&"):
        values.report(
            "record-anchor",
            node,
            f"the anchor {shown(node.marker)}",
            "every value written where it stands",
            f"delete {shown(node.marker)}, or put quotes round text that begins with &",
        )
    else:
        tag = node.marker.replace("tag:yaml.org,2002:", "!!")
        values.report(
            "record-tag",
            node,
            f"the tag {shown(tag)}",
            "a value without a tag",
            "delete the tag, or put quotes round text that begins with !",
        )


def _list(node: Node, shape: Shape, values: Values) -> list:
    inner = shape.items or ANYTHING
    data = []
    trail = values.trail
    for index, item in enumerate(node.content):
        trail.append(index)
        data.append(_value(item, inner, values))
        trail.pop()
    return data


def _mapping(node: Node, shape: Shape, values: Values) -> dict:
    data: dict = {}
    first: dict[str, Node] = {}
    trail = values.trail
    keys, others = shape.keys, shape.others
    for key_node, value_node in node.content:
        key = key_node.content
        if key_node.marker or not key or key == "<<" or key_node.kind != "scalar":
            key = _key(key_node, values)
        if key is None:
            values.holes.add(tuple(trail))
            continue
        trail.append(key)
        if key in first:
            place = Place(values.path, first[key].line, first[key].column, written(trail))
            values.remark(
                "record-duplicate-key",
                key_node,
                f"{shown(key)} a second time",
                "every key once",
                f"keep one of the two; the first is in line {place.line}",
                (place,),
            )
        else:
            first[key] = key_node
            inner = keys.get(key, others) or ANYTHING
            data[key] = (
                _nothing_after(key_node, inner, values) if _is_absent(value_node) else _value(value_node, inner, values)
            )
        trail.pop()
    return data


def _key(node: Node, values: Values) -> str | None:
    """The text of a key; None where it can't be one."""
    if node.kind != "scalar" or node.marker:
        is_whole = node.kind in ("list", "mapping")
        found = f"a key that is {wording.collection(node)}" if is_whole else f"the key {shown(node.marker)}"
        values.remark(
            "record-key",
            node,
            found,
            "a key of the schema",
            "write the key as a plain word; put quotes round a value that begins with { or [",
        )
        return None
    if not node.style and node.content == "<<":
        values.remark(
            "record-anchor",
            node,
            "the merge key <<",
            "every value written where it stands",
            "delete the line and write the keys out",
        )
        return None
    if node.content == "":
        values.remark(
            "record-key",
            node,
            "a colon without a key",
            "a key, a colon, a space and a value",
            "write the key before the colon, or delete the line",
        )
        return None
    return node.content


def _scalar(node: Node, shape: Shape, values: Values) -> object:
    text = node.content
    if not node.style and scalars.is_nothing(text) and shape is not ANYTHING:
        return _nothing(node, shape, values)
    if shape.kind == "text":
        return _text(node, shape, values)
    if shape.kind == "number" or shape.kind == "whole":
        return _number(node, shape, values)
    if shape.kind == "flag":
        return _flag(node, shape, values)
    if shape is not ANYTHING:
        values.report(
            "record-structure", node, wording.scalar(node), expected(shape), wording.wrapped(values.trail, node, shape)
        )
        return None
    return text


def _is_absent(node: Node) -> bool:
    return node.kind == "scalar" and not node.content and not node.style and not node.marker


def _nothing_after(key: Node, shape: Shape, values: Values) -> None:
    """A key whose value is not there is reported at the key: there is nothing else to point at."""
    if shape is not ANYTHING:
        values.report(
            "record-empty", key, "nothing after the colon", expected(shape), wording.left_out(values.trail, shape)
        )


def _nothing(node: Node, shape: Shape, values: Values) -> None:
    found = f"{node.content} (nothing)" if node.content else "nothing"
    values.report("record-empty", node, found, expected(shape), wording.left_out(values.trail, shape))


def _text(node: Node, shape: Shape, values: Values) -> str | None:
    text = node.content
    if not node.style:
        reading = scalars.other_reading(text)
        if reading and not _judged_by_schema(text, reading, shape):
            fix = f"put quotes round it: {wording.assigned(values.trail, quoted(text))}"
            values.report(
                "record-text",
                node,
                f"{shown(text)} without quotes, which YAML may read as {reading}",
                expected(shape),
                fix,
            )
            return None
        return _date(node, shape, values) if shape.is_date else text
    if node.style in "|>":
        text = text.rstrip("\n")
    sign = refused_sign(text)
    if sign:
        values.report(
            "record-character",
            node,
            f"{sign} in {quoted(text)}",
            "visible signs, spaces and line ends",
            "delete the escape",
        )
        return None
    if text != text.strip():
        values.report(
            "record-space",
            node,
            quoted(text),
            "text without spaces at its ends",
            f"take the spaces away: {wording.assigned(values.trail, quoted(text.strip()))}",
        )
        return None
    return _date(node, shape, values) if shape.is_date else text


def _judged_by_schema(text: str, reading: str, shape: Shape) -> bool:
    """Whether quotes would not help, as the schema refuses the text in any case, or are not needed, as it is a date."""
    if shape.is_date and reading == "a date" or "enum" in shape.schema:
        return True
    return "pattern" in shape.schema and re.search(shape.schema["pattern"], text) is None


def _date(node: Node, shape: Shape, values: Values) -> str | None:
    """A date's text; one of the right form that no calendar has is a finding, another form is left to the pattern."""
    text = node.content
    if len(text) == 10 and text[:4].isdigit() and text[4] == text[7] == "-" and not scalars.is_day(text):
        values.report(
            "record-date",
            node,
            shown(text),
            "a day that the calendar has",
            "correct the day or the month; the order is year, month, day",
        )
        return None
    return text


def _number(node: Node, shape: Shape, values: Values) -> int | float | None:
    value = None if node.style else scalars.number(node.content)
    if value is None:
        values.report(
            "record-number", node, wording.scalar(node), expected(shape), wording.as_number(values.trail, node, shape)
        )
    elif shape.kind == "whole" and isinstance(value, float):
        values.report(
            "record-number",
            node,
            wording.scalar(node),
            expected(shape),
            "write a whole number, without a decimal point",
        )
        return None
    return value


def _flag(node: Node, shape: Shape, values: Values) -> bool | None:
    if not node.style and node.content in ("true", "false"):
        return node.content == "true"
    values.report("record-true-false", node, wording.scalar(node), expected(shape), wording.as_flag(values.trail, node))
    return None
