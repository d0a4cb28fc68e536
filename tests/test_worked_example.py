"""From bench notes to a published page, as a reviewer would type it; and how much there is to type."""

import sys
from pathlib import Path

import pytest
import yaml

TESTS = Path(__file__).resolve().parent
sys.path[:0] = [str(TESTS), str(TESTS / "bench")]

from keystrokes import AIM_MINUTES, EXAMPLE, groups, minutes, read_session, record_signs  # noqa: E402
from worked_example.play import RECORD, play  # noqa: E402


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory):
    folder = tmp_path_factory.mktemp("example")
    return folder, play(folder)


@pytest.mark.long
def test_every_command_ends_well_and_the_record_has_no_error(played) -> None:
    _, done = played
    for command, result in done.results:
        assert result.exit_code == 0, f"{command}\n{result.stdout}\n{result.stderr}"
    checked = next(result for command, result in done.results if "check" in command)
    assert "error" not in checked.stdout
    assert done.parts == 30


@pytest.mark.long
def test_the_page_shows_what_was_typed(played) -> None:
    folder, _ = played
    page = (folder / ".lidoff/site/products/hazelmere/hz-65/index.html").read_text(encoding="utf-8")
    for said in ("TN7865", "QS650-R150", "a laptop", "Top side of the main board, drawn", "HZ65 R1", "MB4-400-68"):
        assert said in page, said
    components = yaml.safe_load((folder / RECORD).read_text(encoding="utf-8"))["components"]
    assert len(components) == 30
    for part in components:
        assert f">{part['ref']}<" in page, part["ref"]


@pytest.mark.long
def test_it_is_less_to_type_than_the_record_and_within_the_time(played) -> None:
    _, done = played
    steps = read_session((EXAMPLE / "session.txt").read_text(encoding="utf-8"))
    total = sum(count for _, count in groups(steps, (EXAMPLE / "parts.tsv").read_text(encoding="utf-8")))
    assert total < 0.7 * record_signs(done.record)
    assert minutes(total) < AIM_MINUTES


def test_what_is_counted() -> None:
    steps = read_session("# no\n$ ab\n< c\n@ x: 1\n> y\n>   z\n& Q1\n")
    assert [(step.kind, step.strokes) for step in steps] == [("command", 3 + 2), ("edit", 12 + 2 + 4), ("block", 6 + 2)]
    with pytest.raises(ValueError, match="not a line"):
        read_session("what\n")
