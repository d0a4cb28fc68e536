"""``lidoff import`` from outside: drafts from sheets, every finding at its place, and nothing overwritten."""

import json
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lidoff.bench.spreadsheet.columns import Paths
from lidoff.bench.spreadsheet.drafts import read_drafts
from lidoff.bench.spreadsheet.grid import read_sheet
from lidoff.bench.spreadsheet.map_file import read_map
from lidoff.cli import main
from lidoff.record.schema import shape_at

MAP = """columns:
  Brand: product.brand
  Model: product.model
  Weight (oz): {field: measured.mass_g, unit: oz}
  Size: {field: measured.body_mm.size, apart: x, unit: in}
  Plug: {field: product.plug.system, words: {US: nema-1-15}}
  Opened: {field: teardown.date, date: day-month-year}
  W: product.rated_power_w
  Kind: product.kind
leave: [Shelf]
"""
HEADINGS = "Brand;Model;Weight (oz);Size;Plug;Opened;W;Kind;Shelf\n"


@pytest.fixture
def base(knowledge_base: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(knowledge_base)
    (knowledge_base / "map.yaml").write_text(MAP, encoding="utf-8")
    return knowledge_base


def bring_in(sheet: str | bytes, *options: str, mapped: str | None = None):
    Path("sheet.csv").write_bytes(sheet if isinstance(sheet, bytes) else sheet.encode())
    if mapped is not None:
        Path("map.yaml").write_text(mapped, encoding="utf-8")
    return CliRunner().invoke(main, ["import", "sheet.csv", "--map", "map.yaml", *options])


def data_of(base: Path, path: str) -> dict:
    return yaml.safe_load((base / "entries" / path / "record.yaml").read_text(encoding="utf-8"))


def test_a_row_becomes_a_draft_in_the_folder_that_new_would_give_it(base: Path) -> None:
    result = bring_in(HEADINGS + "Hazelmere;HZ-30;3,5;2,36x1,50x1,1;US;09/03/2026;30;Wall Charger;A\n")
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.splitlines() == [
        "1 row read: cells apart by semicolon, decimal comma, ASCII",
        "wrote entries/hazelmere/hz-30/record.yaml, still to be filled in: ports",
    ]
    assert data_of(base, "hazelmere/hz-30") == {
        "schema": 1, "status": "draft",
        "product": {"brand": "Hazelmere", "model": "HZ-30", "kind": "wall-charger", "rated_power_w": 30,
                    "plug": {"system": "nema-1-15"}},
        "teardown": {"date": "2026-03-09"},
        "measured": {"body_mm": {"size": [59.94, 38.1, 27.9]}, "mass_g": 99.2},
    }  # fmt: skip
    check = CliRunner().invoke(main, ["check", "entries/hazelmere/hz-30/record.yaml"])
    assert "record-missing-key] ports" in check.stdout
    assert check.stdout.count("error[") == 1


def test_every_finding_at_once_and_what_was_not_understood_is_kept_as_a_comment(base: Path) -> None:
    result = bring_in(
        HEADINGS
        + "Hazelmere;HZ-45;abc;2,36x1,50;EU;31/02/2026;45 W;desk;A\n"
        + "Hazelmere;;1,0;;;;;;\n"
        + "Hazelmere;HZ-99;1,5;60 mm x 2 in x 1 in;US;2026-03-09;99999;wall-charger;A;B\n"
    )
    assert result.exit_code == 1
    told = [line for line in result.stderr.splitlines() if line.startswith("sheet.csv:")]
    assert told == [
        "sheet.csv:2:17: Weight (oz)", "sheet.csv:2:21: measured.body_mm.size", "sheet.csv:2:31: Plug",
        "sheet.csv:2:34: Opened", "sheet.csv:2:50: Kind", "sheet.csv:3:11: product.model", "sheet.csv:4:21: Size",
        "sheet.csv:4:55: product.rated_power_w", "sheet.csv:4:76",
    ]  # fmt: skip
    text = (base / "entries/hazelmere/hz-45/record.yaml").read_text(encoding="utf-8")
    assert "## Not understood, sheet.csv:2:17 Weight (oz): abc\n" in text
    assert "## Not understood, sheet.csv:2:21 measured.body_mm.size: 2,36x1,50\n" in text
    assert data_of(base, "hazelmere/hz-45")["product"] == {"brand": "Hazelmere", "model": "HZ-45", "rated_power_w": 45}


def test_a_record_that_is_there_is_never_touched(base: Path) -> None:
    file = base / "entries" / "fernhollow" / "fh-65" / "record.yaml"
    before = file.read_bytes()
    result = bring_in(HEADINGS + "FERNHOLLOW;FH 65;;;;;;;\nFERNHOLLOW;FH-20;;;;;;;\n")
    assert result.exit_code == 1
    assert (
        "sheet.csv:2:1\n  found     Fernhollow FH 65, whose record is there: entries/fernhollow/fh-65/record.yaml\n"
        in result.stderr
    )
    assert file.read_bytes() == before
    assert data_of(base, "fernhollow/fh-20")["product"]["brand"] == "Fernhollow"
    assert "the brand is written Fernhollow" in result.stderr
    again = bring_in(HEADINGS + "Fernhollow;FH-20;9;;;;;;\n")
    assert again.exit_code == 1
    assert "measured" not in data_of(base, "fernhollow/fh-20")


def test_a_dry_run_writes_nothing(base: Path) -> None:
    result = bring_in(HEADINGS + "Hazelmere;HZ-30;;;;;;;\n", "--dry-run")
    assert "would write entries/hazelmere/hz-30/record.yaml" in result.stdout
    assert not (base / "entries" / "hazelmere").exists()
    data = json.loads(bring_in(HEADINGS + "Hazelmere;HZ-30;;;;;;;\n", "--dry-run", "--format", "json").stdout)
    assert (data["separator"], data["decimal"], data["encoding"], data["written"]) == (
        "semicolon",
        "point",
        "ASCII",
        False,
    )


def test_several_rows_a_product(base: Path) -> None:
    mapped = """columns:
  Brand: product.brand
  Model: product.model
  W: product.rated_power_w
  Ref: "components[].ref"
  Does: {field: "components[].roles", apart: "+"}
  uF: "components[].ratings.capacitance_uf"
fixed:
  product.kind: wall-charger
  ports[0].id: C1
  ports[0].connector: usb-c
  teardown.date: 2026-03-09
"""
    rows = (
        "Brand,Model,W,Ref,Does,uF\nHazelmere,HZ-30,30,C1,bulk capacitor,68\n"
        "Hazelmere,HZ-30,,U1,protocol-controller+power-sharing-controller,\nHazelmere,HZ-31,30,,,\n"
    )
    result = bring_in(rows, mapped=mapped)
    assert (result.exit_code, result.stderr) == (0, "")
    assert data_of(base, "hazelmere/hz-30")["components"] == [
        {"ref": "C1", "roles": ["bulk-capacitor"], "ratings": {"capacitance_uf": 68}},
        {"ref": "U1", "roles": ["protocol-controller", "power-sharing-controller"]},
    ]
    assert "components" not in data_of(base, "hazelmere/hz-31")
    check = CliRunner().invoke(main, ["check", "entries/hazelmere/hz-30/record.yaml"])
    assert check.exit_code == 0, check.stdout
    result = bring_in("Brand,Model,W,Ref,Does,uF\nHazelmere,HZ-40,30,,,\nHazelmere,HZ-40,45,,,\n", mapped=mapped)
    assert 'found     "45", and line 2 says "30"' in result.stderr


@pytest.mark.parametrize(
    ("mapped", "place", "found", "fix"),
    [
        (
            "columns: {Brand: product.brand}\n",
            "map.yaml:1:1: columns",
            "no column for product.model",
            "Model: product.model",
        ),
        (
            "columns:\n  B: product.brand\n  M: product.modle\n",
            "map.yaml:3:6: M",
            "the field product.modle",
            "did you mean product.model?",
        ),
        ("columns:\n  B: mass_g\n", "map.yaml:2:6: B", "the field mass_g", "measured.mass_g"),
        (
            "columns:\n  B: measured.body_mm\n",
            "map.yaml:2:6: B",
            "measured.body_mm, which holds several values",
            "measured.body_mm.size",
        ),
        ("columns:\n  B: {field: measured.mass_g, unit: mm}\n", "map.yaml:2:37: B", "the unit mm", "correct it"),
        (
            "columns:\n  B: {field: product.kind, words: {a: wall-chager}}\n",
            "map.yaml:2:39: B",
            '"wall-chager"',
            "did you mean wall-charger?",
        ),
        ("columns:\n  B: {feild: product.kind}\n", "map.yaml:2:7: B", "the key feild", "write field"),
        ("colums: {}\n", "map.yaml:1:1", "the key colums", "write columns"),
        (
            "columns:\n  B: product.brand\n  C: product.brand\n",
            "map.yaml:3:3: C",
            "product.brand, which line 2 gives already",
            "take one",
        ),
        ("columns:\n  B: status\n", "map.yaml:2:6: B", "status", "what is imported is a draft"),
        (
            "columns:\n  B: 'ports[].label[].voltage_v'\n",
            "map.yaml:2:6: B",
            "ports[].label[].voltage_v with 2 open lists",
            "write [0]",
        ),
        ("fixed: {product.kind: wall-charger}\n", "map.yaml:1:1: columns", "no columns", "write columns"),
        ("decimal: dot\ncolumns: {a: product.brand}\n", "map.yaml:1:10: decimal", '"dot"', "write point"),
        ("", "map.yaml:1:1", "no keys with values", "write columns"),
        ("a: [\n", "map.yaml:2:1", "", ""),
    ],
)
def test_what_is_wrong_with_a_map(base: Path, mapped: str, place: str, found: str, fix: str) -> None:
    result = bring_in(HEADINGS, mapped=mapped)
    assert result.exit_code == 1
    pieces = [f"map.yaml:{piece}" for piece in result.stderr.split("map.yaml:")]
    at_place = [piece for piece in pieces if piece.startswith((f"{place}\n", f"{place}:"))]
    assert any(f"  found     {found}" in piece and fix in piece for piece in at_place), result.stderr
    assert sorted(path.name for path in (base / "entries").iterdir()) == ["fernhollow"]


def test_headings_and_map_that_do_not_fit_stop_the_import_with_all_of_it(base: Path) -> None:
    result = bring_in("Brand;Modell;Weight (g);Size;Plug;Opened;W;Kind;Colour\nA;B;1;;;;;;\n")
    told = [line for line in result.stderr.splitlines() if not line.startswith("  ")]
    assert told[:-1] == [
        "map.yaml:3:3: Model", "map.yaml:4:3: Weight (oz)", "map.yaml:10:9: Shelf", "sheet.csv:1:7: Modell",
        "sheet.csv:1:14: Weight (g)", "sheet.csv:1:49: Colour",
    ]  # fmt: skip
    assert 'did you mean "Modell"?' in result.stderr
    assert not (base / "entries" / "a").exists()


def test_a_heading_with_another_unit_than_the_field(base: Path) -> None:
    mapped = "columns:\n  B: product.brand\n  M: product.model\n  Weight (oz): measured.mass_g\n"
    result = bring_in("B,M,Weight (oz)\nA,B,3\n", mapped=mapped)
    assert 'found     "Weight (oz)", whose numbers would be taken for g' in result.stderr
    assert "unit: oz" in result.stderr


def test_a_comma_that_may_be_either_is_asked_for(base: Path) -> None:
    mapped = "columns:\n  B: product.brand\n  M: product.model\n  g: measured.mass_g\n"
    result = bring_in("B;M;g\nA;X;1,500\n", mapped=mapped)
    assert "1,500, whose comma may set off thousands or decimals" in result.stderr
    assert "decimal not decided" in result.stdout
    result = bring_in("B;M;g\nA;Y;1,500\n", mapped=mapped + "decimal: comma\n")
    assert data_of(base, "a/y")["measured"] == {"mass_g": 1.5}


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (b"", "an empty file"), (b"PK\x03\x04", "a spreadsheet or another archive"),
        (HEADINGS.encode(), "headings and no row"),
        (b"\x00\x01" * 500, "a file that is not text"), (b"a;b\n" * 1_300_000, "a file of more than 5,000,000 bytes"),
    ],
)  # fmt: skip
def test_a_bad_file_is_one_finding(base: Path, content: bytes, found: str) -> None:
    result = bring_in(content)
    assert result.exit_code == 1
    assert f"sheet.csv:1:1\n  found     {found}\n" in result.stderr


