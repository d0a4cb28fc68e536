"""The files under .github/: what may run with which rights, and that the shell steps do what they say."""

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

ROOT = Path(__file__).resolve().parents[1]
WORKFLOWS = sorted((ROOT / ".github" / "workflows").glob("*.yml"))
PINNED = re.compile(r"actions/[a-z-]+@[0-9a-f]{40}")


def read(path: Path) -> dict:
    return yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader)


def steps_of(name: str) -> list[dict]:
    workflow = read(ROOT / ".github" / "workflows" / name)
    return [step for job in workflow["jobs"].values() for step in job["steps"]]


@pytest.mark.parametrize("path", WORKFLOWS, ids=lambda path: path.name)
def test_every_action_is_pinned_by_commit_with_its_version_beside(path: Path) -> None:
    used = [line.strip() for line in path.read_text(encoding="utf-8").splitlines() if "uses:" in line]
    assert used
    for line in used:
        reference, _, comment = line.split("uses: ")[1].partition(" # ")
        assert PINNED.fullmatch(reference) and re.fullmatch(r"v\d+\.\d+\.\d+", comment), line


@pytest.mark.parametrize("path", WORKFLOWS, ids=lambda path: path.name)
def test_rights_are_to_read_and_only_the_publishing_job_has_more(path: Path) -> None:
    workflow = read(path)
    assert workflow["permissions"] == {"contents": "read"}
    for name, job in workflow["jobs"].items():
        if "permissions" in job:
            assert (path.name, name) == ("publish.yml", "publish")
            assert not any("run" in step or "checkout" in step.get("uses", "") for step in job["steps"])


