"""``lidoff table`` through the command line, over a tiny knowledge base of invented records."""

import csv
import io
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from lidoff.cli import main
from lidoff.trends.tables import TABLES

RECORD = """\
schema: 1
demo: true
status: {status}
product: {{brand: Fernhollow, model: {model}, kind: wall-charger, launched: 2024, rated_power_w: {power}}}
teardown: {{date: "2025-03-09"}}
coverage: {{boards: all, parts: main}}
ports:
  - {{id: C1, connector: usb-c, protocols: [pps, usb-pd-3.0]}}
conversion: {{pfc: none, primary: flyback-quasi-resonant}}
components:
  - {{ref: Q1, roles: [primary-switch], technology: gan-enhancement}}
  - {{ref: U1, roles: [primary-controller], maker: Pell Lane, part_number: PL100}}
"""
CONFIG = """\
site_name: A base
site_url: https://example.org/
plugins:
  - lidoff:
      tables:
        kinds-by-brand: {rows: kind, columns: brand, title: Kinds by brand}
"""


@pytest.fixture
def base(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    write(tmp_path, "FH-65", 65)
    write(tmp_path, "FH-30", 30)
    write(tmp_path, "FH-99", 99, status="draft")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def write(base: Path, model: str, power: int, status: str = "published") -> Path:
    folder = base / "entries" / "fernhollow" / model.lower()
    folder.mkdir(parents=True)
    path = folder / "record.yaml"
    path.write_text(RECORD.format(model=model, power=power, status=status), encoding="utf-8")
    return path


def run(*arguments: str, **environment: str) -> Result:
    return CliRunner(env=environment).invoke(main, ["table", *arguments])


@pytest.mark.usefixtures("base")
def test_text_holds_the_counts_and_what_they_rest_on_in_80_columns() -> None:
    result = run("technology-by-tier")
    assert result.exit_code == 0, result.output
    assert "2 products, 1 brand, 2 platforms." in result.stdout
    assert [line.split() for line in result.stdout.splitlines() if line.startswith("GaN")] == [["GaN", "1", "1", "2"]]
    assert "no random sample" in " ".join(result.stdout.split())
    assert max(map(len, result.stdout.splitlines())) <= 80
    assert "\x1b" not in result.stdout


@pytest.mark.usefixtures("base")
@pytest.mark.parametrize("name", TABLES)
def test_every_table_fits_80_columns(name: str) -> None:
    result = run(name)
    assert result.exit_code == 0, result.output
    assert max(map(len, result.stdout.splitlines())) <= 80
    assert "…" not in result.stdout


@pytest.mark.usefixtures("base")
def test_json_has_the_promised_keys() -> None:
    content = json.loads(run("topology-by-tier", "--format", "json").stdout)
    assert {"name", "title", "columns", "rows", "row_totals", "column_totals", "n"} <= content.keys()
    assert content["n"] == 2
    assert content["row_totals"] == [2]
    row = dict(zip(content["columns"], content["rows"][0], strict=True))
    assert (row["isolated converter"], row["46-67 W"], row["21-33 W"], row["68-100 W"]) == (
        "flyback-quasi-resonant",
        1,
        1,
        0,
    )


@pytest.mark.usefixtures("base")
def test_csv_has_the_totals() -> None:
    lines = list(csv.reader(io.StringIO(run("protocols-by-tier", "--format", "csv").stdout)))
    assert lines[0][:3] == ["charging protocol", "up to 20 W", "21-33 W"]
    assert [line[0] for line in lines[1:]] == ["usb-pd-3.0", "pps", "all"]
    assert lines[-1][-1] == "2"


@pytest.mark.usefixtures("base")
@pytest.mark.parametrize("form", ["text", "json", "csv"])
def test_without_a_name_it_lists_all_own_ones_too(form: str) -> None:
    result = run("--format", form)
    assert result.exit_code == 0
    if form == "json":
        names = [table["name"] for table in json.loads(result.stdout)]
    else:
        names = [line.replace(",", " ").split()[0] for line in result.stdout.splitlines()][form == "csv" :]
    assert names == [*TABLES, "kinds-by-brand"]


@pytest.mark.usefixtures("base")
def test_an_own_table_is_printed_as_any_other() -> None:
    content = json.loads(run("kinds-by-brand", "--format", "json").stdout)
    assert (content["title"], content["rows"]) == ("Kinds by brand", [["wall-charger", 2]])


@pytest.mark.usefixtures("base")
def test_an_unknown_name_is_wrong_usage_with_the_nearest_one() -> None:
    result = run("technology-by-teir")
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "found     no table technology-by-teir" in result.stderr
    assert "technology-by-tier" in result.stderr


def test_a_wrong_own_table_is_wrong_usage(base: Path) -> None:
    (base / "mkdocs.yml").write_text(CONFIG.replace("rows: kind", "rows: knid"), encoding="utf-8")
    result = run("technology-by-tier")
    assert result.exit_code == 2
    assert "fix       write kind" in result.stderr


def test_outside_a_knowledge_base_it_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    result = run()
    assert result.exit_code == 2
    assert "mkdocs.yml" in result.stderr


def test_a_record_with_an_error_is_never_left_out_in_silence(base: Path) -> None:
    path = write(base, "FH-20", 20)
    path.write_text(path.read_text(encoding="utf-8").replace("kind: wall-charger", "kind: 3"), encoding="utf-8")
    result = run("topology-by-tier", "--format", "json")
    assert result.exit_code == 1
    assert json.loads(result.stdout)["n"] == 2
    assert "entries/fernhollow/fh-20/record.yaml" in result.stderr


def test_a_draft_with_an_error_holds_up_nothing(base: Path) -> None:
    path = base / "entries/fernhollow/fh-99/record.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("kind: wall-charger", "kind: 3"), encoding="utf-8")
    result = run("topology-by-tier")
    assert (result.exit_code, result.stderr) == (0, "")


def test_a_file_of_settings_can_be_named(
    base: Path, monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory
) -> None:
    monkeypatch.chdir(tmp_path_factory.mktemp("elsewhere"))
    assert run("topology-by-tier", "--config", str(base / "mkdocs.yml")).exit_code == 0
