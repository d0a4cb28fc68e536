"""Rows of a sheet and its map -> draft records, each value with its cell, and everything that was not understood."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from lidoff.bench.spreadsheet.cell_values import NotClear, Value, is_blank, value_of
from lidoff.bench.spreadsheet.columns import Paths, decimal_sign, placed_columns
from lidoff.bench.spreadsheet.draft_data import checked
from lidoff.bench.spreadsheet.grid import SEPARATORS, Cell, Row, Sheet, cell_at, separator_for, split_rows
from lidoff.bench.spreadsheet.map_file import Column, SheetMap
from lidoff.bench.spreadsheet.remark import Remark
from lidoff.record.identity import product_path
from lidoff.record.text import refused_sign

BRAND, MODEL = "product.brand", "product.model"
LONGEST_NAME = 60


@dataclass(slots=True)
class Product:
    """The rows of one product: each field with its value and cell, the remarks, and the cells left out of the draft."""

    brand: str
    model: str
    line: int
    fields: dict[str, tuple[Value, Cell]] = field(default_factory=dict)
    items: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Draft:
    """One draft: its folders below the entries, its data in the schema's order, and what is still missing in it.

    ``left_out`` are the remarks on its own cells: those cells are not in the data.
    """

    path: str
    brand: str
    model: str
    line: int
    data: dict[str, object]
    missing: tuple[str, ...]
    left_out: tuple[Remark, ...]


@dataclass(frozen=True, slots=True)
class SheetReading:
    """What a sheet holds. ``is_usable`` is false where headings and map do not fit: then there are no drafts."""

    drafts: tuple[Draft, ...]
    remarks: tuple[Remark, ...]
    rows: int
    separator: str
    decimal: str
    encoding: str
    is_usable: bool = True


def read_drafts(sheet: Sheet, sheet_map: SheetMap, paths: Paths) -> SheetReading:
    """The drafts in a sheet, in the order of their first rows."""
    separator = sheet.separator or separator_for(sheet.text, [column.heading for column in sheet_map.columns])
    headings, *rows = split_rows(sheet.text, separator, sheet.first_line)
    placed, remarks = placed_columns(headings, sheet_map, paths)
    decimal = sheet_map.decimal or decimal_sign(rows, placed)
    if not rows:
        fix = "save the sheet with its rows"
        remarks.append(Remark(paths.sheet, headings[0].line, 1, "", "headings and no row", "a row a product", fix))
    told = (len(rows), SEPARATORS.get(separator, f'"{separator}"'), decimal, sheet.encoding)
    if remarks:
        return SheetReading((), tuple(sorted(remarks)), *told, is_usable=False)
    reader = _Reader(placed, sheet_map, decimal, paths, len(headings), [])
    for row in rows:
        reader.take(row)
    drafts = tuple(reader.drafts())
    return SheetReading(drafts, tuple(sorted(set(reader.remarks))), *told)


@dataclass(slots=True)
class _Reader:
    """Takes the rows one by one."""

    placed: Mapping[int, Column]
    sheet_map: SheetMap
    decimal: str
    paths: Paths
    width: int
    remarks: list[Remark]
    products: dict[str, Product] = field(default_factory=dict)
    own: dict[str, list[Remark]] = field(default_factory=dict)

    def take(self, row: Row) -> None:
        """Put a row with its product."""
        read, wrong = self._values(row)
        names = {column.field: (value, cell) for column, value, cell in read if column.field in (BRAND, MODEL)}
        names |= {one.field: (text, row[0]) for one, text in self.sheet_map.fixed if one.field in (BRAND, MODEL)}
        wrong += self._names_wrong(row, names)
        if wrong and any(remark.about in (BRAND, MODEL) for remark in wrong):
            self.remarks += wrong
            return
        brand, model = str(names[BRAND][0]), str(names[MODEL][0])
        path = product_path(brand, model)
        product = self.products.setdefault(path, Product(brand, model, row[0].line))
        if product.line != row[0].line and not any("[]" in column.field for column in self.placed.values()):
            found = f"{brand} {model}, which line {product.line} has already"
            fix = "take one of the two rows out; several rows a product need a field with [] in the map"
            wrong = [Remark(self.paths.sheet, row[0].line, 1, "", found, "one row a product", fix)]
            read = []
        self.own.setdefault(path, []).extend(wrong)
        self.remarks += wrong
        self._put(product, path, read)

    def _values(self, row: Row) -> tuple[list[tuple[Column, Value, Cell]], list[Remark]]:
        read, wrong = [], []
        for place, column in self.placed.items():
            cell = cell_at(row, place)
            if is_blank(cell.text):
                continue
            try:
                if cell.is_open:
                    raise NotClear(f"{cell.text[:20]}, a quote that never closes", "a closed cell", "take it out")
                read.append((column, value_of(cell.text, column, self.decimal), cell))
            except NotClear as error:
                about = column.field if column.field in (BRAND, MODEL) else column.heading
                wrong.append(self._remark(cell, about, error.found, error.wanted, error.fix))
        beyond = next((cell for cell in row[self.width :] if cell.text), None)
        if beyond is not None:
            found, fix = (
                f'"{beyond.text[:20]}" beyond the last heading',
                "put it in quotes if the sign apart stands in it",
            )
            wrong.append(self._remark(beyond, "", found, f"{self.width} cells, as there are headings", fix))
        return read, wrong

    def _names_wrong(self, row: Row, names: Mapping[str, tuple[Value, Cell]]) -> Iterator[Remark]:
        """Brand and model that no record could have; without them a row has no place."""
        for name in (BRAND, MODEL):
            column = next((place for place, column in self.placed.items() if column.field == name), 0)
            if name not in names:
                cell = cell_at(row, column)
                yield self._remark(cell, name, "an empty cell", "the name as the product shows it", "fill it in")
                continue
            text, cell = str(names[name][0]), names[name][1]
            if len(text) > LONGEST_NAME or refused_sign(text):
                expected = f"text of 1 to {LONGEST_NAME} visible characters"
                yield self._remark(cell, name, f'"{text[:30]}"', expected, "write it as the product shows it")

    def _put(self, product: Product, path: str, read: list[tuple[Column, Value, Cell]]) -> None:
        """Fill the fields of a product; each open list gets one item from a row that says anything of it."""
        stems = dict.fromkeys(column.field.partition("[]")[0] for column, _, _ in read if "[]" in column.field)
        numbers = {stem: product.items.get(stem, 0) for stem in stems}
        for column, value, cell in read:
            stem, opened, rest = column.field.partition("[]")
            key = f"{stem}[{numbers[stem]}]{rest}" if opened else column.field
            held = product.fields.setdefault(key, (value, cell))
            if held[0] != value:
                found = f'"{cell.text}", and line {held[1].line} says "{held[1].text}"'
                fix = "correct one of the two cells, or give the products different models"
                remark = self._remark(cell, column.heading, found, "the same in all rows of a product", fix)
                self.remarks.append(remark)
                self.own[path].append(remark)
        product.items |= {stem: number + 1 for stem, number in numbers.items()}

    def drafts(self) -> Iterator[Draft]:
        """The drafts, each held against the schema; what it refuses is left out and told at its cell."""
        for path, product in self.products.items():
            fields = {**self._fixed(product), **product.fields}
            data, missing, refused = checked(fields, self.paths.sheet)
            self.remarks += refused
            left_out = tuple(sorted({*self.own[path], *refused}))
            yield Draft(path, product.brand, product.model, product.line, data, missing, left_out)

    def _fixed(self, product: Product) -> dict[str, tuple[Value, Cell]]:
        found: dict[str, tuple[Value, Cell]] = {}
        for column, text in self.sheet_map.fixed:
            cell = Cell(text, column.line, column.column)
            try:
                found[column.field] = (value_of(text, column, "."), cell)
            except NotClear as error:
                place = (self.paths.map, column.line, column.column, column.field)
                self.remarks.append(Remark(*place, error.found, error.wanted, error.fix))
        return found

    def _remark(self, cell: Cell, about: str, found: str, expected: str, fix: str) -> Remark:
        return Remark(self.paths.sheet, cell.line, cell.column, about, found, expected, fix, cell.text)
