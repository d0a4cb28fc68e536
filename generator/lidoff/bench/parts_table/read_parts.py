"""The text of a parts table -> components as the record has them, each value with its cell, and every remark."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from lidoff.bench.parts_table import cell_values
from lidoff.bench.parts_table.cell_values import READERS, Refused
from lidoff.bench.parts_table.designators import NoDesignators, designators
from lidoff.bench.parts_table.headings import NAMES, column_kind
from lidoff.bench.parts_table.rating_text import read_ratings
from lidoff.bench.parts_table.words import is_blank
from lidoff.bench.spreadsheet.grid import Cell, Row, Sheet, cell_at, separator_for, split_rows
from lidoff.bench.spreadsheet.remark import Remark
from lidoff.record.nearest import closest
from lidoff.record.schema import shape_at

ORDER = tuple(shape_at("components[0]").keys)
_SEVERAL = frozenset(("ratings", "note", "marking"))
_PLAIN = ("maker", "part_number", "board", "port", "date_code", "series_string", "note")
MOST_HEADINGS = 40


@dataclass(frozen=True, slots=True)
class Part:
    """One component: its data in the schema's order, and the cell that each of its keys came from."""

    data: dict[str, object]
    cells: Mapping[str, Cell]

    @property
    def ref(self) -> str:
        """Its designator."""
        return str(self.data["ref"])


@dataclass(frozen=True, slots=True)
class PartsReading:
    """What a table holds; nothing of a row with a remark is in ``parts``."""

    parts: tuple[Part, ...]
    remarks: tuple[Remark, ...]
    rows: int
    separator: str


def read_parts(sheet: Sheet, path: str) -> PartsReading:
    """The parts of a table whose first line has the headings; ``path`` is what remarks call it."""
    known = [name for names in NAMES.values() for name in names]
    separator = sheet.separator or separator_for(sheet.text, known)
    headings, *rows = split_rows(sheet.text, separator, sheet.first_line)
    kinds, remarks = _columns(headings, path)
    parts: list[Part] = []
    if not any(remark.about == "headings" for remark in remarks):
        for row in rows:
            found, wrong = _row_parts(row, kinds, len(headings), path)
            parts += () if wrong else found
            remarks += wrong
        remarks += _twice(parts, path)
    if not rows:
        expected, fix = "a row for each part below the headings", "copy the rows together with their headings"
        remarks.append(Remark(path, headings[0].line, 1, "", "headings and no row", expected, fix))
    return PartsReading(tuple(parts), tuple(sorted(remarks)), len(rows), separator)


def _columns(headings: Row, path: str) -> tuple[dict[int, str], list[Remark]]:
    """What each column holds, by its place; a remark for each heading that is not known."""
    kinds: dict[int, str] = {}
    remarks: list[Remark] = []
    for place, cell in enumerate(headings[:MOST_HEADINGS]):
        kind = column_kind(cell.text)
        if not cell.text:
            continue
        if kind is None:
            known = [name for names in NAMES.values() for name in names]
            near = closest(cell.text, known, 0.7)
            fix = f"did you mean {near.capitalize()}?" if near else "rename the column, or leave it out"
            expected = f"a heading such as {', '.join(names[0].capitalize() for names in NAMES.values())}"
            remarks.append(Remark(path, cell.line, cell.column, "", f'the heading "{cell.text}"', expected, fix))
        elif kind in kinds.values() and kind not in _SEVERAL:
            found, fix = f'"{cell.text}", a second column for {kind}', "leave one of the two out"
            remarks.append(Remark(path, cell.line, cell.column, "", found, "one column for each", fix))
        else:
            kinds[place] = kind
    for needed, name in (("ref", "Ref"), ("roles", "Role")):
        if needed not in kinds.values():
            found, fix = f"no column {name}", f"add a column with the heading {name}, in the first line"
            remarks.append(Remark(path, headings[0].line, 1, "headings", found, "Ref and Role for each part", fix))
    return kinds, remarks


