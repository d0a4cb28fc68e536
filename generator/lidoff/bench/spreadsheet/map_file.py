"""The map of a spreadsheet: which column gives which field of a record, in which unit, with which words.

columns:
  Brand: product.brand
  Weight: {field: measured.mass_g, unit: oz}
  Plug: {field: product.plug.system, words: {US: nema-1-15, EU: cee-7-16}}
  Marks: {field: "label.marks", apart: ","}
  Opened on: {field: teardown.date, date: day-month-year}
fixed: {product.kind: wall-charger}
leave: [Shelf]
decimal: comma
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from lidoff.bench.spreadsheet.field_paths import fault_in
from lidoff.bench.spreadsheet.remark import Remark
from lidoff.bench.spreadsheet.units import dimension, unit_named
from lidoff.record.nearest import closest
from lidoff.record.reader import Node, read
from lidoff.record.schema import Shape, shape_at
from lidoff.record.text import decoded

KEYS = ("columns", "fixed", "leave", "decimal")
COLUMN_KEYS = ("field", "unit", "words", "apart", "date")
DATE_ORDERS = ("year-month-day", "day-month-year", "month-day-year")
DECIMALS = {"point": ".", "comma": ","}
NEEDED = ("product.brand", "product.model")


@dataclass(frozen=True, slots=True)
class Column:
    """One column of the sheet and where its cells go; ``field`` has [] where each row gives an item of its own."""

    heading: str
    field: str
    line: int
    column: int
    unit: str = ""
    words: Mapping[str, str] = field(default_factory=dict)
    apart: str = ""
    date: str = "year-month-day"

    @property
    def shape(self) -> Shape:
        """What the schema says of the field, or of an item where the field is a list."""
        shape = shape_at(self.field.replace("[]", "[0]"))
        return shape.items if shape.kind == "list" else shape

    @property
    def is_list(self) -> bool:
        """Whether the field is a list of single values."""
        return shape_at(self.field.replace("[]", "[0]")).kind == "list"


@dataclass(frozen=True, slots=True)
class SheetMap:
    """A map that was read; ``fixed`` are columns without a heading, each with its one text."""

    columns: tuple[Column, ...] = ()
    fixed: tuple[tuple[Column, str], ...] = ()
    leave: tuple[tuple[str, int, int], ...] = ()
    decimal: str = ""


def read_map(content: bytes, path: str) -> tuple[SheetMap, tuple[Remark, ...]]:
    """The map in a file, and everything that is wrong with it."""
    text, findings = decoded(content, path)
    reading = read(text, path) if text is not None else None
    findings = [*findings, *(reading.findings if reading else ())]
    remarks = [Remark(path, one.line, one.column, one.field, one.found, one.expected, one.fix) for one in findings]
    root = reading.root if reading else None
    if root is None or root.kind != "mapping":
        if not remarks:
            fix = "write columns: and below it Heading: field, as lidoff import --help shows"
            remarks.append(Remark(path, 1, 1, "", "no keys with values", "a map", fix))
        return SheetMap(), tuple(remarks)
    maker = _Maker(path, remarks)
    made = maker.made(root)
    return made, tuple(sorted(set(remarks)))


@dataclass(slots=True)
class _Maker:
    """Makes the map from the nodes of its file and notes what is wrong."""

    path: str
    remarks: list[Remark]

    def refuse(self, node: Node, about: str, found: str, expected: str, fix: str) -> None:
        """Note one thing at a node."""
        self.remarks.append(Remark(self.path, node.line, node.column, about, found, expected, fix))

    def made(self, root: Node) -> SheetMap:
        """The map of a file."""
        parts = dict(self._keys(root, KEYS, ""))
        columns = tuple(self._columns(parts.get("columns"), root))
        fixed = tuple(self._fixed(parts.get("fixed")))
        decimal = self._text(parts["decimal"], "decimal", tuple(DECIMALS)) if "decimal" in parts else ""
        self._fields_once(columns, fixed)
        known = {column.field for column in (*columns, *(column for column, _ in fixed))}
        for needed in NEEDED:
            if needed not in known:
                fix = f"name the column that gives it, such as {needed.split('.')[1].capitalize()}: {needed}"
                self.refuse(root, "columns", f"no column for {needed}", "brand and model of every product", fix)
        return SheetMap(columns, fixed, tuple(self._leave(parts.get("leave"))), DECIMALS.get(decimal, ""))

    def _keys(self, node: Node, known: tuple[str, ...], about: str) -> Iterator[tuple[str, Node]]:
        """The keys of a mapping that are known, with their values."""
        for key, value in node.content:
            if key.content in known:
                yield str(key.content), value
                continue
            near = closest(str(key.content), known, 0.6)
            fix = f"write {near}" if near else "take it out"
            self.refuse(key, about, f"the key {key.content}", f"a key of {', '.join(known)}", fix)

    def _columns(self, node: Node | None, root: Node) -> Iterator[Column]:
        if node is None or node.kind != "mapping" or not node.content:
            fix = "write columns: and below it Heading: field"
            self.refuse(node or root, "columns", "no columns", "each heading with its field", fix)
            return
        seen: dict[str, Node] = {}
        for key, value in node.content:
            heading = str(key.content)
            if seen.setdefault(heading, key) is not key:
                line = seen[heading].line
                self.refuse(key, heading, f"the column again, after line {line}", "each once", "take one out")
            elif (column := self._column(heading, key, value)) is not None:
                yield column

    def _column(self, heading: str, key: Node, value: Node) -> Column | None:
        """One column; None where its field is none."""
        if value.kind == "scalar":
            made = {"field": value}
        elif value.kind == "mapping":
            made = dict(self._keys(value, COLUMN_KEYS, heading))
        else:
            made = {}
        if "field" not in made or made["field"].kind != "scalar":
            fix = f"write {heading}: product.name, or {heading}: {{field: product.name}}"
            self.refuse(value, heading, "no field", "a field of a record", fix)
            return None
        path = str(made["field"].content)
        if fault := fault_in(path):
            self.refuse(made["field"], heading, *fault)
            return None
        column = Column(heading, path, key.line, key.column)
        words = self._words(made["words"], column) if "words" in made else {}
        apart = self._text(made["apart"], heading) if "apart" in made else ""
        date = self._text(made["date"], heading, DATE_ORDERS) if "date" in made else DATE_ORDERS[0]
        unit = self._unit(made["unit"], column) if "unit" in made else ""
        return Column(heading, path, key.line, key.column, unit, words, apart, date)

    def _unit(self, node: Node, column: Column) -> str:
        """The unit of a column's numbers; it must measure what the field's unit measures."""
        wanted = column.shape.schema.get("x-unit", "")
        text = self._text(node, column.heading)
        unit = unit_named(text)
        if dimension(wanted) is None:
            fix = "take the unit out: the number goes in as it is"
            self.refuse(node, column.heading, f"the unit {text} for {column.field}", "no unit: it has none here", fix)
        elif unit is None or dimension(unit) != dimension(wanted):
            measured = dimension(wanted)
            self.refuse(
                node, column.heading, f"the unit {text}", f"a unit of {measured}, such as {wanted}", "correct it"
            )
        else:
            return unit
        return ""

    def _words(self, node: Node, column: Column) -> dict[str, str]:
        """What the sheet's own words mean in the record's vocabulary."""
        if node.kind != "mapping":
            fix = "write words: {theirs: ours}"
            self.refuse(node, column.heading, "no list of words", "each word of the sheet with what it means", fix)
            return {}
        known = column.shape.schema.get("enum")
        words: dict[str, str] = {}
        for key, value in node.content:
            name = str(value.content)
            if known is not None and name not in known:
                near = closest(name, known, 0.5)
                fix = f"did you mean {near}?" if near else f"write one of {', '.join(known[:8])}"
                self.refuse(value, column.heading, f'"{name}"', f"a word of the vocabulary for {column.field}", fix)
            words[str(key.content).casefold()] = name
        return words

    def _text(self, node: Node, about: str, known: tuple[str, ...] = ()) -> str:
        """One text, of those that are known where there is a choice."""
        text = str(node.content) if node.kind == "scalar" else ""
        if not text or (known and text not in known):
            expected = f"one of {', '.join(known)}" if known else "one text"
            near = closest(text, known, 0.4) if known and text else None
            fix = f"write {near}" if near else "correct it, or take it out"
            self.refuse(node, about, f'"{text}"' if text else "no text", expected, fix)
            return known[0] if known else ""
        return text

    def _fixed(self, node: Node | None) -> Iterator[tuple[Column, str]]:
        if node is None:
            return
        for key, value in node.content if node.kind == "mapping" else ():
            path = str(key.content)
            if fault := fault_in(path):
                self.refuse(key, "fixed", *fault)
            elif value.kind != "scalar" or "[]" in path:
                expected = "one value that every record gets"
                self.refuse(value, "fixed", f"several values for {path}", expected, "give it as a column")
            else:
                yield Column("", path, value.line, value.column), str(value.content)
        if node.kind != "mapping":
            self.refuse(
                node, "fixed", "no keys with values", "fields with one value each", "write fixed: {field: value}"
            )

    def _leave(self, node: Node | None) -> Iterator[tuple[str, int, int]]:
        if node is None:
            return
        if node.kind != "list":
            self.refuse(node, "leave", "no list", "a list of headings", "write leave: [Heading, Heading]")
            return
        for item in node.content:
            yield str(item.content), item.line, item.column

    def _fields_once(self, columns: tuple[Column, ...], fixed: tuple[tuple[Column, str], ...]) -> None:
        first: dict[str, Column] = {}
        for column in (*columns, *(column for column, _ in fixed)):
            other = first.setdefault(column.field, column)
            if other is not column:
                found = f"{column.field}, which line {other.line} gives already"
                place = (self.path, column.line, column.column, column.heading or "fixed")
                self.remarks.append(Remark(*place, found, "one column for each field", "take one of the two out"))
