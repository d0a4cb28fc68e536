"""The set-up with nothing but Python: a fresh copy, an empty environment, the README's launcher.

The long tests install the locked packages and so need the package index that pip is set up for.
"""

import importlib.util
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[1]
# the Python below any virtual environment
PYTHON = Path(os.path.realpath(sys.executable))


@pytest.fixture
def start() -> ModuleType:
    spec = importlib.util.spec_from_file_location("lidoff_start", ROOT / "generator" / "start.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def small_root(start: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder in the place of the repository, with two lock files and an environment that looks complete."""
    monkeypatch.setattr(start, "ROOT", tmp_path)
    monkeypatch.setattr(start, "ENVIRONMENT", tmp_path / ".venv")
    monkeypatch.setattr(start, "LOCKS", tmp_path / "locks")
    (tmp_path / "locks").mkdir()
    (tmp_path / "pyproject.toml").write_text("[project]\n", encoding="utf-8")
    for name in ("site", "test"):
        (tmp_path / "locks" / f"{name}.txt").write_text(f"package of {name}==1\n", encoding="utf-8")
    python = start.environment_program("python")
    python.parent.mkdir(parents=True)
    python.touch()
    return tmp_path


def stamp(start: ModuleType, name: str) -> None:
    wanted = start.fingerprint(start.LOCKS / f"{name}.txt")
    (start.ENVIRONMENT / f"lidoff-{name}.stamp").write_text(wanted, encoding="utf-8")


def is_current(start: ModuleType, name: str) -> bool:
    return start.is_current(start.fingerprint(start.LOCKS / f"{name}.txt"), name)


def test_environment_without_a_stamp_is_set_up_anew(start: ModuleType, small_root: Path) -> None:
    assert not is_current(start, "site")


def test_environment_of_these_locks_is_kept(start: ModuleType, small_root: Path) -> None:
    stamp(start, "site")
    assert is_current(start, "site")
    assert not is_current(start, "test"), "the packages of the tests are not there yet"


def test_environment_for_the_tests_serves_the_site_too(start: ModuleType, small_root: Path) -> None:
    stamp(start, "test")
    assert is_current(start, "site") and is_current(start, "test")


@pytest.mark.parametrize("changed", ["locks/site.txt", "pyproject.toml"])
def test_change_of_what_is_wanted_sets_up_anew(changed: str, start: ModuleType, small_root: Path) -> None:
    stamp(start, "site")
    with open(small_root / changed, "a", encoding="utf-8") as file:
        file.write("# changed\n")
    assert not is_current(start, "site")


def test_quick_and_long_runs_of_the_tests(start: ModuleType) -> None:
    quick, whole = start.test_command(["-q"]), start.test_command(["--long"])
    assert quick[1:] == ["-m", "pytest", "-n", "2", "--dist", "loadgroup", "-m", "not long", "-q"]
    assert whole[1:] == ["-m", "pytest", "-n", "2", "--dist", "loadgroup"]
    assert start.test_command(["-n0"])[1:] == ["-m", "pytest", "-m", "not long", "-n0"]


@pytest.mark.parametrize(("arguments", "code"), [(["--help"], 0), (["no-such-command"], 2)])
def test_launcher_tells_its_commands(arguments: list[str], code: int) -> None:
    done = subprocess.run(
        [PYTHON, ROOT / "generator" / "start.py", *arguments], capture_output=True, text=True, check=False
    )
    assert done.returncode == code
    for word in ("site", "test", "test --long", "lidoff ..."):
        assert f"start.py {word}" in done.stdout


def kept_files() -> list[str]:
    """What git tracks or would track."""
    if not (ROOT / ".git").exists():
        pytest.skip("needs a git checkout: git knows which files belong to the project")
    command = ["git", "-C", str(ROOT), "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split("\0")
    return sorted(name for name in set(listed) if name and (ROOT / name).is_file())


@pytest.fixture(scope="module")
def fresh(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The project as a fresh clone has it."""
    folder = tmp_path_factory.mktemp("fresh") / "a clone"
    for name in kept_files():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / name, folder / name)
    yield folder
    shutil.rmtree(folder)


def launch(folder: Path, *arguments: str) -> subprocess.CompletedProcess:
    """Run the launcher in an environment that holds nothing but the way to the system's programs."""
    environment = {"PATH": os.pathsep.join([str(PYTHON.parent), "/usr/local/bin", "/usr/bin", "/bin"])}
    command = ["python3", "generator/start.py", *arguments]
    return subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)


@pytest.mark.long
@pytest.mark.xdist_group("setup")
def test_fresh_clone_sets_itself_up_once_and_builds_the_demo(fresh: Path) -> None:
    first = launch(fresh, "lidoff", "--version")
    assert first.returncode == 0, first.stdout + first.stderr
    assert "Setting up .venv from generator/locks/site.txt" in first.stdout
    assert first.stdout.splitlines()[-1].startswith("lidoff, version ")
    stamps = {path: path.stat().st_mtime_ns for path in (fresh / ".venv").glob("*.stamp")}
    second = launch(fresh, "lidoff", "--version")
    assert (second.returncode, second.stdout) == (0, first.stdout.splitlines()[-1] + "\n")
    assert stamps == {path: path.stat().st_mtime_ns for path in (fresh / ".venv").glob("*.stamp")} != {}
    built = launch(fresh, "lidoff", "site", "--strict")
    assert built.returncode == 0, built.stdout + built.stderr
    assert (fresh / ".lidoff" / "site" / "index.html").is_file()
