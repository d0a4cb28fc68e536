"""What a migration is made of: small changes of a record's text that leave comments, order and quotes as they are."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import yaml

_COMPOSER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

ANY_ITEM = "[]"


class NotMigrated(ValueError):
    """A step can't be made by a machine; the text says where and why."""


@dataclass(frozen=True, slots=True)
class Step:
    """One change at every place that ``path`` names (``components[].role``).

    ``rename`` gives the key another name; ``list`` makes one value a list of it; ``wrap`` puts the value below a new
    key ``inner``; ``set`` writes another value. ``key`` is the name of the key afterwards.
    """

    path: str
    do: Literal["rename", "list", "wrap", "set"]
    key: str
    inner: str = ""
    value: str = ""


@dataclass(frozen=True, slots=True)
class _Edit:
    start: int
    end: int
    text: str


def applied(text: str, step: Step) -> tuple[str, int]:
    """The text after a step, and at how many places something was done.

    Raises NotMigrated where the new key is there already, or a value goes over lines that can't be put in brackets.
    """
    edits = [edit for pair, holder in _places(yaml.compose(text, _COMPOSER), _parts(step.path)) for edit in _edits(
        text, step, pair, holder)]  # fmt: skip
    for edit in sorted(edits, key=lambda edit: edit.start, reverse=True):
        text = text[: edit.start] + edit.text + text[edit.end :]
    return text, sum(1 for edit in edits if edit.text != "}" and edit.text != "]")


def _parts(path: str) -> tuple[str, ...]:
    return tuple(path.replace(ANY_ITEM, f".{ANY_ITEM}").split("."))


def _places(
    node: yaml.Node | None, parts: Sequence[str]
) -> Iterator[tuple[tuple[yaml.Node, yaml.Node], yaml.MappingNode]]:
    """Key and value at every place of a path, with the mapping that holds them."""
    first, *rest = parts
    if first == ANY_ITEM:
        for item in node.value if isinstance(node, yaml.SequenceNode) else ():
            yield from _places(item, rest)
        return
    for key, value in node.value if isinstance(node, yaml.MappingNode) else ():
        if key.value == first and rest:
            yield from _places(value, rest)
        elif key.value == first:
            yield (key, value), node


def _edits(text: str, step: Step, pair: tuple[yaml.Node, yaml.Node], holder: yaml.MappingNode) -> Iterator[_Edit]:
    key, value = pair
    if step.key != key.value:
        if any(other.value == step.key for other, _ in holder.value):
            raise NotMigrated(f"line {key.start_mark.line + 1}: both {key.value} and its new name {step.key} are there")
        yield _Edit(key.start_mark.index, key.end_mark.index, step.key)
    start, end = value.start_mark.index, value.end_mark.index
    if step.do == "set":
        yield _Edit(start, end, step.value)
    elif step.do == "list" and not isinstance(value, yaml.SequenceNode):
        yield from _around(value, "[", "]")
    elif step.do == "wrap" and not isinstance(value, yaml.MappingNode):
        yield from _around(value, f"{{{step.inner}: ", "}")


def _around(value: yaml.Node, before: str, after: str) -> Iterator[_Edit]:
    """Brackets round a value that stands in one piece."""
    is_block = value.style in ("|", ">") if isinstance(value, yaml.ScalarNode) else not value.flow_style
    if is_block:
        raise NotMigrated(f"line {value.start_mark.line + 1}: a value over several lines; write it in brackets first")
    yield _Edit(value.start_mark.index, value.start_mark.index, before)
    yield _Edit(value.end_mark.index, value.end_mark.index, after)
