"""The field reference and the vocabulary, both read from the schema, so that they are what the checks apply."""

from collections.abc import Iterable
from dataclasses import dataclass

from lidoff.pages import addresses
from lidoff.pages.table import Cell, Column, Grid
from lidoff.pages.vocabulary import label
from lidoff.pages.wording import capital, counted, listed
from lidoff.record.reference import Field, Vocabulary, Word, fields, vocabularies

FIELD_COLUMNS = (Column("Field"), Column("Takes"), Column("Unit"), Column("Meaning"))
WORD_COLUMNS = (Column("Word"), Column("Shown as"), Column("Meaning"))
HOLDERS = {"list": "a list of mappings", "mapping": "a mapping"}


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
    known = tuple(fields())
    holders = frozenset(_holder(field) for field in known if not field.path.endswith("*"))
    chapters = [_single_fields(known, holders, root)]
    for top in (field for field in known if field.path in holders and field.depth == 0):
        below = [field for field in known if field.path.startswith((f"{top.path}.", f"{top.path}[]."))]
        rows = tuple(_row(field, holders, root) for field in below)
        table = Grid(f"Fields of {top.path}", FIELD_COLUMNS, rows)
        chapters.append(Chapter(top.path, top.path, top.description, table))
    return ReferenceView(f"{counted(len(known), 'field')}.", tuple(chapters))


def vocabulary_view(root: str) -> ReferenceView:
    """Every word that a record may use, by vocabulary."""
    chapters = tuple(_word_chapter(vocabulary, root) for vocabulary in vocabularies())
    total = sum(len(chapter.table.rows) for chapter in chapters)
    return ReferenceView(f"{counted(total, 'word')} in {counted(len(chapters), 'list')}.", chapters)


def _word_chapter(vocabulary: Vocabulary, root: str) -> Chapter:
    title = vocabulary.name.replace("_", " ").replace("pfc", "PFC")
    rows = tuple(_word(vocabulary.name, word, root) for word in vocabulary.words)
    table = Grid(f"Words of {title}", WORD_COLUMNS, rows)
    return Chapter(vocabulary.name, capital(title), vocabulary.description, table)


def _word(vocabulary: str, word: Word, root: str) -> tuple[Cell, ...]:
    href = root + addresses.topology(word.word) if vocabulary == "primary" else ""
    return Cell(word.word, is_code=True), Cell(label(vocabulary, word.word), href=href), Cell(word.meaning)


def _holder(field: Field) -> str:
    """The path of the field that holds this one; empty at the top."""
    return field.path.rpartition(".")[0].removesuffix("[]")


def _single_fields(known: Iterable[Field], holders: frozenset[str], root: str) -> Chapter:
    """The fields at the top that hold one value."""
    single = (field for field in known if field.depth == 0 and field.path not in holders)
    rows = tuple(_row(field, holders, root) for field in single)
    return Chapter("top", "At the top", "Fields that hold one value.", Grid("Fields at the top", FIELD_COLUMNS, rows))


def _row(field: Field, holders: frozenset[str], root: str) -> tuple[Cell, ...]:
    takes = HOLDERS[field.kind] if field.path in holders else field.phrase
    if field.vocabulary:
        takes = f"{'list of ' if field.kind == 'list' else ''}words: {field.vocabulary.replace('_', ' ')}"
    return (
        Cell(field.path, is_code=True, note=_need(field)),
        Cell(takes, href=f"{root}vocabulary/#{field.vocabulary}" if field.vocabulary else ""),
        Cell("" if field.unit in (None, "1") else field.unit),
        Cell(field.description, note=f"such as {', '.join(field.examples)}" if field.examples else ""),
    )


def _need(field: Field) -> str:
    """Whether what holds the field can do without it."""
    if field.required:
        return "required"
    return f"required for {listed(field.required_by_kinds)}" if field.required_by_kinds else ""
