"""The schema of a record: where it lies, its parts in one document, and the shape that it gives to every place."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, Literal

from lidoff.record.paths import Step, steps

ROOT = "record.schema.json"
VOCABULARY = "vocabulary.schema.json"

Kind = Literal["text", "number", "whole", "flag", "list", "mapping", "anything"]

_KINDS: Mapping[str, Kind] = {
    "string": "text", "number": "number", "integer": "whole", "boolean": "flag", "array": "list", "object": "mapping",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Shape:
    """What the schema says of one place: the kind of value, and the shapes of what it holds.

    ``schema`` is the place's own schema with its reference resolved; ``word_list`` names the vocabulary of a word.
    """

    kind: Kind
    schema: Mapping
    keys: Mapping[str, "Shape"] = field(default_factory=dict)
    items: "Shape | None" = None
    others: "Shape | None" = None
    is_date: bool = False
    word_list: str | None = None

    def step(self, step: Step) -> "Shape | None":
        """The shape one step further in, or None where the schema knows no such place."""
        if isinstance(step, int):
            return self.items
        return self.keys.get(step, self.others)


ANYTHING = Shape("anything", {})


@cache
def schema_folder() -> Path:
    """The folder of the schema: the repository's own, or the copy that an installed package carries."""
    package = Path(__file__).resolve().parents[1]
    repository = package.parents[1]
    if (repository / "pyproject.toml").is_file() and (repository / "schema" / ROOT).is_file():
        return repository / "schema"
    return package / "packaged_schema"


@cache
def parts() -> Mapping[str, dict]:
    """Every part of the schema by its file name."""
    files = sorted(schema_folder().glob("*.schema.json"))
    return {file.name: json.loads(file.read_text(encoding="utf-8")) for file in files}


def version() -> int:
    """The version of the record format that the schema describes."""
    return parts()[ROOT]["properties"]["schema"]["const"]


@cache
def bundled() -> dict:
    """The whole schema as one document with every reference replaced by what it refers to.

    Following references takes the slow validator twenty times as long as the checking itself.
    """
    root = {key: value for key, value in parts()[ROOT].items() if key != "$id"}
    return _inlined(root)


def _inlined(schema: Any) -> Any:
    if isinstance(schema, list):
        return [_inlined(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    if "$ref" not in schema:
        return {key: _inlined(value) for key, value in schema.items()}
    beside = {key: value for key, value in schema.items() if key != "$ref"}
    return _inlined(_target(schema["$ref"])[1] | beside)


def _target(reference: str) -> tuple[str, dict]:
    """Name and content of what a reference between the parts leads to."""
    file, _, name = reference.partition("#/$defs/")
    return name, parts()[file]["$defs"][name]


@cache
def record_shape() -> Shape:
    """The shape of a whole record."""
    return _shape(parts()[ROOT])


def shape_at(field_path: str) -> Shape | None:
    """The shape at a field such as ``ports[0].label[1].voltage_max_v``; None where the schema knows no such field."""
    shape: Shape | None = record_shape()
    for step in steps(field_path):
        shape = shape.step(step) if shape else None
    return shape


def field_schema(field_path: str) -> Mapping | None:
    """The sub-schema at a field with its reference resolved; None where the schema knows no such field."""
    shape = shape_at(field_path)
    return shape.schema if shape else None


def _shape(schema: Mapping) -> Shape:
    if "$ref" in schema and set(schema) <= {"$ref", "description"}:
        return _referred(schema["$ref"], schema.get("description"))
    return Shape(
        kind=_kind(schema),
        schema=schema,
        keys={key: _shape(value) for key, value in schema.get("properties", {}).items()},
        items=_shape(schema["items"]) if "items" in schema else None,
        others=_shape(schema["additionalProperties"]) if isinstance(schema.get("additionalProperties"), dict) else None,
        is_date="x-date" in schema,
    )


@cache
def _referred(reference: str, description: str | None) -> Shape:
    """The shape behind a reference; the description beside the reference wins, as it is the more telling one."""
    name, target = _target(reference)
    shape = _shape({**target, "description": description} if description else target)
    if "enum" not in target:
        return shape
    return Shape(kind=shape.kind, schema=shape.schema, word_list=name)


def _kind(schema: Mapping) -> Kind:
    if "const" in schema:
        return "whole"
    return _KINDS[schema["type"]]
