"""Whole runs of ``lidoff impact`` with a stock at hand: nothing changed, one value, a part, one record more, one less.

    python tests/bench/bench_impact.py FOLDER

FOLDER is a knowledge base of invented records, as make_records.py makes it; a copy of it is put under git beside it. The
first line is the run that takes stock of all records, which may be long; of the others, the goal is two seconds of the
clock among 10,000 records, on two processors with nothing else to do.
"""

import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from measure import Run, show, whole_run

IMPACT = (sys.executable, "-m", "lidoff", "impact", "--base", "HEAD")
GOAL_S = 2


def _value(records: list[Path]) -> None:
    _replace(records[len(records) // 2], r'("?rated_power_w"?): \S+', r"\1: 47")


def _part(records: list[Path]) -> None:
    _replace(records[2], r'("?part_number"?): [^,}\n]+', r'\1: "AB-123"')


def _added(records: list[Path]) -> None:
    folder = records[1].parent
    there = folder.with_name("zz-9")
    shutil.copytree(folder, there)
    _replace(there / "record.yaml", r'("?model"?): .*', r'\1: "ZZ-9"')


def _removed(records: list[Path]) -> None:
    shutil.rmtree(records[0].parent)


def _replace(record: Path, pattern: str, new: str) -> None:
    text = record.read_text(encoding="utf-8")
    record.write_text(re.sub(pattern, new, text, count=1), encoding="utf-8")


EDITS: dict[str, Callable[[list[Path]], None]] = {
    "nothing": lambda records: None, "rated power": _value, "a part": _part, "one more": _added, "one less": _removed,
}  # fmt: skip


def whole_runs(folder: Path) -> dict[str, Run]:
    """The runs on a knowledge base under git; each edit is undone before the next."""
    shutil.rmtree(folder / ".lidoff" / "cache" / "impact", ignore_errors=True)
    runs = {"all records": whole_run(IMPACT, folder)}
    for name, edit in EDITS.items():
        edit(sorted(folder.glob("entries/*/*/record.yaml")))
        runs[name] = whole_run(IMPACT, folder)
        _git(folder, "checkout", "--quiet", ".")
        _git(folder, "clean", "--quiet", "-fd", "entries")
    return runs


def _git(folder: Path, *arguments: str) -> None:
    identity = ("-c", "user.name=bench", "-c", "user.email=bench@example.org", "-c", "commit.gpgsign=false")
    subprocess.run(["git", *identity, *arguments], cwd=folder, check=True)


def main() -> None:
    """Measure the knowledge base named on the command line."""
    original = Path(sys.argv[1]).resolve()
    with tempfile.TemporaryDirectory(dir=original.parent) as place:
        folder = Path(place) / "base"
        shutil.copytree(original, folder, ignore=shutil.ignore_patterns("staging", "site", ".git"))
        (folder / ".gitignore").write_text(".lidoff/\n", encoding="utf-8")
        _git(folder, "init", "--quiet")
        _git(folder, "add", ".")
        _git(folder, "commit", "--quiet", "-m", "all")
        runs = whole_runs(folder)
    rows = [
        (name, f"{run.wall_s:.2f}", f"{run.processor_s:.2f}", f"{run.peak_mb:.0f}", "" if place == 0 else str(GOAL_S),
         str(run.exit_code))
        for place, (name, run) in enumerate(runs.items())
    ]  # fmt: skip
    print(show(("impact", "wall s", "cpu s", "peak MB", "goal s", "exit"), rows))


if __name__ == "__main__":
    main()
