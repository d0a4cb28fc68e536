"""Records of every format come to the present one with their comments; what no machine can do is told."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from lidoff.cli import main
from lidoff.record.load import load_text
from lidoff.record.migration.steps import NotMigrated, Step
from lidoff.record.migration.versions import WAYS, migrated
from lidoff.record.schema import version

FORMATS = Path(__file__).parent / "formats"


def stored(number: int) -> bytes:
    return (FORMATS / f"{number}.yaml").read_bytes()


def test_every_format_has_a_stored_record_and_a_way_on() -> None:
    assert sorted(int(file.stem) for file in FORMATS.glob("*.yaml")) == list(range(version() + 1))
    assert sorted(WAYS) == list(range(version()))


@pytest.mark.parametrize("number", range(version() + 1))
def test_a_record_of_every_format_becomes_that_of_the_present_one(number: int) -> None:
    outcome = migrated(stored(number))
    assert outcome.content == stored(version()) and outcome.was == number
    loaded = load_text(outcome.content, "record.yaml")
    assert loaded.record is not None and loaded.findings == ()


def test_no_comment_is_lost_and_each_stays_on_its_line() -> None:
    before, after = stored(0).decode().split("\n"), migrated(stored(0)).content.decode().split("\n")
    comments = [[line[line.find("#") :] if "#" in line else "" for line in lines] for lines in (before, after)]
    assert comments[0] == comments[1] and sum(map(bool, comments[0])) == 7


def test_what_was_done_is_told_step_by_step() -> None:
    done = migrated(stored(0)).done
    assert "product.power_w -> rated_power_w" in done and "components[].role -> roles: [...]" in done
    assert len(done) == len(WAYS[0])


def test_line_ends_of_another_system_stay() -> None:
    content = stored(0).replace(b"\n", b"\r\n")
    assert migrated(content).content == stored(1).replace(b"\n", b"\r\n")


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"schema: 2\n", "bring Lidoff up to date"),
        (b"status: draft\n", "names no format"),
        (b"schema: one\n", "names no format"),
        (b"schema: [0\n", "no YAML"),
        (b"schema: 0\nproduct: {power_w: 65, rated_power_w: 65}\n", "line 2: both power_w and its new name"),
        (b"schema: 0\nmeasured:\n  size_mm:\n    - 1\n    - 2\n    - 3\n", "line 4: a value over several lines"),
        (b"\xff", "UTF-8"),
    ],
)
def test_what_no_machine_can_do_is_told(content: bytes, why: str) -> None:
    with pytest.raises(NotMigrated, match=why.replace("[", r"\[")):
        migrated(content)


def test_formats_follow_one_another() -> None:
    ways = {0: (Step("a", "rename", "b"), Step("schema", "set", "schema", value="1")),
            1: (Step("b", "wrap", "c", inner="d"), Step("schema", "set", "schema", value="2"))}  # fmt: skip
    assert migrated(b"schema: 0\na: 5 # kept\n", ways, now=2).content == b"schema: 2\nc: {d: 5} # kept\n"


@pytest.mark.parametrize("dry", [True, False])
def test_the_command_migrates_the_files_of_a_base(knowledge_base: Path, dry: bool) -> None:
    folder = knowledge_base / "entries" / "hazelmere" / "hz-30"
    folder.mkdir(parents=True)
    (folder / "record.yaml").write_bytes(stored(0))
    arguments = ["migrate", "--config", str(knowledge_base / "mkdocs.yml"), *(["--dry-run"] if dry else [])]
    result = CliRunner().invoke(main, arguments)
    assert result.exit_code == 0 and "2 records: 1 " in result.stdout
    assert (folder / "record.yaml").read_bytes() == stored(0 if dry else 1)


def test_check_names_the_command_for_an_earlier_format_and_says_nothing_else(knowledge_base: Path) -> None:
    folder = knowledge_base / "entries" / "hazelmere" / "hz-30"
    folder.mkdir(parents=True)
    (folder / "record.yaml").write_bytes(stored(0))
    result = CliRunner().invoke(main, ["check", "--config", str(knowledge_base / "mkdocs.yml"), str(folder)])
    assert result.exit_code == 1 and "run lidoff migrate" in result.stdout
    assert result.stdout.count("error[") == 1
