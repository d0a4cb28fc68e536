"""Write the files of a new knowledge base into an empty folder."""

import json
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from lidoff.record.schema import schema_folder

_HERE = Path(__file__).parent
_SAFETY = _HERE.parent / "prose" / "safety.md"
_IGNORED = ".lidoff/\n.venv/\n"
_EDITOR = {"recommendations": ["redhat.vscode-yaml"]}

# file of the base -> file beside this module
_FILES: Mapping[str, str] = {
    "mkdocs.yml": "mkdocs.yml",
    "README.md": "README.md",
    "docs/about.md": "docs/about.md",
    "entries/other-protocols.yaml": "entries/other-protocols.yaml",
    "entries/hazelmere/hz-30/record.yaml": "entries/record.yaml",
    ".github/workflows/records.yml": "records.yml",
}


class NotEmpty(Exception):
    """The folder holds something already; the text says what was found, what was expected and how to mend it."""


@dataclass(frozen=True, slots=True)
class Start:
    """What a new base is called, the address where its site will stand, and the version that it starts with."""

    name: str
    url: str
    version: str


def write_base(folder: Path, start: Start) -> tuple[str, ...]:
    """Write all files; their paths in the folder. Raises NotEmpty where the folder holds anything but a .git."""
    held = sorted(path.name for path in folder.iterdir() if path.name != ".git") if folder.is_dir() else []
    if held or (folder.exists() and not folder.is_dir()):
        what = f"{held[0]} in {folder}" if held else f"{folder}, which is no folder"
        raise NotEmpty(f"found     {what}\nexpected  an empty folder, or none yet\nfix       name another folder")
    written = dict(_contents(start))
    for name, text in written.items():
        file = folder / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8", newline="\n")
    return (*written, *write_schema(folder))


def write_schema(folder: Path) -> tuple[str, ...]:
    """Copy the schema beside the entries, for the editor's sake; the paths of its files."""
    target = folder / "schema"
    target.mkdir(parents=True, exist_ok=True)
    files = sorted(path for path in schema_folder().iterdir() if path.suffix in (".json", ".yaml"))
    for file in files:
        shutil.copyfile(file, target / file.name)
    return tuple(f"schema/{file.name}" for file in files)


def _contents(start: Start) -> Iterator[tuple[str, str]]:
    for name, source in _FILES.items():
        text = (_HERE / source).read_text(encoding="utf-8")
        plain = name.endswith(".yml") and not name.startswith(".github")
        called = json.dumps(start.name, ensure_ascii=False)[1:-1] if plain else start.name
        yield name, text.replace("<name>", called).replace("<url>", start.url).replace("<version>", start.version)
    yield "docs/safety.md", _SAFETY.read_text(encoding="utf-8")
    yield ".gitignore", _IGNORED
    yield ".vscode/extensions.json", json.dumps(_EDITOR, indent=2) + "\n"
