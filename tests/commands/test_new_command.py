"""``lidoff new BRAND MODEL``: a commented record at its place, and nothing overwritten."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from lidoff.cli import main
from lidoff.record.load import load_file

DAY = ("--date", "2026-03-09")


def new(base: Path, *arguments: str) -> Result:
    return CliRunner().invoke(main, ["new", "--config", str(base / "mkdocs.yml"), *arguments])


def with_schema(base: Path) -> Path:
    (base / "schema").mkdir()
    (base / "schema" / "record.schema.json").write_text("{}", encoding="utf-8")
    return base


def test_a_record_is_written_at_its_place(knowledge_base: Path) -> None:
    result = new(with_schema(knowledge_base), "Pell Lane", "PL 20", *DAY)
    assert result.exit_code == 0 and result.stdout == "entries/pell-lane/pl-20/record.yaml\n"
    file = knowledge_base / "entries/pell-lane/pl-20/record.yaml"
    lines = file.read_text(encoding="utf-8").splitlines()
    assert lines[0] == "# yaml-language-server: $schema=../../../schema/record.schema.json"
    assert (file.parent / lines[0].partition("=")[2]).resolve() == knowledge_base / "schema" / "record.schema.json"
    loaded = load_file(file, knowledge_base)
    assert {finding.field for finding in loaded.findings} == {"product.kind", "ports[0].connector"}
    assert loaded.status == "draft" and loaded.product == ("Pell Lane", "PL 20")


def test_the_way_to_the_schema_follows_the_folder_of_the_entries(knowledge_base: Path) -> None:
    with_schema(knowledge_base)
    settings = "site_name: T\nsite_url: https://example.org/\nplugins:\n  - lidoff:\n      entries: data/records\n"
    (knowledge_base / "mkdocs.yml").write_text(settings, encoding="utf-8")
    assert new(knowledge_base, "A", "B", *DAY).stdout == "data/records/a/b/record.yaml\n"
    first = (knowledge_base / "data/records/a/b/record.yaml").read_text(encoding="utf-8").splitlines()[0]
    assert first == "# yaml-language-server: $schema=../../../../schema/record.schema.json"


def test_a_record_that_is_there_is_never_touched(knowledge_base: Path, sample_text: str) -> None:
    result = new(knowledge_base, "Fernhollow", "FH-65", *DAY)
    assert result.exit_code == 2 and "expected  a product without a record" in result.stderr
    assert (knowledge_base / "entries/fernhollow/fh-65/record.yaml").read_text(encoding="utf-8") == sample_text


def test_names_in_use_are_suggested(knowledge_base: Path) -> None:
    new(knowledge_base, "Pell Lane", "PL-20", *DAY)
    text = (knowledge_base / "entries/pell-lane/pl-20/record.yaml").read_text(encoding="utf-8")
    assert "## Brands in this knowledge base: Fernhollow\n" in text
    assert "## Makers of parts: Marrow Bay, Quillstone, Tarn Semiconductor\n" in text
    assert "DFN 8x8" in text.partition("## Packages:")[2].partition("\nschema:")[0]


def test_a_brand_keeps_the_spelling_that_it_has(knowledge_base: Path) -> None:
    result = new(knowledge_base, "FERNHOLLOW", "FH-66", *DAY)
    assert "The brand is written Fernhollow" in result.stderr
    text = (knowledge_base / "entries/fernhollow/fh-66/record.yaml").read_text(encoding="utf-8")
    assert "  brand: Fernhollow\n" in text


def test_the_same_call_writes_the_same_bytes(knowledge_base: Path) -> None:
    new(knowledge_base, "A", "B", *DAY)
    file = knowledge_base / "entries/a/b/record.yaml"
    first = file.read_bytes()
    file.unlink()
    new(knowledge_base, "A", "B", *DAY)
    assert file.read_bytes() == first and b"\r" not in first and b"2026-03-09" in first


UNUSABLE = (
    ("", "B"), ("A", " "), ("A", "x" * 61), ("A\x1b[31m", "B"), ("A", "a\nb"), ("A",),
    ("A", "B", "--date", "2026-02-30"), ("A", "B", "--date", "soon"),
)  # fmt: skip


@pytest.mark.parametrize("arguments", UNUSABLE)
def test_what_no_record_could_hold_is_wrong_usage(knowledge_base: Path, arguments: tuple) -> None:
    result = new(knowledge_base, *arguments)
    assert result.exit_code == 2 and "\x1b" not in result.stderr
    assert sorted(path.name for path in (knowledge_base / "entries").iterdir()) == ["fernhollow"]


def test_a_name_that_leads_out_of_the_entries_does_not(knowledge_base: Path) -> None:
    result = new(knowledge_base, "..", "../../etc", *DAY)
    assert result.exit_code == 0
    path = (knowledge_base / result.stdout.strip()).resolve()
    assert path.is_relative_to(knowledge_base / "entries") and path.is_file()
