"""What published products add to the trend tables, and which cells differ between two states of them."""

from collections.abc import Iterator, Mapping, Sequence

from lidoff.impact.change import CellChange
from lidoff.trends.formats import shown
from lidoff.trends.revisions import exchanged
from lidoff.trends.table import Value
from lidoff.trends.tally import BREAK, Line, Product

Grid = Mapping[tuple[str, str], str]


def exchanges(of: Mapping[str, Product], among: Mapping[str, Product]) -> Iterator[str]:
    """What some products exchange of the parts of those that they revise: the items of the table of substitutions."""
    for slug, product in of.items():
        earlier = product.row["revision_of"]
        if earlier in among:
            for place, words in enumerate(exchanged(earlier, among[earlier].row, product.row)):
                yield BREAK.join((slug, str(place), *words))


def moved_cells(name: str, before: Sequence[Line], after: Sequence[Line]) -> Iterator[CellChange]:
    """Every cell of a table whose shown value differs, totals included."""
    old, new = _grid(before), _grid(after)
    for row, column in dict.fromkeys((*new, *old)):
        one, other = old.get((row, column), ""), new.get((row, column), "")
        if one != other and not _is_nothing(one, other):
            yield CellChange(name, row, column, one, other)


def _grid(lines: Sequence[Line]) -> Grid:
    """Shown values by row and column; a label that comes twice gets its number."""
    columns = [str(heading) for heading in lines[0][1:]]
    cells: dict[tuple[str, str], str] = {}
    seen: dict[str, int] = {}
    for label, *values in lines[1:]:
        row = _numbered(str(label), seen)
        for column, value in zip(columns, values, strict=True):
            cells[row, column] = _text(value)
    return cells


def _numbered(label: str, seen: dict[str, int]) -> str:
    seen[label] = seen.get(label, 0) + 1
    return label if seen[label] == 1 else f"{label} ({seen[label]})"


def _text(value: Value) -> str:
    return "" if value is None else shown(value)


def _is_nothing(*texts: str) -> bool:
    """A row that comes or goes brings its empty cells along; they say nothing."""
    return all(text in ("", "0") for text in texts)
