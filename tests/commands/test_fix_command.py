"""``lidoff fix``: what it does to files, and what it says."""

import shutil
from pathlib import Path

from click.testing import CliRunner, Result

from lidoff.cli import main

RECORD = "entries/fernhollow/fh-65/record.yaml"


def fix(base: Path, *arguments: str) -> Result:
    return CliRunner().invoke(main, ["fix", "--config", str(base / "mkdocs.yml"), *arguments])


def spoil(base: Path, old: str, new: str) -> Path:
    file = base / RECORD
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")
    return file


def test_a_spoilt_record_is_mended_and_the_rest_stays(knowledge_base: Path) -> None:
    fix(knowledge_base)
    before = (knowledge_base / RECORD).read_bytes()
    file = spoil(knowledge_base, "rated_power_w: 65", 'rated_power_w: "65"')
    result = fix(knowledge_base)
    assert result.exit_code == 0
    assert f'{RECORD}:12: rated_power_w: "65" -> 65' in result.stdout
    assert result.stdout.splitlines()[-1].startswith("1 record: 1 changed")
    assert file.read_bytes() == before


def test_a_dry_run_says_the_same_and_does_nothing(knowledge_base: Path) -> None:
    file = spoil(knowledge_base, "rated_power_w: 65", 'rated_power_w: "65"')
    before = file.read_bytes()
    dry = fix(knowledge_base, "--dry-run").stdout.splitlines()
    assert file.read_bytes() == before
    assert dry[:-1] == fix(knowledge_base).stdout.splitlines()[:-1] and len(dry) > 1


def test_a_record_in_the_wrong_folder_moves_with_all_that_lies_beside_it(knowledge_base: Path) -> None:
    wrong = knowledge_base / "entries" / "fern"
    (knowledge_base / "entries" / "fernhollow").rename(wrong)
    (wrong / "fh-65" / "record.yaml").rename(wrong / "fh-65" / "record.yml")
    result = fix(knowledge_base)
    assert "entries/fern/fh-65/record.yml -> entries/fernhollow/fh-65/record.yaml" in result.stdout
    assert (knowledge_base / RECORD).is_file() and (knowledge_base / RECORD).with_name("logs").is_dir()
    assert not wrong.exists()


def test_a_record_is_never_moved_over_another(knowledge_base: Path) -> None:
    shutil.copytree(knowledge_base / "entries/fernhollow", knowledge_base / "entries/fern")
    result = fix(knowledge_base)
    assert "not moved: entries/fernhollow/fh-65 is there already" in result.stderr
    assert (knowledge_base / "entries/fern/fh-65/record.yaml").is_file()


def test_a_file_that_is_no_yaml_is_named_and_ends_with_1(knowledge_base: Path) -> None:
    file = spoil(knowledge_base, "schema: 1", "schema: [1")
    before = file.read_bytes()
    result = fix(knowledge_base)
    assert result.exit_code == 1 and f"{RECORD}: nothing done: it is no YAML" in result.stderr
    assert file.read_bytes() == before
