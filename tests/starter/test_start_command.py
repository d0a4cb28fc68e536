"""``lidoff start``: a knowledge base of one's own, from a wheel, outside this repository."""

import os
import subprocess
import sys
import venv
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner, Result

from lidoff.cli import main

ROOT = Path(__file__).resolve().parents[2]


def start(folder: Path, *arguments: str) -> Result:
    return CliRunner().invoke(main, ["start", str(folder), *arguments])


def lidoff(base: Path, command: str, *arguments: str) -> Result:
    return CliRunner().invoke(main, [command, "--config", str(base / "mkdocs.yml"), *arguments])


def test_a_fresh_base_checks_and_takes_a_record(tmp_path: Path) -> None:
    base = tmp_path / "mine"
    result = start(base, "--name", 'Ours: "opened"', "--url", "https://chargers.example.org/x")
    assert result.exit_code == 0, result.output
    told = result.stdout.split("\n\n")[0].splitlines()
    assert sorted(told) == sorted(path.as_posix() for path in base.rglob("*") if path.is_file())
    settings = yaml.safe_load((base / "mkdocs.yml").read_text(encoding="utf-8"))
    assert (settings["site_name"], settings["site_url"]) == ('Ours: "opened"', "https://chargers.example.org/x/")
    checked = lidoff(base, "check")
    assert checked.exit_code == 0 and checked.stdout.splitlines()[-1].startswith("1 record")
    assert lidoff(base, "new", "Pell Lane", "PL-20").exit_code == 0
    record = base / "entries" / "pell-lane" / "pl-20" / "record.yaml"
    modeline = record.read_text(encoding="utf-8").splitlines()[0].partition("$schema=")[2]
    assert (record.parent / modeline).resolve() == (base / "schema" / "record.schema.json").resolve()


def test_nothing_is_written_into_a_folder_that_holds_something(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("kept", encoding="utf-8")
    result = start(tmp_path)
    assert result.exit_code == 2 and "found     mine.txt in " in result.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


@pytest.mark.parametrize("arguments", [("--url", "chargers.example.org"), ("--name", " "), ("--name", "x" * 61)])
def test_wrong_options_are_told_and_write_nothing(tmp_path: Path, arguments: tuple[str, str]) -> None:
    result = start(tmp_path / "mine", *arguments)
    assert result.exit_code == 2 and result.stderr.startswith(f"found     {arguments[0]}")
    assert not (tmp_path / "mine").exists()


def test_the_schema_can_be_renewed_alone(tmp_path: Path) -> None:
    start(tmp_path / "mine")
    stale = tmp_path / "mine" / "schema" / "record.schema.json"
    stale.write_text("{}", encoding="utf-8")
    assert start(tmp_path / "mine", "--schema-only").exit_code == 0
    assert stale.read_bytes() == (ROOT / "schema" / "record.schema.json").read_bytes()
    assert start(tmp_path, "--schema-only").exit_code == 2


def test_the_workflow_of_a_fresh_base_keeps_the_rules_of_our_own(tmp_path: Path) -> None:
    start(tmp_path / "mine")
    text = (tmp_path / "mine" / ".github" / "workflows" / "records.yml").read_text(encoding="utf-8")
    ours = (ROOT / ".github" / "workflows" / "records.yml").read_text(encoding="utf-8")
    workflow = yaml.load(text, yaml.BaseLoader)
    assert workflow["permissions"] == {"contents": "read"} and set(workflow["on"]) == {"pull_request", "push"}
    used = [line.strip() for line in text.splitlines() if "uses: " in line]
    assert used and all(line in ours for line in used)
    steps = workflow["jobs"]["records"]["steps"]
    assert not any("${{" in step.get("run", "") for step in steps)
    assert [step["with"]["path"] for step in steps if "actions/cache@" in step.get("uses", "")] == [".lidoff/cache"]


@pytest.mark.long
def test_a_base_outside_the_repository_builds_from_the_wheel(tmp_path: Path) -> None:
    build = "from hatchling.builders.wheel import WheelBuilder; print(next(WheelBuilder('.').build(directory={!r})))"
    code = build.format(str(tmp_path / "dist"))
    subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True, capture_output=True)
    (wheel,) = (tmp_path / "dist").glob("*.whl")
    # the libraries are those of this environment, the package itself comes from the wheel alone
    venv.create(tmp_path / "env", with_pip=False)
    (site,) = (tmp_path / "env").glob("lib/python*/site-packages")
    own = next(path for path in map(Path, sys.path) if (path / "click").is_dir())
    subprocess.run(
        [sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--no-index", "--target", str(site), str(wheel)],
        check=True, capture_output=True,
    )  # fmt: skip
    (site / "others.pth").write_text(f"{own}\n", encoding="utf-8")
    python = tmp_path / "env" / "bin" / "python"
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}

    def run(*arguments: str, folder: Path = tmp_path) -> subprocess.CompletedProcess:
        return subprocess.run([str(python), "-m", "lidoff", *arguments], cwd=folder, env=environment, capture_output=True,
                              text=True, check=False)  # fmt: skip

    where = subprocess.run([str(python), "-c", "import lidoff; print(lidoff.__file__)"], env=environment, capture_output=True,
                           text=True, check=True).stdout  # fmt: skip
    assert str(site) in where, "the wheel, not the checkout"
    assert run("start", "mine").returncode == 0
    done = run("site", folder=tmp_path / "mine")
    assert done.returncode == 0, done.stderr
    built = tmp_path / "mine" / ".lidoff" / "site"
    assert (built / "products" / "hazelmere" / "hz-30" / "index.html").is_file()
    assert (built / "safety" / "index.html").is_file() and (built / "checks" / "bulk-valley" / "index.html").is_file()
