"""The open data: a descriptor that frictionless accepts, and the same rows in CSV, JSON and SQLite."""

import csv
import io
import json
import sqlite3
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest
from frictionless import Package

from lidoff.entry import Entry
from lidoff.figures.assumptions import read_assumptions
from lidoff.figures.derive import derive
from lidoff.finding import Finding
from lidoff.record.load import load_file
from lidoff.trends.citation import About
from lidoff.trends.frames import make_frames
from lidoff.trends.open_columns import TABLES
from lidoff.trends.open_data import DATABASE, open_data

ROOT = Path(__file__).resolve().parents[2]
TIERS_W = (20, 33, 45, 67, 100, 140, 240)
ABOUT = About("Opened chargers", "https://example.org/", "Contributors", "2026-03-09", ("CC-BY-4.0",))


@pytest.fixture(scope="module")
def entries() -> tuple[Entry, ...]:
    found = []
    for file in sorted((ROOT / "entries").glob("*/*/record.yaml")):
        loaded = load_file(file, ROOT)
        if loaded.record is not None:
            slug = "/".join(file.parts[-3:-1])
            finding = Finding("mass-outlier", "note", loaded.path, 3, 4, "measured.mass_g", "=1+1", "less", "look")
            figures = derive(loaded.record, read_assumptions({}))
            found.append(Entry(loaded.path, slug, loaded.record, figures, (finding,)))
    return tuple(found)


@pytest.fixture(scope="module")
def folder(entries: tuple[Entry, ...], tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("open")
    for name, content in open_data(make_frames(entries, TIERS_W), entries, ABOUT):
        (folder / name).write_bytes(content)
    return folder


def test_frictionless_finds_nothing_wrong(folder: Path) -> None:
    report = Package(str(folder / "datapackage.json")).validate()
    assert report.valid, report.flatten(["type", "rowNumber", "fieldName", "message"])[:10]
    assert len(report.tasks) == 5


def test_frictionless_notices_a_spoilt_file(folder: Path, tmp_path: Path) -> None:
    for file in folder.iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    lines = (tmp_path / "ports.csv").read_text(encoding="utf-8").splitlines()
    lines[1] = "no/such-product" + lines[1][lines[1].index(",") :]
    (tmp_path / "ports.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    report = Package(str(tmp_path / "datapackage.json")).validate()
    assert "foreign-key" in {error for (error,) in report.flatten(["type"])}


@pytest.mark.parametrize("name", TABLES)
def test_csv_json_and_sqlite_hold_the_same(name: str, folder: Path) -> None:
    rows = json.loads((folder / f"{name}.json").read_bytes())
    with (folder / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        lines = list(csv.DictReader(file))
    connection = sqlite3.connect(folder / DATABASE)
    stored = connection.execute(f"SELECT * FROM {name}").fetchall()
    connection.close()
    assert len(rows) == len(lines) == len(stored) > 30
    for row, line, kept in zip(rows, lines, stored, strict=True):
        assert [_flat(value) for value in row.values()] == list(kept)
        assert {key: _as_text(value) for key, value in row.items()} == {
            key: value.removeprefix("'") for key, value in line.items()
        }


def _flat(value: object) -> object:
    return "; ".join(value) if isinstance(value, list) else int(value) if isinstance(value, bool) else value


def _as_text(value: object) -> str:
    if value is None:
        return ""
    return str(value).lower() if isinstance(value, bool) else str(_flat(value)).removeprefix("'")


def test_drafts_are_not_in_it(entries: tuple[Entry, ...], folder: Path) -> None:
    drafts = {entry.slug for entry in entries if entry.is_draft}
    assert drafts
    for name in TABLES:
        slugs = {row["slug"] for row in json.loads((folder / f"{name}.json").read_bytes())}
        assert slugs and drafts.isdisjoint(slugs)


def test_every_column_of_the_frames_is_described(entries: tuple[Entry, ...]) -> None:
    frames = make_frames(entries, TIERS_W)
    for name in ("products", "components", "ports", "figures"):
        assert list(TABLES[name]) == list(getattr(frames, name).columns)
    assert all(len(column.meaning) > 3 and column.meaning[0].isupper() or column.meaning[0].islower()
               for columns in TABLES.values() for column in columns.values())  # fmt: skip


def test_a_spreadsheet_runs_nothing(folder: Path) -> None:
    with (folder / "findings.csv").open(encoding="utf-8", newline="") as file:
        assert {line["found"] for line in csv.DictReader(file)} == {"'=1+1"}


def test_three_lines_of_pandas_count_it(entries: tuple[Entry, ...], folder: Path) -> None:
    products = pd.read_csv(io.StringIO((folder / "products.csv").read_text(encoding="utf-8")))
    counted = products.groupby(["tier", "primary_switch_technology"]).size()
    published = [entry for entry in entries if not entry.is_draft]
    assert counted.sum() == len(published)


def test_the_same_records_give_the_same_bytes(entries: tuple[Entry, ...], folder: Path) -> None:
    backwards = tuple(reversed(entries))
    for name, content in open_data(make_frames(backwards, TIERS_W), backwards, ABOUT):
        assert (folder / name).read_bytes() == content, name


def test_nothing_is_said_that_is_not_known(entries: tuple[Entry, ...]) -> None:
    files = dict(open_data(make_frames((), TIERS_W), (), replace(ABOUT, newest=None, licences=())))
    package = json.loads(files["datapackage.json"])
    assert "created" not in package and "licenses" not in package
    assert json.loads(files["products.json"]) == []
