"""A rating label into a record: what is not there yet, around the comments; what is there is not overwritten."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from lidoff.cli import main
from lidoff.record.load import load_file

LABEL = "INPUT: 100-240V~ 50/60Hz 1.5A OUTPUT USB-C1: 5V⎓3A / 20V⎓3.25A USB-A: 5V⎓3A C1+A: 45W+18W"


@pytest.fixture
def fresh(knowledge_base: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(knowledge_base)
    return Path(CliRunner().invoke(main, ["new", "Hazelmere", "HZ-65"]).stdout.strip())


def label(text: str, file: Path):
    return CliRunner().invoke(main, ["label", text, "--into", str(file)])


def test_into_a_fresh_record(fresh: Path) -> None:
    before = fresh.read_text(encoding="utf-8").splitlines()
    result = label(LABEL, fresh.parent)
    assert result.exit_code == 0, result.stderr
    assert (
        "added label, ports[0].connector, ports[0].printed_name, ports[0].label, ports[1], port_sharing"
        in result.stderr
    )
    after = fresh.read_text(encoding="utf-8")
    assert [line for line in before if "<connector>" not in line and line not in after.splitlines()] == []
    assert "    connector: usb-c        ## usb-c, usb-a" in after
    fresh.write_text(after.replace("<kind>", "wall-charger"), encoding="utf-8")
    loaded = load_file(fresh, Path.cwd())
    assert loaded.findings == ()
    assert [(port.id, port.connector, len(port.label)) for port in loaded.record.ports] == [
        ("C1", "usb-c", 2),
        ("A1", "usb-a", 1),
    ]
    assert loaded.record.label.input.current_a == 1.5
    assert loaded.record.port_sharing[0].ports == {"C1": 45, "A1": 18}


def test_a_second_time_changes_nothing_and_another_label_is_refused(fresh: Path) -> None:
    label(LABEL, fresh)
    written = fresh.read_bytes()
    assert "all of it is there" in label(LABEL, fresh).stderr
    result = label(LABEL.replace("1.5A", "1.7A"), fresh)
    assert result.exit_code == 2
    assert result.stderr.startswith(f"found     another label.printed in {fresh.as_posix()}\n")
    assert fresh.read_bytes() == written


def test_outputs_without_a_port_get_the_one_that_is_given(fresh: Path) -> None:
    result = CliRunner().invoke(main, ["label", "OUTPUT: 5V⎓3A / 9V⎓2.22A", "--into", str(fresh), "--port", "C1"])
    assert result.exit_code == 0, result.stderr
    assert "added label, ports[0].label" in result.stderr


@pytest.mark.parametrize(
    ("text", "found"),
    [("5V⎓3A", "outputs without the name of a port"), (LABEL, "which is no YAML")],
)
def test_what_is_refused(fresh: Path, text: str, found: str) -> None:
    if "YAML" in found:
        fresh.write_text("a: [\n", encoding="utf-8")
    before = fresh.read_bytes()
    result = label(text, fresh)
    assert result.exit_code == 2
    assert found in result.stderr
    assert fresh.read_bytes() == before