def _row_parts(row: Row, kinds: Mapping[int, str], width: int, path: str) -> tuple[list[Part], list[Remark]]:
    """The parts of one row: one for each designator."""
    reader = _RowReader(path, {}, {}, [])
    named = [(kind, cell_at(row, place)) for place, kind in kinds.items()]
    for cell in row:
        if cell.is_open:
            reader.refuse(
                cell, "", Refused(f"{cell.text[:20]}, a quote that never closes", "a closed cell", "take it out")
            )
    if beyond := next((cell for cell in row[width:] if cell.text), None):
        found, expected = f'"{beyond.text[:20]}" beyond the last heading', f"{width} cells, as there are headings"
        reader.refuse(beyond, "", Refused(found, expected, "give its column a heading, or take it out"))
    late = ("ratings", "series", "marking")  # these need what other cells say
    for kind, cell in sorted(named, key=lambda pair: pair[0] in late):
        if not is_blank(cell.text):
            reader.take(kind, cell)
    for needed in ("ref", "roles"):
        cell = next(cell for kind, cell in named if kind == needed)
        if is_blank(cell.text):
            what = "a designator, such as Q1" if needed == "ref" else "what the part does"
            reader.refuse(cell, needed, Refused("an empty cell", what, "fill it in"))
    if reader.remarks:
        return [], reader.remarks
    return list(reader.parts()), reader.remarks


@dataclass(slots=True)
class _RowReader:
    """Takes the cells of one row one by one."""

    path: str
    data: dict[str, object]
    cells: dict[str, Cell]
    remarks: list[Remark]

    def refuse(self, cell: Cell, about: str, refused: Refused) -> None:
        """Note what is wrong with a cell."""
        place = (self.path, cell.line, cell.column + refused.at)
        self.remarks.append(Remark(*place, about, refused.found, refused.expected, refused.fix))

    def take(self, kind: str, cell: Cell) -> None:
        """Take a cell that says something."""
        try:
            self._take(kind, cell)
        except Refused as refused:
            self.refuse(cell, kind, refused)

    def _take(self, kind: str, cell: Cell) -> None:
        if kind == "ref":
            self.data["ref"] = _refs(cell.text)
        elif kind in ("ratings", "series"):
            self._rate(kind, cell)
        elif kind == "marking":
            held = self.data.get("marking", {}).get("lines", [])
            marking = cell_values.marking(cell.text, self.data.get("marking_state"))
            self.data["marking"] = {**marking, "lines": [*held, *marking["lines"]]} if held else marking
        elif kind in READERS:
            self.data[kind] = READERS[kind](cell.text)
        else:
            held = f"{self.data[kind]} " if kind in self.data else ""
            self.data[kind] = held + " ".join(cell.text.split("\n"))
        self.cells.setdefault(kind, cell)

    def _rate(self, kind: str, cell: Cell) -> None:
        ratings = self.data.setdefault("ratings", {})
        if kind == "series":
            ratings["series"] = cell.text
            return
        if "roles" not in self.data:
            return  # its own remark stands at the role
        found, wrong = read_ratings(cell.text, self.data["roles"])
        for one in wrong:
            self.refuse(cell, kind, Refused(one.found, "a value with its unit, such as 82uF 400V", one.fix, one.at))
        for rating, value in found.items():
            if ratings.setdefault(rating, value) != value:
                found_twice = f"{value} for {rating}, and {ratings[rating]} in another column"
                raise Refused(found_twice, "one value for each rating", "correct one of them")

    def parts(self) -> Iterator[Part]:
        """One component for each designator."""
        refs: Sequence[str] = self.data["ref"]
        count = self.data.get("quantity", len(refs))
        if len(refs) > 1 and count != len(refs):
            found, expected = f"{count} for {', '.join(refs)}", f"{len(refs)}, as there are designators"
            self.refuse(self.cells["quantity"], "quantity", Refused(found, expected, "correct one of the two"))
            return
        for ref in refs:
            data = {**self.data, "ref": ref}
            if len(refs) > 1 or count == 1:
                data.pop("quantity", None)
            if "ratings" in data:
                data["ratings"] = {key: _plain(value) for key, value in data["ratings"].items()}
            yield Part({key: data[key] for key in ORDER if data.get(key)}, self.cells)


def _plain(value: object) -> object:
    """A number as YAML has it."""
    if isinstance(value, str):
        return value
    return int(value) if value == value.to_integral_value() else float(value)


def _refs(text: str) -> tuple[str, ...]:
    try:
        return designators(text)
    except NoDesignators as error:
        raise Refused(f'"{error.found}"', "a designator, a list or a range of them", error.fix, error.at) from error


def _twice(parts: Sequence[Part], path: str) -> Iterator[Remark]:
    """A designator in two rows: which row is right is not ours to say."""
    first: dict[str, Cell] = {}
    for part in parts:
        cell = part.cells["ref"]
        other = first.setdefault(part.ref, cell)
        if other is not cell:
            found, fix = f"{part.ref}, which is in line {other.line} already", "name each part in one row"
            yield Remark(path, cell.line, cell.column, "ref", found, "each designator once", fix)
