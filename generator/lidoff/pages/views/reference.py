"""The field reference and the vocabulary, both read from the schema, so that they are what the checks apply."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from lidoff.pages.table import Cell, Column, Grid
from lidoff.pages.vocabulary import definitions, label
from lidoff.pages.wording import counted
from lidoff.record.schema import Shape, parts, record_shape

FIELD_COLUMNS = (Column("Field"), Column("Takes"), Column("Unit"), Column("Meaning"))
WORD_COLUMNS = (Column("Word"), Column("Shown as"), Column("Meaning"))
KINDS = {
    "text": "text", "number": "number", "whole": "whole number", "flag": "true or false", "list": "list",
    "mapping": "mapping", "anything": "anything",
}  # fmt: skip
VOCABULARY_PART = "vocabulary.schema.json"


@dataclass(frozen=True, slots=True)
class Chapter:
    """One part of the reference: an anchor, a heading, what it is about, its table."""

    anchor: str
    title: str
    description: str
    table: Grid


@dataclass(frozen=True, slots=True)
class ReferenceView:
    """A whole reference page."""

    sentence: str
    chapters: tuple[Chapter, ...]


def fields_view(root: str) -> ReferenceView:
    """Every field of a record, by the key it stands under."""
    shape = record_shape()
    chapters = [_single_fields(shape, root)]
    for key, inner in shape.keys.items():
        rows = tuple(_rows(key, inner, root))
        if rows:
            chapters.append(Chapter(key, key, _description(inner), Grid(f"Fields of {key}", FIELD_COLUMNS, rows)))
    return ReferenceView(f"{counted(sum(len(one.table.rows) for one in chapters), 'field')}.", tuple(chapters))


def vocabulary_view() -> ReferenceView:
    """Every word that a record may use, by vocabulary."""
    schemas: Mapping[str, Mapping] = parts()[VOCABULARY_PART]["$defs"]
    chapters = tuple(
        Chapter(
            name,
            name.replace("_", " ").capitalize(),
            schemas[name].get("description", ""),
            Grid(
                f"Words of {name.replace('_', ' ')}",
                WORD_COLUMNS,
                tuple(_word(name, word, meaning) for word, meaning in words.items()),
            ),
        )
        for name, words in definitions().items()
    )
    total = sum(len(chapter.table.rows) for chapter in chapters)
    return ReferenceView(f"{counted(total, 'word')} in {counted(len(chapters), 'list')}.", chapters)


def _word(vocabulary: str, word: str, meaning: str) -> tuple[Cell, ...]:
    return Cell(word, is_code=True), Cell(label(vocabulary, word)), Cell(meaning)


def _single_fields(shape: Shape, root: str) -> Chapter:
    """The fields at the top that hold one value."""
    required = shape.schema.get("required", ())
    single = [(key, inner) for key, inner in shape.keys.items() if not _is_deep(inner)]
    rows = tuple(_row(key, inner, key in required, root) for key, inner in single)
    return Chapter("top", "At the top", "Fields that hold one value.", Grid("Fields at the top", FIELD_COLUMNS, rows))


def _rows(path: str, shape: Shape, root: str) -> Iterator[tuple[Cell, ...]]:
    """Every field below a key, deepest last."""
    if shape.kind == "list" and shape.items is not None:
        yield from _rows(f"{path}[]", shape.items, root)
        return
    required = shape.schema.get("required", ())
    for key, inner in shape.keys.items():
        yield _row(f"{path}.{key}", inner, key in required, root)
        if _is_deep(inner):
            yield from _rows(f"{path}.{key}", inner, root)


def _is_deep(shape: Shape) -> bool:
    return bool(shape.keys) or (shape.items is not None and _is_deep(shape.items))


def _row(path: str, shape: Shape, is_required: bool, root: str) -> tuple[Cell, ...]:
    word_list = shape.word_list or (shape.items.word_list if shape.items else None)
    takes = KINDS[shape.kind]
    if word_list:
        takes = f"{'list of ' if shape.kind == 'list' else ''}words: {word_list.replace('_', ' ')}"
    elif shape.is_date:
        takes = "date"
    return (
        Cell(path, is_code=True, note="required" if is_required else ""),
        Cell(takes, href=f"{root}vocabulary/#{word_list}" if word_list else ""),
        Cell(_unit(shape)),
        Cell(_description(shape), note=_bounds(shape.schema)),
    )


def _unit(shape: Shape) -> str:
    unit = shape.schema.get("x-unit") or (shape.items.schema.get("x-unit", "") if shape.items else "")
    return "" if unit == "1" else unit


def _description(shape: Shape) -> str:
    return shape.schema.get("description", "")


def _bounds(schema: Mapping) -> str:
    """Bounds and examples in words."""
    said = []
    low, high = schema.get("minimum"), schema.get("maximum")
    above = schema.get("exclusiveMinimum")
    if above is not None:
        said.append(f"above {above:g}")
    elif low is not None:
        said.append(f"from {low:g}")
    if high is not None:
        said.append(f"up to {high:g}")
    if schema.get("examples"):
        said.append(f"such as {', '.join(str(one) for one in schema['examples'])}")
    return ", ".join(said)
