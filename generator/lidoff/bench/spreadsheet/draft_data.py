"""The fields of one draft -> its data in the schema's order, held against the schema; and its text."""

from collections.abc import Mapping, Sequence

from lidoff.bench.spreadsheet.grid import Cell
from lidoff.bench.spreadsheet.remark import Remark
from lidoff.record.faults import shown
from lidoff.record.load import load_text
from lidoff.record.paths import Trail, steps
from lidoff.record.schema import Shape, record_shape
from lidoff.record.yaml_lines import mapping_lines

Fields = Mapping[str, tuple[object, Cell]]
MOST_PASSES = 6
MISSING = "record-missing-key"


def checked(fields: Fields, path: str) -> tuple[dict[str, object], tuple[str, ...], list[Remark]]:
    """Data of a draft, the fields that are still missing in it, and a remark for each cell that the schema refuses.

    A refused cell is left out of the data, which is then held against the schema again.
    """
    kept, remarks = dict(fields), []
    for _ in range(MOST_PASSES):
        data = _data(kept)
        findings = [
            one for one in load_text("\n".join(mapping_lines(data, 0)), path).findings if one.severity == "error"
        ]
        wrong = [one for one in findings if one.rule != MISSING]
        if not wrong:
            return data, tuple(one.field for one in findings), remarks
        for finding in wrong:
            for number, name in enumerate(_concerned(finding.field, kept)):
                cell = kept.pop(name)[1]
                if number == 0:
                    place = (path, cell.line, cell.column, name)
                    remarks.append(Remark(*place, finding.found, finding.expected, finding.fix, cell.text))
    return _data(kept), (), remarks


def _concerned(field: str, fields: Fields) -> list[str]:
    """The fields that a finding is about: its own, else those inside it, else the nearest around it."""
    if field in fields:
        return [field]
    inside = [name for name in fields if name.startswith((f"{field}.", f"{field}["))]
    return inside or [name for name in fields if field.startswith((f"{name}.", f"{name}["))]


def _data(fields: Fields) -> dict[str, object]:
    tree: dict = {"schema": 1, "status": "draft"}
    for name, (value, _) in fields.items():
        _put(tree, steps(name), value)
    return _ordered(tree, record_shape())


def _put(tree: dict, trail: Trail, value: object) -> None:
    for step in trail[:-1]:
        tree = tree.setdefault(step, {})
    tree[trail[-1]] = value


def _ordered(tree: object, shape: Shape | None) -> object:
    """The tree with its keys in the schema's order, and what has numbers for keys as a list."""
    if not isinstance(tree, dict) or shape is None:
        return tree
    if shape.kind == "list":
        return [_ordered(tree[number], shape.items) for number in sorted(tree)]
    order = {key: number for number, key in enumerate(shape.keys)}
    keys = sorted(tree, key=lambda key: order.get(key, len(order)))
    return {key: _ordered(tree[key], shape.step(key)) for key in keys}


def draft_text(
    data: Mapping[str, object], source: str, schema: str | None, missing: Sequence[str], left_out: Sequence[Remark]
) -> str:
    """The text of a draft: where it comes from, what is missing, what was not understood, then the record."""
    lines = [f"# yaml-language-server: $schema={schema}"] if schema else []
    lines.append(f"## Imported from {source}. See what is still wrong: lidoff check")
    lines += [f"## Still to be filled in: {', '.join(missing)}"] if missing else []
    for one in left_out:
        said = " ".join(one.said.split())
        lines.append(f"## Not understood, {one.path}:{one.line}:{one.column} {one.about}: {shown(said)}")
    return "\n".join([*lines, *mapping_lines(data, 0)]) + "\n"
