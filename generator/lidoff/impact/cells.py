"""Which cells of the trend tables move."""

from collections.abc import Iterator, Mapping, Sequence

from lidoff.entry import Entry
from lidoff.impact.change import CellChange
from lidoff.settings import Settings
from lidoff.trends.formats import lines_with_totals, shown
from lidoff.trends.frames import Frames, make_frames
from lidoff.trends.own_tables import definitions
from lidoff.trends.table import Table, Value
from lidoff.trends.tables import Definition
from lidoff.trends.two_states import frames_before, is_whole, only_shared

Grid = Mapping[tuple[str, str], str]


def moved_cells(before: Sequence[Entry], after: Sequence[Entry], settings: Settings) -> tuple[CellChange, ...]:
    """Every cell whose shown value differs, table by table, totals included."""
    later = make_frames(after, settings.tiers_w)
    earlier = frames_before(before, after, later)
    shared = only_shared(earlier, later)
    if is_whole(shared, later):
        return ()
    return tuple(
        change
        for name, definition in definitions(settings.tables).items()
        if not _stays(definition, shared)
        for change in _moved(name, definition.build(earlier), definition.build(later))
    )


def _stays(definition: Definition, shared: Frames) -> bool:
    """Whether a table can be made of what is the same in both states: then it is the same in both itself."""
    if "platform" not in shared.products:
        return False  # all count by it
    try:
        definition.build(shared)
    except (KeyError, AttributeError):  # it asks for a column that differs, and is therefore not there
        return False
    return True


def _moved(name: str, before: Table, after: Table) -> Iterator[CellChange]:
    old, new = _grid(before), _grid(after)
    for row, column in dict.fromkeys((*new, *old)):
        one, other = old.get((row, column), ""), new.get((row, column), "")
        if one != other and not _is_nothing(one, other):
            yield CellChange(name, row, column, one, other)


def _grid(table: Table) -> Grid:
    """Shown values by row and column; a label that comes twice gets its number."""
    lines = lines_with_totals(table)
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
