"""One record edited by hand moves exactly the cells that it should, in the tables it touches and in no other."""

from collections.abc import Callable, Iterable, Sequence

import pytest

from lidoff.entry import Entry
from lidoff.trends.frames import Frames
from lidoff.trends.table import Table, Value
from lidoff.trends.tables import FIXED, TABLES, Definition

MakeEntry = Callable[..., Entry]
Moves = dict[str, dict[tuple[str, str], tuple[Value, Value]]]
BEFORE = {
    "components": [
        {"ref": "Q1", "roles": ["primary-switch"], "technology": "silicon-superjunction"},
        {"ref": "U1", "roles": ["primary-controller"], "maker": "Pell Lane", "part_number": "PL1"},
    ],
    "conversion": {"pfc": "none", "primary": "flyback-quasi-resonant"},
    "ports": [{"id": "C1", "connector": "usb-c", "protocols": ["pps"]}],
}
# the row of a controller that was seen in one product
LISTED = {"function": "rectifier", "first year": 2024, "last year": 2024, "products": 1}
FIGURES = {"power_density_w_per_cm3": 1.0, "bulk_uf_per_w": 1.5}


def moved(before: Sequence[Table], after: Sequence[Table]) -> Moves:
    """Every cell and total that differs, by table; totals stand under the name all."""
    found: Moves = {}
    for old, new in zip(before, after, strict=True):
        values, others = _values(old), _values(new)
        changed = {place: (values.get(place, 0), others.get(place, 0)) for place in values.keys() | others.keys()}
        changed = {place: pair for place, pair in changed.items() if pair[0] != pair[1]}
        if changed:
            found[old.name] = changed
    return found


def _values(table: Table) -> dict[tuple[str, str], Value]:
    cells = {
        (row.label, column): cell.value
        for row in table.rows
        for column, cell in zip(table.columns, row.cells, strict=True)
    }
    rows = {
        (row.label, "all"): total for row, total in zip(table.rows, table.row_totals, strict=bool(table.row_totals))
    }
    columns = {
        ("all", column): total
        for column, total in zip(table.columns, table.column_totals, strict=bool(table.column_totals))
    }
    return {**cells, **rows, **columns, ("all", "all"): table.n}


@pytest.fixture
def tables_after(
    make_entry: MakeEntry, frames_of: Callable[[Sequence[Entry]], Frames]
) -> Callable[[dict, dict], list[Table]]:
    """The fixed tables, or others, over two other products and one with the given changes."""

    def build(changes: dict, figures: dict, definitions: Iterable[Definition] = FIXED) -> list[Table]:
        others = [make_entry("quillstone/a", BEFORE, FIGURES), make_entry("quillstone/b", BEFORE, FIGURES)]
        edited = make_entry("fernhollow/edited", {**BEFORE, **changes}, {**FIGURES, **figures})
        frames = frames_of([*others, edited])
        return [definition.build(frames) for definition in definitions]

    return build


def test_an_exchanged_switch_moves_one_product_from_row_to_row(tables_after: Callable) -> None:
    parts = [{**BEFORE["components"][0], "technology": "gan-enhancement"}, BEFORE["components"][1]]
    assert moved(tables_after({}, {}), tables_after({"components": parts}, {})) == {
        "technology-by-tier": {
            ("silicon", "46-67 W"): (3, 2), ("GaN", "46-67 W"): (0, 1), ("silicon", "all"): (3, 2),
            ("GaN", "all"): (0, 1),
        },
        "technology-by-year": {
            ("silicon", "2024"): (3, 2), ("GaN", "2024"): (0, 1), ("silicon", "all"): (3, 2), ("GaN", "all"): (0, 1),
        },
    }  # fmt: skip


def test_a_further_protocol_adds_a_row_and_changes_no_total_of_a_column(tables_after: Callable) -> None:
    ports = [{"id": "C1", "connector": "usb-c", "protocols": ["pps", "ufcs"]}]
    assert moved(tables_after({}, {}), tables_after({"ports": ports}, {})) == {
        "protocols-by-tier": {("ufcs", "46-67 W"): (0, 1), ("ufcs", "all"): (0, 1)}
    }


