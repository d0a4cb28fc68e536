"""Every field of a record as the schema describes it: the field reference and the vocabulary page are made from it."""

from collections.abc import Iterator
from dataclasses import dataclass

from lidoff.record.phrases import bounds, expected
from lidoff.record.schema import VOCABULARY, Kind, Shape, parts, record_shape


@dataclass(frozen=True, slots=True)
class Word:
    """A word of a vocabulary with its one-line definition."""

    word: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """A list of words that a field may use."""

    name: str
    description: str
    words: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class Field:
    """One field. ``path`` writes a list as ``[]`` and a key of one's own as ``*``: ``ports[].label[].voltage_v``.

    ``phrase`` says what is expected there in words, ``bounds`` are the limits of a number, ``vocabulary`` names the
    word list. Where a mapping has a kind, ``required_by_kinds`` are the kinds that can't do without the field.
    """

    path: str
    description: str
    kind: Kind
    phrase: str
    unit: str | None
    bounds: str
    required: bool
    required_by_kinds: tuple[str, ...]
    vocabulary: str | None
    examples: tuple[str, ...]
    depth: int


def fields() -> Iterator[Field]:
    """Every field in the schema's order, each mapping before what it holds."""
    yield from _below(record_shape(), "", 0)


def vocabularies() -> tuple[Vocabulary, ...]:
    """Every vocabulary in the schema's order."""
    return tuple(_vocabulary(name, schema) for name, schema in parts()[VOCABULARY]["$defs"].items())


def _vocabulary(name: str, schema: dict) -> Vocabulary:
    pairs = zip(schema["enum"], schema["markdownEnumDescriptions"], strict=True)
    return Vocabulary(name, schema["description"], tuple(Word(word, meaning) for word, meaning in pairs))


def _below(shape: Shape, path: str, depth: int) -> Iterator[Field]:
    for key, inner in shape.keys.items():
        yield from _field_and_below(inner, f"{path}.{key}" if path else key, key, shape, depth)
    if shape.items is not None and shape.items.kind == "mapping":
        yield from _below(shape.items, f"{path}[]", depth)
    if shape.others is not None:
        yield from _field_and_below(shape.others, f"{path}.*", "", shape, depth)


def _needing_kinds(holder: Shape, key: str) -> Iterator[str]:
    for rule in holder.schema.get("allOf", ()):
        kind = rule.get("if", {}).get("properties", {}).get("kind", {}).get("const")
        if kind and key in rule["then"]["required"]:
            yield kind


def _field_and_below(shape: Shape, path: str, key: str, holder: Shape, depth: int) -> Iterator[Field]:
    schema = shape.schema
    innermost = shape.items if shape.items is not None else shape
    yield Field(
        path=path,
        description=schema["description"],
        kind=shape.kind,
        phrase=expected(shape),
        unit=innermost.schema.get("x-unit"),
        bounds=bounds(innermost.schema),
        required=key in holder.schema.get("required", ()),
        required_by_kinds=tuple(_needing_kinds(holder, key)),
        vocabulary=innermost.word_list,
        examples=tuple(str(example) for example in innermost.schema.get("examples", ())),
        depth=depth,
    )
    yield from _below(shape, path, depth + 1)
