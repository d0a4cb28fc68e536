"""Whole runs of ``lidoff check`` on one knowledge base: from nothing, unchanged, after one edit, of one file."""

import shutil
import sys
from pathlib import Path

from measure import Run, show, whole_run

CHECK = (sys.executable, "-m", "lidoff", "check")
COLD, UNCHANGED, EDITED, ONE_FILE, ONE_FILE_COLD = "cold", "unchanged", "one edit", "one file", "one file, cold"
GOALS = {COLD: 300, UNCHANGED: 3000}
"""Records a second of the clock, on two processors with nothing else to do."""


def whole_runs(folder: Path) -> dict[str, Run]:
    """The runs in the order of a working day; the site's cache, if any, is dropped before."""
    edited = sorted(folder.glob("entries/*/*/record.yaml"))[0]
    _forget(folder)
    runs = {ONE_FILE_COLD: whole_run((*CHECK, str(edited)), folder)}
    _forget(folder)
    runs[COLD] = whole_run(CHECK, folder)
    runs[UNCHANGED] = whole_run(CHECK, folder)
    _edit(edited)
    runs[EDITED] = whole_run(CHECK, folder)
    _edit(edited)
    runs[ONE_FILE] = whole_run((*CHECK, str(edited)), folder)
    return runs


def measure(folder: Path, count: int) -> dict[str, Run]:
    """Print the runs for one size."""
    runs = whole_runs(folder)
    rows = [
        (
            name, f"{run.wall_s:.2f}", f"{run.processor_s:.2f}", f"{count / run.wall_s:.0f}",
            f"{1000 * run.processor_s / count:.2f}", f"{run.peak_mb:.0f}", str(GOALS.get(name, "")), str(run.exit_code),
        )
        for name, run in runs.items()
    ]  # fmt: skip
    heading = ("check", "wall s", "cpu s", "records/s", "cpu ms/record", "peak MB", "goal/s", "exit")
    print(f"\n{count} records\n{show(heading, rows)}")
    return runs


def _forget(folder: Path) -> None:
    shutil.rmtree(folder / ".lidoff" / "cache", ignore_errors=True)


def _edit(record: Path) -> None:
    with record.open("a", encoding="utf-8") as file:
        file.write("# one line more\n")
