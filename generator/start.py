"""Set up Lidoff with nothing but Python, then run it.

python3 generator/start.py site            build the demo site and serve it on this machine
python3 generator/start.py test            run the tests (about five minutes)
python3 generator/start.py test --long     run every test
python3 generator/start.py lidoff ...      any lidoff command
"""

import hashlib
import os
import shutil
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
ENVIRONMENT = ROOT / ".venv"
LOCKS = ROOT / "generator" / "locks"
OLDEST_PYTHON = (3, 11)


def environment_program(name: str) -> Path:
    """Path of a program inside the virtual environment, on any system."""
    folder, ending = ("Scripts", ".exe") if os.name == "nt" else ("bin", "")
    return ENVIRONMENT / folder / (name + ending)


def fingerprint(lock: Path) -> str:
    """Text that changes whenever the installed packages would have to change."""
    digest = hashlib.sha256()
    for path in (lock, ROOT / "pyproject.toml"):
        digest.update(path.read_bytes())
    return f"{sys.version_info.major}.{sys.version_info.minor} {lock.stem} {digest.hexdigest()}"


def is_current(wanted: str, lock_name: str) -> bool:
    """Whether the environment already holds what the lock file asks for; a test environment also serves the site."""
    if not environment_program("python").exists():
        return False
    stamps = [ENVIRONMENT / f"lidoff-{name}.stamp" for name in {lock_name, "test"}]
    accepted = {wanted, fingerprint(LOCKS / "test.txt")}
    return any(stamp.exists() and stamp.read_text(encoding="utf-8") in accepted for stamp in stamps)


def install(lock_name: str) -> None:
    """Make ``.venv`` and install the hash-locked packages and the project itself, once per lock file."""
    lock = LOCKS / f"{lock_name}.txt"
    wanted = fingerprint(lock)
    if is_current(wanted, lock_name):
        return
    print(f"Setting up {ENVIRONMENT.name} from {lock.relative_to(ROOT)} (once; a minute or two) ...", flush=True)
    if ENVIRONMENT.exists():
        shutil.rmtree(ENVIRONMENT)
    venv.create(ENVIRONMENT, with_pip=True)
    pip = [str(environment_program("python")), "-m", "pip", "--disable-pip-version-check", "install", "--quiet"]
    subprocess.run([*pip, "--require-hashes", "--requirement", str(lock)], check=True, cwd=ROOT)
    subprocess.run([*pip, "--no-deps", "--no-build-isolation", "--editable", "."], check=True, cwd=ROOT)
    (ENVIRONMENT / f"lidoff-{lock_name}.stamp").write_text(wanted, encoding="utf-8")


def test_command(arguments: list[str]) -> list[str]:
    """The pytest call for ``test`` and ``test --long``; further arguments go to pytest."""
    run_all = "--long" in arguments
    rest = [argument for argument in arguments if argument != "--long"]
    selection = [] if run_all else ["-m", "not long"]
    workers = [] if any(argument.startswith("-n") for argument in rest) else ["-n", "2", "--dist", "loadgroup"]
    return [str(environment_program("python")), "-m", "pytest", *workers, *selection, *rest]


def main(arguments: list[str]) -> int:
    """Run one of the commands above and return its exit code."""
    if sys.version_info < OLDEST_PYTHON:
        print("Lidoff needs Python 3.11 or newer; this is " + sys.version.split()[0], file=sys.stderr)
        return 2
    command, *rest = arguments or ["--help"]
    if command not in ("site", "test", "lidoff"):
        print(__doc__)
        return 0 if command in ("-h", "--help") else 2
    try:
        install("test" if command == "test" else "site")
    except subprocess.CalledProcessError as fault:
        print(
            f"The set-up stopped: {' '.join(map(str, fault.cmd[-3:]))} ended with code {fault.returncode}.",
            file=sys.stderr,
        )
        return 3
    python = str(environment_program("python"))
    calls = {
        "site": [python, "-m", "lidoff", "site", "--serve", *rest],
        "test": test_command(rest) if command == "test" else [],
        "lidoff": [python, "-m", "lidoff", *rest],
    }
    try:
        return subprocess.run(calls[command], cwd=ROOT).returncode
    except KeyboardInterrupt:
        return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
