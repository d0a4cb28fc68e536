"""What README, DEVELOPERS.md and the guide tell people to type works, in the order in which they tell it."""

import re
import shlex
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner

from lidoff.cli import main
from lidoff.record.load import load_text
from lidoff.record.schema import field_schema, record_shape

ROOT = Path(__file__).resolve().parents[1]
PROSE = ROOT / "generator" / "lidoff" / "prose"
DOCUMENTS = (ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted(PROSE.glob("*.md")))
_BLOCK = re.compile(r"^( *)```([a-z]*)\n(.*?)^\1```", re.MULTILINE | re.DOTALL)
_INLINE = re.compile(r"`lidoff ([a-z]+)((?: [^`]*)?)`")
LAUNCHER = "python3 generator/start.py"


def blocks(document: Path, language: str) -> Iterator[str]:
    for indent, written, content in _BLOCK.findall(document.read_text(encoding="utf-8")):
        if written == language:
            yield "\n".join(line.removeprefix(indent) for line in content.splitlines())


def commands(document: Path) -> list[str]:
    return [line.split("  #")[0].strip() for block in blocks(document, "") for line in block.splitlines()]


@pytest.fixture
def clone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The knowledge base on a branch main, with the notes of the worked example beside it."""
    for name in ("entries", "schema"):
        shutil.copytree(ROOT / name, tmp_path / name)
    shutil.copytree(PROSE, tmp_path / "generator" / "lidoff" / "prose")
    shutil.copy(ROOT / "mkdocs.yml", tmp_path)
    (tmp_path / ".gitignore").write_text(".lidoff/\nbuild/\n*.log\n*.tsv\nboard.png\nlabel.txt\n", encoding="utf-8")
    git = ["git", "-c", "user.name=A tester", "-c", "user.email=tester@example.org", "-c", "commit.gpgsign=false"]
    for arguments in (["init", "-q", "-b", "main"], ["add", "."], ["commit", "-q", "-m", "all"]):
        subprocess.run([*git, *arguments], cwd=tmp_path, check=True)
    monkeypatch.chdir(tmp_path)
    for name, value in (("AUTHOR", "A tester"), ("COMMITTER", "A tester")):
        monkeypatch.setenv(f"GIT_{name}_NAME", value)
        monkeypatch.setenv(f"GIT_{name}_EMAIL", "tester@example.org")
    return tmp_path


def typed(line: str) -> str:
    """Run one line as a person types it; what it says."""
    arguments = shlex.split(line)
    given = None
    if "<" in arguments:
        place = arguments.index("<")
        given = Path(arguments[place + 1]).read_text(encoding="utf-8")
        arguments = arguments[:place]
    if arguments[0] == "lidoff":
        result = CliRunner().invoke(main, arguments[1:], input=given)
        assert result.exit_code == 0, f"{line}\n{result.output}"
        return result.output
    assert arguments[0] == "git", f"a command that no test knows: {line}"
    return subprocess.run(arguments, check=True, capture_output=True, text=True).stdout


@pytest.mark.long
def test_the_guide_from_beginning_to_end(clone: Path) -> None:
    from PIL import Image

    example = ROOT / "tests" / "worked_example"
    for name in ("c1.log", "parts.tsv"):
        shutil.copy(example / name, clone)
    session = (example / "session.txt").read_text(encoding="utf-8").splitlines()
    label = [line.removeprefix("< ") for line in session if line.startswith("< ")]
    (clone / "label.txt").write_text("\n".join(label) + "\n", encoding="utf-8")
    Image.linear_gradient("L").resize((640, 480)).save(clone / "board.png")
    said = {}
    for line in commands(PROSE / "contributing.md"):
        said[line] = typed(line)
        if line.startswith("lidoff new"):
            record = clone / "entries" / "hazelmere" / "hz-65" / "record.yaml"
            text = record.read_text(encoding="utf-8")
            (boards,) = [block for block in blocks(PROSE / "contributing.md", "yaml") if block.startswith("boards:")]
            text = text.replace("  kind: <kind>", "  kind: wall-charger") + boards + "\n"
            record.write_text(text, encoding="utf-8")
    assert (clone / "build" / "site" / "index.html").is_file()
    assert "Hazelmere HZ-65: added" in said["lidoff impact --base main"]
    assert len(said) >= 12


@pytest.mark.long
def test_the_readmes_first_record(clone: Path) -> None:
    readme = ROOT / "README.md"
    first = [line for line in commands(readme) if line.startswith("lidoff ") and "--serve" not in line]
    (record,) = [block for block in blocks(readme, "yaml") if "schema: 1" in block]
    for line in first:
        typed(line)
        if line.startswith("lidoff new"):
            (clone / "entries" / "hazelmere" / "hz-30" / "record.yaml").write_text(record + "\n", encoding="utf-8")
    assert len(first) >= 3


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: path.name)
def test_every_yaml_snippet_is_a_piece_of_a_record(document: Path) -> None:
    for block in blocks(document, "yaml"):
        data = yaml.safe_load(block)
        if "schema" in data:
            assert load_text(block, "record.yaml").findings == ()
        else:
            assert set(data) <= set(record_shape().keys), f"{document.name}: {set(data)}"
            assert all(field_schema(key) is not None for key in data)


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: path.name)
def test_every_command_and_option_that_is_named_exists(document: Path) -> None:
    text = document.read_text(encoding="utf-8")
    named = [*_INLINE.findall(text), *(
        (parts[1], " " + " ".join(parts[2:]))
        for line in commands(document)
        if (parts := line.removeprefix(f"{LAUNCHER} ").split(" "))[0] == "lidoff"
        and parts[1:2] not in ([], ["..."])
    )]  # fmt: skip
    context = main.make_context("lidoff", ["--help"], resilient_parsing=True)
    for name, rest in named:
        command = main.get_command(context, name)
        assert command is not None, f"{document.name}: lidoff {name}"
        known = {flag for one in _with_inner(command, rest) for parameter in one.params for flag in parameter.opts}
        for option in re.findall(r"(?<!\S)--[a-z-]+", rest):
            assert option in known, f"{document.name}: lidoff {name} {option}"


def _with_inner(command: object, rest: str) -> Iterator[object]:
    yield command
    for inner in getattr(command, "commands", {}).values():
        if f" {inner.name}" in rest:
            yield inner


@pytest.mark.parametrize("document", DOCUMENTS[:2], ids=lambda path: path.name)
def test_every_path_that_is_named_is_there(document: Path) -> None:
    text = _BLOCK.sub("", document.read_text(encoding="utf-8"))
    for named in re.findall(r"`((?:generator|tests|schema|entries|\.github|\.ci)/[A-Za-z0-9_./-]*)`", text):
        if "hazelmere" in named or "<" in named:
            continue
        assert (ROOT / named.rstrip("/")).exists(), f"{document.name} names {named}"
