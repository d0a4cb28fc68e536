"""Texts that try to be more than text, and the fields of a record that take any text: found in the schema."""

import datetime
import functools
import json
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).parent
SCHEMA = HERE.parents[1] / "schema"
NARROW = ("enum", "const", "pattern", "format", "anyOf", "oneOf")
Choose = Callable[[str, int], str | None]


class _Dumper(yaml.SafeDumper):
    def ignore_aliases(self, data: object) -> bool:
        return True


_Dumper.add_representer(str, lambda dumper, text: dumper.represent_scalar("tag:yaml.org,2002:str", text, style='"'))


def payloads() -> Mapping[str, tuple[str, ...]]:
    """The corpus by class."""
    content = yaml.safe_load((HERE / "payloads.yaml").read_text(encoding="utf-8"))
    return {name: tuple(texts) for name, texts in content.items()}


def as_yaml(record: Mapping[str, Any]) -> str:
    """A record with every text in double quotes, so that nothing but the text itself is on trial."""
    return yaml.dump(record, Dumper=_Dumper, width=1000, sort_keys=False, allow_unicode=True)


@functools.cache
def free_fields() -> Mapping[str, int]:
    """Every field of the schema that takes any text, written like ``ports[].note``, with the most signs it takes."""
    return dict(_walk(*_resolved({"$ref": "record.schema.json"}, "record.schema.json"), ""))


def placed(record: Any, choose: Choose) -> Any:
    """The record with a text of ``choose`` in every field that takes any; None leaves the field as it is.

    What stands in the record already gains the notes that it could hold and does not.
    """
    return _placed(record, free_fields(), choose, "")


def _placed(node: Any, free: Mapping[str, int], choose: Choose, path: str) -> Any:
    if isinstance(node, dict):
        more = {} if "note" in node or f"{path}.note".lstrip(".") not in free else {"note": "a note"}
        return {key: _placed(value, free, choose, _below(path, key, free)) for key, value in (node | more).items()}
    if isinstance(node, list):
        return [_placed(value, free, choose, f"{path}[]") for value in node]
    if isinstance(node, datetime.date):
        return node.isoformat()
    chosen = choose(path, free[path]) if path in free and isinstance(node, str) else None
    return node if chosen is None else chosen


def _below(path: str, key: str, free: Mapping[str, int]) -> str:
    """The path of a key; a mapping whose keys are free is written with a star."""
    return f"{path}.*" if f"{path}.*" in free else f"{path}.{key}".lstrip(".")


def _walk(node: Mapping[str, Any], file: str, path: str) -> Iterator[tuple[str, int]]:
    if node.get("type") == "string" and not any(word in node for word in NARROW):
        yield path, node.get("maxLength", 10_000)
    below = [(f"{path}.{key}".lstrip("."), one) for key, one in node.get("properties", {}).items()]
    below += [(f"{path}[]", node["items"])] if isinstance(node.get("items"), dict) else []
    below += [(f"{path}.*", node["additionalProperties"])] if isinstance(node.get("additionalProperties"), dict) else []
    below += [(path, one) for word in ("allOf", "anyOf", "oneOf") for one in node.get(word, [])]
    for where, one in below:
        yield from _walk(*_resolved(one, file), where)


def _resolved(node: Mapping[str, Any], file: str) -> tuple[Mapping[str, Any], str]:
    """The node behind its reference, with what stands beside the reference, and the file in which it lies."""
    while "$ref" in node:
        name, _, pointer = node["$ref"].partition("#")
        file = name or file
        found = json.loads((SCHEMA / Path(file).name).read_text(encoding="utf-8"))
        for step in filter(None, pointer.split("/")):
            found = found[step]
        node = found | {key: value for key, value in node.items() if key != "$ref"}
    return node, file