def test_an_exchanged_controller_moves_only_its_own_rows(tables_after: Callable) -> None:
    parts = [BEFORE["components"][0], {**BEFORE["components"][1], "part_number": "PL2"}]
    assert moved(tables_after({}, {}), tables_after({"components": parts}, {})) == {
        "controllers": {
            ("Pell Lane PL1", "primary"): (3, 2), ("Pell Lane PL2", "primary"): (0, 1),
            ("Pell Lane PL1", "all"): (3, 2), ("Pell Lane PL2", "all"): (0, 1),
        }
    }  # fmt: skip


def test_another_topology_moves_one_product(tables_after: Callable) -> None:
    conversion = {"pfc": "none", "primary": "llc-half-bridge"}
    assert moved(tables_after({}, {}), tables_after({"conversion": conversion}, {})) == {
        "topology-by-tier": {
            ("flyback-quasi-resonant", "46-67 W"): (3, 2), ("llc-half-bridge", "46-67 W"): (0, 1),
            ("flyback-quasi-resonant", "all"): (3, 2), ("llc-half-bridge", "all"): (0, 1),
        }
    }  # fmt: skip


def test_another_density_moves_one_tier_and_the_last_row(tables_after: Callable) -> None:
    found = moved(tables_after({}, {}), tables_after({}, {"power_density_w_per_cm3": 1.3}))
    assert found == {"density-by-tier": {("46-67 W", "largest"): (1.0, 1.3), ("all", "largest"): (1.0, 1.3)}}


def test_a_product_that_becomes_a_draft_leaves_every_table(tables_after: Callable) -> None:
    found = moved(tables_after({}, {}), tables_after({"status": "draft"}, {}))
    assert found.keys() == {definition.name for definition in FIXED}
    assert all(changes["all", "all"] == (3, 2) for changes in found.values())


def test_a_remark_moves_nothing(tables_after: Callable) -> None:
    assert moved(tables_after({}, {}), tables_after({"summary": "A remark."}, {})) == {}


def test_an_exchanged_switch_moves_nothing_else_in_any_table(tables_after: Callable) -> None:
    parts = [{**BEFORE["components"][0], "technology": "gan-enhancement"}, BEFORE["components"][1]]
    before, after = (tables_after(changes, {}, TABLES.values()) for changes in ({}, {"components": parts}))
    found = moved(before, after)
    assert found.keys() == {"technology-by-tier", "technology-by-year", "adoption-by-year"}
    assert found["adoption-by-year"] == {("GaN primary switch", "2024"): (0, 1), ("GaN primary switch", "all"): (0, 1)}


def test_another_rectifier_controller_moves_its_tables_alone(tables_after: Callable) -> None:
    def parts(number: str) -> dict:
        part = {"ref": "U2", "roles": ["sync-rectifier-controller"], "maker": "Aster Row", "part_number": number}
        return {"components": [*BEFORE["components"], part]}

    found = moved(tables_after(parts("AR1"), {}, TABLES.values()), tables_after(parts("AR2"), {}, TABLES.values()))
    assert found == {
        "controllers": {
            ("Aster Row AR1", "rectifier"): (1, 0), ("Aster Row AR2", "rectifier"): (0, 1),
            ("Aster Row AR1", "all"): (1, 0), ("Aster Row AR2", "all"): (0, 1),
        },
        "rectifier-controllers-by-tier": {
            ("Aster Row AR1", "46-67 W"): (1, 0), ("Aster Row AR2", "46-67 W"): (0, 1),
            ("Aster Row AR1", "all"): (1, 0), ("Aster Row AR2", "all"): (0, 1),
        },
        "controller-pairs": {
            ("Pell Lane PL1 with Aster Row AR1", "products"): (1, 0), ("Pell Lane PL1 with Aster Row AR1", "all"): (1, 0),
            ("Pell Lane PL1 with Aster Row AR2", "products"): (0, 1), ("Pell Lane PL1 with Aster Row AR2", "all"): (0, 1),
        },
        "controller-years": {
            ("Aster Row AR1", column): (value, 0) for column, value in LISTED.items()
        } | {("Aster Row AR2", column): (0, value) for column, value in LISTED.items()},
    }  # fmt: skip
