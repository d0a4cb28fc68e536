"""Whole runs of a program: seconds of the clock and of the processors, and the peak memory of all its processes."""

import os
import subprocess
import threading
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from time import monotonic

SAMPLED_EVERY_S = 0.2
PROC = Path("/proc")


@dataclass(frozen=True, slots=True)
class Run:
    """What one run took.

    ``processor_s`` adds up all processes. ``peak_mb`` is the largest sum over all processes alive at one moment, memory
    that they share counted once, sampled five times a second; where the system does not say, that of the largest one.
    """

    wall_s: float
    processor_s: float
    peak_mb: float
    exit_code: int


def whole_run(command: Sequence[str], folder: Path, environment: Mapping[str, str] | None = None) -> Run:
    """Run a command in a folder and wait for it; its output is dropped."""
    started = monotonic()
    process = subprocess.Popen(
        command, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
        env={**os.environ, **(environment or {})},
    )  # fmt: skip
    peak = _Peak(process.pid)
    peak.start()
    _, status, usage = os.wait4(process.pid, 0)
    wall = monotonic() - started
    process.returncode = os.waitstatus_to_exitcode(status)
    sampled_mb = peak.stop()
    return Run(wall, usage.ru_utime + usage.ru_stime, max(sampled_mb, usage.ru_maxrss / 1024), process.returncode)


class _Peak(threading.Thread):
    """Samples the memory of a session of processes until it is told to stop."""

    def __init__(self, session: int) -> None:
        super().__init__(daemon=True)
        self._session = session
        self._ended = threading.Event()
        self._largest_kb = 0

    def run(self) -> None:
        while not self._ended.wait(SAMPLED_EVERY_S):
            self._largest_kb = max(self._largest_kb, sum(map(_proportional_kb, _members(self._session))))

    def stop(self) -> float:
        """The largest sum so far [MB]."""
        self._ended.set()
        self.join()
        return self._largest_kb / 1024


def _members(session: int) -> Iterator[Path]:
    """The processes of a session."""
    for folder in PROC.glob("[0-9]*"):
        try:
            # the name, in brackets, may hold anything; session is the fourth word behind it
            words = (folder / "stat").read_text(encoding="utf-8", errors="replace").rpartition(")")[2].split()
        except OSError:
            continue  # it ended since it was listed
        if words[3] == str(session):
            yield folder


def _proportional_kb(process: Path) -> int:
    """Memory of a process, what it shares divided among those that share it."""
    try:
        text = (process / "smaps_rollup").read_text(encoding="utf-8")
    except OSError:
        return 0
    return next((int(line.split()[1]) for line in text.splitlines() if line.startswith("Pss:")), 0)


def show(heading: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table as text: the first column to the left, numbers to the right."""
    widths = [max(len(row[place]) for row in (heading, *rows)) for place in range(len(heading))]
    lines = []
    for row in (heading, *rows):
        first, *others = (
            text.ljust(width) if place == 0 else text.rjust(width)
            for place, (text, width) in enumerate(zip(row, widths, strict=True))
        )
        lines.append("  ".join((first, *others)).rstrip())
    return "\n".join(lines)