@pytest.mark.parametrize("path", WORKFLOWS, ids=lambda path: path.name)
def test_a_forks_code_never_meets_a_secret(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert "pull_request_target" not in text and "workflow_run" not in text and "secrets." not in text
    for step in [step for job in read(path)["jobs"].values() for step in job["steps"]]:
        if step.get("uses", "").startswith("actions/checkout@"):
            assert step["with"]["persist-credentials"] == "false"
        assert "${{" not in step.get("run", ""), "what comes from outside reaches the shell by the environment alone"


@pytest.fixture
def clone(tmp_path: Path) -> Path:
    """The repository with one changed record, as a forge checks it out, with the environment of these tests."""
    folder = tmp_path / "clone"
    ignored = shutil.ignore_patterns(".git", ".venv", ".lidoff", ".pytest_cache", "__pycache__", "node_modules")
    shutil.copytree(ROOT, folder, ignore=ignored)
    identity = ("-c", "user.name=A tester", "-c", "user.email=tester@example.org", "-c", "commit.gpgsign=false")
    for arguments in (["init", "-q", "-b", "main"], ["add", "."], ["commit", "-q", "-m", "all"]):
        subprocess.run(["git", *identity, *arguments], cwd=folder, check=True)
    record = folder / "entries" / "fernhollow" / "fh-65" / "record.yaml"
    text = record.read_text(encoding="utf-8")
    assert "  mass_g: " in text
    record.write_text(re.sub(r"(?m)^  mass_g: .*$", "  mass_g: 612", text, count=1), encoding="utf-8")
    return folder


def run(step: dict, folder: Path, base: str = "main") -> tuple[subprocess.CompletedProcess, str]:
    """Run a shell step the way the forge does, with this Python in place of the launcher's environment."""
    summary = folder.parent / "summary.md"
    summary.write_text("", encoding="utf-8")
    command = step["run"].replace("python3 generator/start.py lidoff", f"{sys.executable} -m lidoff")
    environment = {**os.environ, "BASE": base, "GITHUB_STEP_SUMMARY": str(summary)}
    done = subprocess.run(
        ["bash", "-e", "-o", "pipefail", "-c", command],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    return done, summary.read_text(encoding="utf-8")


def named(name: str, workflow: str = "records.yml") -> dict:
    return next(step for step in steps_of(workflow) if step.get("name") == name)


@pytest.mark.long
def test_the_steps_of_a_pull_request(clone: Path) -> None:
    done, _ = run(named("Check the changed records"), clone)
    assert done.returncode == 0, done.stderr
    assert "::warning file=entries/fernhollow/fh-65/record.yaml,line=" in done.stdout
    assert "pinderby" not in done.stdout, "records that did not change are not annotated"
    done, summary = run(named("List every finding in the summary"), clone)
    assert done.returncode == 0 and "    entries/fernhollow/fh-65/record.yaml:" in summary
    done, summary = run(named("Say what the change means"), clone)
    assert done.returncode == 0 and "612 g" in summary and (clone / "impact.md").read_text(encoding="utf-8") == summary
    done, _ = run(named("Build the site"), clone)
    assert done.returncode == 0 and (clone / "site" / "products" / "fernhollow" / "fh-65" / "index.html").is_file()


@pytest.mark.long
def test_main_takes_the_stock_that_the_impact_of_a_change_is_counted_from(clone: Path) -> None:
    done, _ = run(named("Take stock for the changes to come", "publish.yml"), clone)
    assert done.returncode == 0, done.stderr
    stock = clone / ".lidoff" / "cache" / "impact"
    taken = {path: path.stat().st_mtime_ns for path in stock.rglob("*") if path.is_file()}
    assert taken
    done, summary = run(named("Say what the change means"), clone)
    assert done.returncode == 0 and "612 g" in summary
    assert {path: path.stat().st_mtime_ns for path in stock.rglob("*") if path.is_file()} == taken
    for workflow in ("records.yml", "publish.yml"):
        kept = [step["with"]["path"] for step in steps_of(workflow) if "actions/cache@" in step.get("uses", "")]
        assert kept == [".lidoff/cache"]


@pytest.mark.long
def test_a_wrong_record_fails_the_check_and_still_fills_the_summary(clone: Path) -> None:
    record = clone / "entries" / "fernhollow" / "fh-65" / "record.yaml"
    record.write_text(
        record.read_text(encoding="utf-8").replace("status: published", "status: public"), encoding="utf-8"
    )
    done, _ = run(named("Check the changed records"), clone)
    assert done.returncode == 1 and "::error file=" in done.stdout
    done, summary = run(named("List every finding in the summary"), clone)
    assert done.returncode == 1 and "record-word" in summary
    assert named("List every finding in the summary")["if"] == "${{ !cancelled() }}"


def test_outward_links_are_found_once_with_their_page(tmp_path: Path) -> None:
    (tmp_path / "a.html").write_text('<a href="https://example.org/x#1">x</a><a href="../b/">b</a>', encoding="utf-8")
    (tmp_path / "b.html").write_text('<a href="https://example.org/x#2">x</a>', encoding="utf-8")
    script = ROOT / ".github" / "outward_links.py"
    done = subprocess.run(
        [sys.executable, str(script), str(tmp_path), "--list"], capture_output=True, text=True, check=True
    )
    assert done.stdout == "https://example.org/x (on a.html)\n"


def test_a_link_that_leads_nowhere_is_told_and_fails(tmp_path: Path) -> None:
    (tmp_path / "a.html").write_text('<a href="http://127.0.0.1:9/gone">x</a>', encoding="utf-8")
    script = ROOT / ".github" / "outward_links.py"
    done = subprocess.run([sys.executable, str(script), str(tmp_path)], capture_output=True, text=True, check=False)
    assert done.returncode == 1 and "http://127.0.0.1:9/gone" in done.stdout and "a.html" in done.stdout


@pytest.mark.parametrize("path", sorted((ROOT / ".github").rglob("*.y*ml")), ids=lambda path: path.name)
def test_every_file_is_yaml_without_tabs(path: Path) -> None:
    assert read(path) and "\t" not in path.read_text(encoding="utf-8")


def test_issue_forms_have_what_the_forge_asks_for() -> None:
    for path in (ROOT / ".github" / "ISSUE_TEMPLATE").glob("*.yml"):
        if path.name == "config.yml":
            continue
        form = read(path)
        assert form["name"] and form["description"]
        fields = [one for one in form["body"] if one["type"] != "markdown"]
        assert len({one["id"] for one in fields}) == len(fields) and all(one["attributes"]["label"] for one in fields)


# the linter's release on npm is older than these two: both stand in the forge's own documentation (from memory)
NEWER_THAN_THE_LINTER = ('label "ubuntu-24.04" is unknown', 'undefined variable "vars"')
FAULTY_WORKFLOW = """on: push
jobs:
  check:
    runs-on: ubuntu-24.04
    steps:
      - run: echo ${{ github.no_such_property }}
      - uses: actions/checkout
"""


def complaints_of(node_modules: Path, *files: Path) -> list[tuple[str, int]]:
    """Kind and line of what the linter says of workflow files."""
    command = ["node", str(ROOT / "tests" / "lint_workflows.cjs"), *map(str, files)]
    done = subprocess.run(
        command, capture_output=True, text=True, check=False, env=os.environ | {"NODE_PATH": str(node_modules)}
    )
    assert done.returncode == 0, done.stderr
    found = [one for one in json.loads(done.stdout) if not one["message"].startswith(NEWER_THAN_THE_LINTER)]
    return [(one["kind"], one["line"]) for one in found]


@pytest.mark.long
def test_a_linter_of_workflows_finds_nothing_here_and_something_in_a_faulty_one(
    node_modules: Path, tmp_path: Path
) -> None:
    faulty = tmp_path / "faulty.yml"
    faulty.write_text(FAULTY_WORKFLOW, encoding="utf-8")
    assert complaints_of(node_modules, faulty) == [("expression", 6), ("action", 7)]
    assert complaints_of(node_modules, *WORKFLOWS, ROOT / "generator" / "lidoff" / "starter" / "records.yml") == []
