"""A small knowledge base under git, and its commands."""

import json
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from PIL import Image

from lidoff.cli import main

RECORD = "entries/fernhollow/fh-65/record.yaml"


def git(base: Path, *arguments: str) -> str:
    identity = ("-c", "user.name=A tester", "-c", "user.email=tester@example.org", "-c", "commit.gpgsign=false")
    done = subprocess.run(["git", *identity, *arguments], cwd=base, capture_output=True, text=True, check=True)
    return done.stdout.strip()


@pytest.fixture
def kept(knowledge_base: Path) -> Path:
    """The small knowledge base with everything committed to the branch main."""
    git(knowledge_base, "init", "--quiet", "--initial-branch=main")
    git(knowledge_base, "add", ".")
    git(knowledge_base, "commit", "--quiet", "-m", "first")
    return knowledge_base


@pytest.fixture
def edit(kept: Path) -> Callable[[str, str], None]:
    """Replaces a text of the record that is there once."""

    def edit(old: str, new: str) -> None:
        file = kept / RECORD
        text = file.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
        file.write_text(text.replace(old, new), encoding="utf-8")

    return edit


@pytest.fixture
def copied(kept: Path) -> Path:
    """A second record, FH-66, that is not committed."""
    folder = kept / "entries" / "fernhollow" / "fh-66"
    shutil.copytree((kept / RECORD).parent, folder)
    Image.linear_gradient("L").rotate(90).save(folder / "photos" / "board-top.jpg")  # no picture twice
    file = folder / "record.yaml"
    text = file.read_text(encoding="utf-8").replace("model: FH-65", "model: FH-66")
    file.write_text(text.replace("formerly: [fernhollow/fh65]", "formerly: [fernhollow/fh66]"), encoding="utf-8")
    return file


def lidoff(base: Path, command: str, *arguments: str) -> Result:
    return CliRunner().invoke(main, [command, "--config", str(base / "mkdocs.yml"), *arguments])


@pytest.fixture
def impact(kept: Path) -> Callable[..., dict]:
    """The impact against a revision as data."""

    def impact(reference: str = "HEAD") -> dict:
        result = lidoff(kept, "impact", "--base", reference, "--format", "json")
        assert result.exit_code == 0, result.output
        return json.loads(result.stdout)

    return impact
