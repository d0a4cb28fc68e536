"""The schema is found in the repository and in an installed package, and an edit of it is seen."""

import json
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from lidoff.record.schema import schema_folder

REPOSITORY = Path(__file__).resolve().parents[2]
PROGRAM = """
from lidoff.record import schema
print(schema.schema_folder())
print(schema.field_schema("product.name")["description"])
"""


PAGES = """
from lidoff.pages.sections.reference import index_plans
for plan in index_plans():
    print(plan.make().body)
"""


def run_with(folder: Path, program: str = PROGRAM) -> list[str]:
    """What a Python that finds ``lidoff`` in a folder says of its schema."""
    code = f"import sys; sys.path.insert(0, {str(folder)!r})\n{program}"
    return subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=folder
    ).stdout.splitlines()


def copied(target: Path) -> Path:
    """A copy of what a wheel is made from."""
    for part in ("generator/lidoff", "schema"):
        for file in (REPOSITORY / part).rglob("*"):
            if file.is_file() and "__pycache__" not in file.parts:
                copy = target / file.relative_to(REPOSITORY)
                copy.parent.mkdir(parents=True, exist_ok=True)
                copy.write_bytes(file.read_bytes())
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        (target / name).write_bytes((REPOSITORY / name).read_bytes())
    return target


def test_the_repository_s_own_schema_is_used() -> None:
    assert schema_folder() == REPOSITORY / "schema"


def test_an_edit_of_the_schema_is_seen(tmp_path: Path) -> None:
    copied(tmp_path)
    part = tmp_path / "schema" / "product.schema.json"
    document = json.loads(part.read_text(encoding="utf-8"))
    document["$defs"]["product"]["properties"]["name"]["description"] = "An edited description."
    part.write_text(json.dumps(document), encoding="utf-8")
    assert run_with(tmp_path / "generator") == [str(tmp_path / "schema"), "An edited description."]


def test_an_edit_of_the_schema_is_seen_on_the_pages_made_from_it(tmp_path: Path) -> None:
    copied(tmp_path)
    for part, old, new in (
        ("product", "The name it is sold by.", "An edited description."),
        ("vocabulary", "flyback with an active clamp", "an edited definition"),
    ):
        file = tmp_path / "schema" / f"{part}.schema.json"
        text = file.read_text(encoding="utf-8")
        assert old in text
        file.write_text(text.replace(old, new), encoding="utf-8")
    edited = "\n".join(run_with(tmp_path / "generator", PAGES))
    assert "An edited description." in edited and "an edited definition" in edited
    assert "The name it is sold by." not in edited and "flyback with an active clamp<" not in edited


@pytest.mark.long
def test_a_wheel_carries_the_schema(tmp_path: Path) -> None:
    source, installed = copied(tmp_path / "source"), tmp_path / "installed"
    build = "from hatchling.builders.wheel import WheelBuilder; print(next(WheelBuilder('.').build(directory='dist')))"
    subprocess.run([sys.executable, "-c", build], check=True, cwd=source, capture_output=True)
    (wheel,) = (source / "dist").glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(installed)
    packaged = installed / "lidoff" / "packaged_schema"
    assert run_with(installed) == [str(packaged), "The name it is sold by."]
    names = {file.name for file in (REPOSITORY / "schema").iterdir()}
    assert {file.name for file in packaged.iterdir()} == names and "template.yaml" in names
