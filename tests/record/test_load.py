"""One file becomes a record, the places of its fields, and findings."""

from pathlib import Path

import pytest

from lidoff.finding import Place
from lidoff.record.load import load_file, load_text
from lidoff.record.model import Record


def test_the_sample_becomes_a_record(sample_text: str) -> None:
    record = load_text(sample_text, "record.yaml").record
    assert isinstance(record, Record)
    assert record.product.brand == "Fernhollow" and record.product.plug.mechanism == "folding"
    assert record.ports[0].label[4].voltage_max_v == 21 and record.ports[1].advertised == ()
    assert record.ports[0].advertised[0].words[0] == "0x0801912C"
    assert record.measured.soak[0].ports == {"C1": 65}
    assert record.components[4].quantity == 2 and record.components[9].marking.lines == ()
    assert record.photos[0].scale.points == ((0.1, 0.9), (0.6, 0.9))
    assert record.teardown.date == "2026-03-09" and record.samples[0].bought == "2026-02"


def test_absent_is_not_empty(sample_text: str) -> None:
    record = load_text(sample_text, "record.yaml").record
    assert record.ports[1].other_protocols == () and record.ports[0].protocols
    assert (
        load_text(
            sample_text.replace("port_sharing:\n  - {ports: {C1: 45, A1: 12}, basis: label}\n", ""), "r"
        ).record.port_sharing
        is None
    )
    assert (
        load_text(
            sample_text.replace("port_sharing:\n  - {ports: {C1: 45, A1: 12}, basis: label}\n", "port_sharing: []\n"),
            "r",
        ).record.port_sharing
        == ()
    )


def test_bytes_and_text_are_read_alike(sample_text: str) -> None:
    assert load_text(sample_text, "record.yaml") == load_text(sample_text.encode(), "record.yaml")
    windows = load_text(sample_text.replace("\n", "\r\n").encode(), "record.yaml")
    assert windows.record == load_text(sample_text, "record.yaml").record and windows.findings == ()


PLACED = """\
product:
  brand: A
ports:
  - {id: C1, connector: usb-c}
  - id: é
    note:  a
    label:
    - kind: fixed
boards: [{id: x}]
photos:
"""


@pytest.mark.parametrize(
    ("field", "line", "column"),
    [
        ("product.brand", 2, 10),
        ("product", 1, 1),
        ("ports", 3, 1),
        ("ports[0]", 4, 5),
        ("ports[0].connector", 4, 25),
        ("ports[1]", 5, 5),
        ("ports[1].note", 6, 12),
        ("ports[1].label", 7, 5),
        ("ports[1].label[0].kind", 8, 13),
        ("boards", 9, 9),
        ("photos", 10, 1),
        ("ports[1].label[0].voltage_v", 8, 7),
        ("ports[7].label[0].voltage_v", 3, 1),
        ("nothing.at.all", 1, 1),
        ("", 1, 1),
    ],
)
def test_a_field_is_placed_where_it_stands(field: str, line: int, column: int) -> None:
    assert load_text(PLACED, "r.yaml").place(field) == Place("r.yaml", line, column, field)


def test_columns_count_code_points() -> None:
    loaded = load_text("product: {name: 🔌🔌é, brand: A}\n", "r.yaml")
    assert loaded.place("product.brand") == Place("r.yaml", 1, 29, "product.brand")


def test_a_file_is_named_from_the_base(knowledge_base: Path) -> None:
    loaded = load_file(knowledge_base / "entries/fernhollow/fh-65/record.yaml", knowledge_base)
    assert loaded.path == "entries/fernhollow/fh-65/record.yaml"
    assert loaded.findings == () and loaded.record is not None


def test_a_record_in_the_wrong_folder_is_told(knowledge_base: Path) -> None:
    folder = knowledge_base / "entries/fernhollow/fh-65"
    folder.rename(folder.with_name("fh-66"))
    (finding,) = load_file(folder.with_name("fh-66") / "record.yaml", knowledge_base).findings
    assert (finding.rule, finding.line, finding.column, finding.field) == ("entry-path", 8, 10, "product.model")
    assert finding.found == "the folder fernhollow/fh-66" and "rename the folder to fernhollow/fh-65" in finding.fix


def test_a_record_under_the_wrong_brand_is_told_even_when_it_is_not_sound(
    knowledge_base: Path, sample_text: str
) -> None:
    file = knowledge_base / "entries/fernhollow/fh-65/record.yaml"
    file.write_text(
        sample_text.replace("brand: Fernhollow", "brand: Fenhollow").replace("status: published", "status: public"),
        encoding="utf-8",
    )
    findings = load_file(file, knowledge_base).findings
    assert [(finding.rule, finding.field) for finding in findings] == [
        ("record-word", "status"),
        ("entry-path", "product.brand"),
    ]


def test_a_file_that_cannot_be_opened_is_told(tmp_path: Path) -> None:
    (finding,) = load_file(tmp_path / "record.yaml", tmp_path).findings
    assert finding.rule == "record-file" and finding.path == "record.yaml" and "No such file" in finding.found


def test_a_draft_is_known_even_when_it_is_not_sound(sample_text: str) -> None:
    loaded = load_text(
        sample_text.replace("status: published", "status: draft").replace("mass_g: 112", "mass_g: heavy"), "record.yaml"
    )
    assert loaded.record is None and loaded.status == "draft" and loaded.product == ("Fernhollow", "FH-65")