def test_a_file_that_is_not_there(base: Path) -> None:
    result = CliRunner().invoke(main, ["import", "none.csv", "--map", "none.yaml"])
    assert result.exit_code == 1
    assert "none.csv:1:1" in result.stderr
    assert "none.yaml:1:1" in result.stderr


# the way through a sheet: values of fields -> cells in a unit of one's own -> the same fields
FIELDS = {
    "product.kind": st.sampled_from(shape_at("product.kind").schema["enum"]),
    "product.name": st.text(st.sampled_from('abc XY;,"9é'), min_size=1, max_size=12)
    .map(str.strip)
    .filter(lambda text: text.strip(' ,;"')),
    "product.launched": st.integers(2000, 2026),
    "measured.mass_g": st.integers(1, 20_000).map(lambda number: number / 10),
    "product.plug.system": st.sampled_from(shape_at("product.plug.system").schema["enum"]),
    "teardown.date": st.dates(min_value=__import__("datetime").date(2010, 1, 1)).map(lambda day: day.isoformat()),
    "construction.barrier_sheet": st.booleans(),
    "label.marks": st.lists(st.sampled_from(["ce", "ukca", "class-ii"]), min_size=1, max_size=3, unique=True),
    "components[0].ref": st.from_regex(r"[A-Z]{1,3}[0-9]{1,3}", fullmatch=True),
    "components[0].ratings.rds_on_mohm": st.integers(1, 9999),
}
CHANGED = {"measured.mass_g": "kg", "components[0].ratings.rds_on_mohm": "Ω"}


