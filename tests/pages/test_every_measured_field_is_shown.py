"""Whatever a record holds of a measurement stands on the product's page: each field of each kind of row."""

import dataclasses
import itertools
from typing import Any

import pytest

from lidoff.pages.views.measurements import INSULATION, LOADS, OUTPUTS, Kind, table
from lidoff.record.model import Record
from lidoff.record.model.measured import Measured

KINDS = {kind.name: kind for kind in (*LOADS, *OUTPUTS, *INSULATION)}
# what a chart, the words beside it or the table of its points show
BY_OTHER_MEANS = {"charging": {"columns"}, "soak": {"log", "columns"}}
# shown elsewhere on the page, not in tables of rows
ELSEWHERE = {"body_mm", "assembly_mm", "mass_g", "other_samples", "efficiency_sweeps"}


class Watched:
    """A row that keeps a list of what it was asked for."""

    def __init__(self, row: object) -> None:
        self.row, self.asked = row, set()

    def __getattr__(self, name: str) -> Any:
        self.asked.add(name)
        return getattr(self.row, name)


def test_every_list_of_measurements_has_a_table() -> None:
    lists = {field.name for field in dataclasses.fields(Measured)} - ELSEWHERE
    assert lists == set(KINDS)


@pytest.mark.parametrize("name", KINDS)
def test_every_field_of_a_row_is_shown(name: str, filled: Any) -> None:
    record: Record = filled(itertools.repeat("x"))
    kind: Kind = KINDS[name]
    (row,) = getattr(record.measured, name)
    watched = Watched(row)
    samples = dataclasses.replace(record.samples[0], id="s1"), dataclasses.replace(record.samples[0], id="s2")
    grid = table([watched], kind, dataclasses.replace(record, samples=samples))
    assert grid is not None
    fields = {field.name for field in dataclasses.fields(type(row))}
    assert fields - watched.asked == BY_OTHER_MEANS.get(name, set())
    texts = [cell if isinstance(cell, str) else cell.text for cell in grid.rows[0]]
    assert all(texts), [column.label for column, text in zip(grid.columns, texts, strict=True) if not text]
