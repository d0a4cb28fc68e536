"""Figures of records that were taken from public documents, against the numbers that those documents print."""

import csv
from pathlib import Path

import pytest

from lidoff.figures.assumptions import read_assumptions
from lidoff.figures.derive import derive
from lidoff.figures.figure import Corner
from lidoff.record.load import load_file

HERE = Path(__file__)
BASE = HERE.parents[1] / "published"


def rows() -> list[dict[str, str]]:
    with HERE.with_name("published_figures.csv").open(encoding="utf-8", newline="") as table:
        return list(csv.DictReader(table))


@pytest.mark.parametrize("row", rows(), ids=lambda row: f"{row['record']}:{row['figure']}")
def test_printed_number(row):
    loaded = load_file(BASE / "entries" / row["record"] / "record.yaml", BASE)
    figures = derive(loaded.record, read_assumptions())
    (figure,) = [one for one in figures.present(row["figure"]) if one.of == Corner(port=row["port"] or None)]
    assert row["source"] and row["location"]
    assert float(row["tolerance"]) <= 0.005 * float(row["expected"])
    assert figure.value == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def test_there_are_rows():
    assert rows()