def cell_of(field: str, value: object, decimal: str) -> str:
    if isinstance(value, bool):
        return "yes" if value else "No"
    if isinstance(value, list):
        return " | ".join(value)
    if field in CHANGED:
        return f"{value / 1000:.6f}".replace(".", decimal)
    return str(value).upper() if field == "product.kind" else str(value)


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(st.fixed_dictionaries({}, optional=FIELDS), min_size=1, max_size=4),
    st.sampled_from(";\t"),
    st.sampled_from(".,"),
)
def test_records_survive_the_way_through_a_sheet(records: list[dict], separator: str, decimal: str) -> None:
    import csv
    import io

    stream = io.StringIO()
    writer = csv.writer(stream, delimiter=separator)
    writer.writerow(["Brand", "Model", *FIELDS])
    for number, record in enumerate(records):
        writer.writerow(
            [
                "Hazelmere",
                f"HZ-{number}",
                *(cell_of(key, record[key], decimal) if key in record else "" for key in FIELDS),
            ]
        )
    columns: dict[str, object] = {"Brand": "product.brand", "Model": "product.model"}
    columns |= {key: {"field": key, "unit": CHANGED[key]} if key in CHANGED else key for key in FIELDS}
    columns["label.marks"] = {"field": "label.marks", "apart": "|"}
    told = {"columns": columns, "decimal": {".": "point", ",": "comma"}[decimal]}
    sheet_map, wrong = read_map(yaml.safe_dump(told, allow_unicode=True).encode(), "map.yaml")
    assert wrong == ()
    reading = read_drafts(read_sheet(stream.getvalue().encode()), sheet_map, Paths("sheet.csv", "map.yaml"))
    assert reading.remarks == ()
    assert len(reading.drafts) == len(records)
    for draft, record in zip(reading.drafts, records, strict=True):
        read = {}
        for field in FIELDS:
            value: object = draft.data
            for step in field.replace("[0]", "").split("."):
                value = value.get(step) if isinstance(value, dict) else None
                value = value[0] if isinstance(value, list) and step == "components" else value
            if value is not None:
                read[field] = value
        expected = {key: " ".join(value.split()) if key == "product.name" else value for key, value in record.items()}
        assert read == expected
