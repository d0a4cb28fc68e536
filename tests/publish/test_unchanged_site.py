"""A build that would make the same site again is left out; whatever could make another is noticed."""

import json
import multiprocessing
import os
import signal
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from lidoff.commands import site as command
from lidoff.publish import unchanged
from lidoff.publish.unchanged import LastBuild, inputs_of, last_build, note_build
from lidoff.settings import Settings, read_settings

RECORD = """schema: 1
status: published
demo: true
product: {brand: Osk, model: Bare, kind: outlet}
teardown: {date: 2026-03-09}
ports: [{id: A1, connector: usb-a}]
"""
CONFIG = """site_name: Test
site_url: https://example.org/
docs_dir: docs
theme: {name: material, font: false}
plugins:
  - lidoff
"""


@pytest.fixture
def base(tmp_path: Path) -> Path:
    folder = tmp_path / "base"
    (folder / "entries/osk/bare").mkdir(parents=True)
    (folder / "entries/osk/bare/record.yaml").write_text(RECORD, encoding="utf-8")
    (folder / "docs").mkdir()
    (folder / "docs/about.md").write_text("# About\n", encoding="utf-8")
    (folder / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    (folder / "site").mkdir()
    (folder / "site/index.html").write_text("<h1>Start</h1>", encoding="utf-8")
    return folder


@pytest.fixture
def settings(base: Path) -> Settings:
    return read_settings(base / "mkdocs.yml")


def inputs(settings: Settings, strict: bool = False) -> str:
    return inputs_of(read_settings(settings.config_path), settings.base / "site", strict)


def append(path: Path, text: str) -> None:
    path.write_text(path.read_text(encoding="utf-8") + text, encoding="utf-8")


@pytest.mark.parametrize(
    "change",
    [
        lambda base: append(base / "entries/osk/bare/record.yaml", "summary: Another.\n"),
        lambda base: (base / "entries/osk/bare/notes.txt").write_text("new", encoding="utf-8"),
        lambda base: append(base / "docs/about.md", "More.\n"),
        lambda base: (base / "docs/more.md").write_text("# More\n", encoding="utf-8"),
        lambda base: (base / "docs/about.md").unlink(),
        lambda base: (base / "hook.py").write_text("", encoding="utf-8"),
        lambda base: append(base / "mkdocs.yml", "copyright: Nobody\n"),
    ],
)
def test_any_change_of_what_a_build_rests_on_is_noticed(
    base: Path, settings: Settings, change: Callable[[Path], object]
) -> None:
    before = inputs(settings)
    assert before and before == inputs(settings)
    change(base)
    assert inputs(settings) != before


def test_options_and_build_date_count(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    before = inputs(settings)
    assert inputs(settings, strict=True) != before
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1")
    assert inputs(settings) != before


def test_the_site_itself_does_not_count_as_its_own_input(base: Path, settings: Settings) -> None:
    before = inputs(settings)
    (base / "site/more.html").write_text("more", encoding="utf-8")
    assert inputs(settings) == before


@pytest.mark.parametrize(
    "addition",
    [
        "INHERIT: base.yml\n",
        "extra: {version: !ENV VERSION}\n",
        "hooks: [/tmp/hook.py]\n",
        "markdown_extensions:\n  - pymdownx.snippets: {base_path: ../elsewhere}\n",
    ],
)
def test_what_nobody_can_list_is_built_every_time(base: Path, settings: Settings, addition: str) -> None:
    append(base / "mkdocs.yml", addition)
    assert inputs(settings) == ""


def test_plugins_of_others_may_read_anything(base: Path, settings: Settings) -> None:
    (base / "mkdocs.yml").write_text(CONFIG + "  - tags\n", encoding="utf-8")
    assert inputs(settings) == ""


def lose(base: Path) -> None:
    (base / "site/index.html").unlink()


def alter(base: Path) -> None:
    (base / "site/index.html").write_text("<h1>Else</h1>", encoding="utf-8")


def add(base: Path) -> None:
    (base / "site/.hidden").write_text("", encoding="utf-8")


def cut_note(base: Path) -> None:
    note = base / unchanged.NOTE
    note.write_bytes(note.read_bytes()[:-4])


def foreign_note(base: Path) -> None:
    (base / unchanged.NOTE).write_text(json.dumps(["x"]), encoding="utf-8")


@pytest.mark.parametrize("damage", [lose, alter, add, cut_note, foreign_note])
def test_a_site_or_note_that_is_not_as_it_was_made_does_not_stand(
    base: Path, settings: Settings, damage: Callable
) -> None:
    site, given = base / "site", inputs(settings)
    assert last(settings, given) is None
    note_build(settings, given, site, pages=7, remarks=2)
    found = last(settings, given)
    assert found is not None and (found.pages, found.remarks) == (7, 2)
    assert last(settings, "other") is None
    damage(base)
    assert last(settings, given) is None


def test_nothing_known_is_never_unchanged(base: Path, settings: Settings) -> None:
    note_build(settings, "", base / "site", pages=7, remarks=0)
    assert last(settings, "") is None


@pytest.mark.parametrize("system", ["linux", "darwin"])
def test_the_site_is_looked_through_wherever_it_can_be(
    base: Path, settings: Settings, system: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(unchanged.sys, "platform", system)
    note_build(settings, "given", base / "site", pages=7, remarks=0)
    assert last(settings, "given") is not None and multiprocessing.active_children() == []


def test_what_looks_through_the_site_may_be_killed(
    base: Path, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    note_build(settings, "given", base / "site", pages=7, remarks=0)
    monkeypatch.setattr(unchanged, "_send_digest", lambda site, sender: os.kill(os.getpid(), signal.SIGKILL))
    assert last(settings, "given") is not None


def no_process(process: object) -> None:
    raise BlockingIOError("no more processes")


def test_it_is_looked_through_here_where_no_process_can_begin(
    base: Path, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    note_build(settings, "given", base / "site", pages=7, remarks=0)
    monkeypatch.setattr(multiprocessing.context.ForkProcess, "start", no_process)
    assert last(settings, "given") is not None


def test_a_site_that_can_not_be_read_is_nobodys_matter_where_the_inputs_differ(
    base: Path, settings: Settings, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    note_build(settings, "given", base / "site", pages=7, remarks=0)
    monkeypatch.setattr(unchanged, "site_digest", lambda site: unreadable())
    assert last(settings, "other") is None
    with pytest.raises(OSError, match="gone"):
        last(settings, "given")
    assert capfd.readouterr().err == ""


def test_it_is_ended_where_the_inputs_can_not_be_read(base: Path, settings: Settings) -> None:
    note_build(settings, "given", base / "site", pages=7, remarks=0)
    with pytest.raises(OSError, match="gone"):
        last_build(settings, base / "site", unreadable)
    assert multiprocessing.active_children() == []


def unreadable() -> str:
    raise OSError("gone")


def last(settings: Settings, given: str) -> LastBuild | None:
    now, found = last_build(settings, settings.base / "site", lambda: given)
    assert now == given
    return found


def run(base: Path) -> Result:
    return CliRunner().invoke(command.command, ["--config", str(base / "mkdocs.yml")], catch_exceptions=False)


@pytest.mark.long
def test_second_run_of_the_command_builds_nothing_and_says_so(base: Path) -> None:
    first, target = run(base), base / ".lidoff/site"
    assert first.exit_code == 0, first.output
    built = os.readlink(target)
    again = run(base)
    assert again.exit_code == 0
    assert "nothing has changed" in again.output and os.readlink(target) == built
    append(base / "entries/osk/bare/record.yaml", "summary: Another.\n")
    third = run(base)
    assert "nothing has changed" not in third.output and os.readlink(target) != built
