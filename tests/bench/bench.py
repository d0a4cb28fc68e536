"""Measure whole runs on knowledge bases of a chosen size, and the stages inside one process.

    .venv/bin/python tests/bench/bench.py [N ...] [--keep FOLDER]      default: 100 1000

Whole runs are processes of their own: wall and processor seconds and the peak memory that the system counted. Stages are
measured in this process, product pages only. The machine's speed varies: compare rows of one run, not of two.
"""

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import make_records  # noqa: E402

BUDGET_MS_A_PAGE = 1.5


@dataclass(frozen=True)
class Run:
    """What the system counted for one process."""

    wall_s: float
    processor_s: float
    peak_mb: float
    exit_code: int


def whole_run(arguments: Sequence[str], folder: Path) -> Run:
    """Run ``python -m lidoff ...`` in ``folder`` and wait for it."""
    started = time.monotonic()
    process = subprocess.Popen(
        [sys.executable, "-m", "lidoff", *arguments], cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    _, status, usage = os.wait4(process.pid, 0)
    wall = time.monotonic() - started
    process.returncode = os.waitstatus_to_exitcode(status)
    return Run(wall, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024, process.returncode)


def timed(work: Callable[[], object]) -> tuple[float, object]:
    """Processor seconds of this process, and what the work gave."""
    started = time.process_time()
    result = work()
    return time.process_time() - started, result


def stages(folder: Path) -> dict[str, float]:
    """Milliseconds a record or page of each stage, product pages alone."""
    from lidoff.pages.context import make_context
    from lidoff.pages.sections import products
    from lidoff.pipeline import prepare
    from lidoff.publish.build import build_site
    from lidoff.settings import read_settings

    settings = read_settings(folder / "mkdocs.yml")
    read_s, prepared = timed(lambda: prepare(settings))
    count = len(prepared.collection.examined)
    context = make_context(prepared.shown, settings)
    render_s, pages = timed(lambda: [planned.make() for planned in products.plans(context)])
    result = build_site(settings, prepared, folder / "measured-site")
    (target := folder / "stamped").mkdir()
    stamp_s, _ = timed(lambda: [write(target / f"{number}.html", result.frames.stamp(page)) for number, page in enumerate(pages)])
    return {
        "read, derive, check (ms a record)": 1000 * read_s / count,
        "render (ms a product page)": 1000 * render_s / len(pages),
        "stamp and write (ms a product page)": 1000 * stamp_s / len(pages),
        "render, stamp, write (ms a product page)": 1000 * (render_s + stamp_s) / len(pages),
        "product page (kB)": sum(len(page.body.encode()) for page in pages) / len(pages) / 1000,
    }


def write(path: Path, text: str) -> None:
    """Write one page."""
    path.write_text(text, encoding="utf-8")


def measure(count: int, folder: Path) -> None:
    """Print the rows for one size."""
    make_records.write(folder, count, seed=1)
    print(f"\n{count} records")
    print(f"  {'whole run':<34}{'wall s':>9}{'cpu s':>9}{'peak MB':>9}{'exit':>6}")
    for name, arguments in (("check", ["check"]), ("site", ["site"]), ("site, unchanged", ["site"])):
        run = whole_run(arguments, folder)
        print(f"  {name:<34}{run.wall_s:>9.2f}{run.processor_s:>9.2f}{run.peak_mb:>9.0f}{run.exit_code:>6}")
    for name, value in stages(folder).items():
        print(f"  {name:<43}{value:>9.3f}")


def main() -> None:
    """Measure each size in turn."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("counts", metavar="N", type=int, nargs="*", default=[100, 1000])
    parser.add_argument("--keep", type=Path, help="keep the knowledge bases below this folder")
    chosen = parser.parse_args()
    print(f"{os.cpu_count()} cores; budget for render, stamp, write: {BUDGET_MS_A_PAGE} ms a page")
    for count in chosen.counts:
        folder = (chosen.keep or Path(tempfile.mkdtemp(prefix="lidoff-bench-"))) / str(count)
        folder.mkdir(parents=True, exist_ok=True)
        try:
            measure(count, folder)
        finally:
            if chosen.keep is None:
                shutil.rmtree(folder.parent)


if __name__ == "__main__":
    main()
