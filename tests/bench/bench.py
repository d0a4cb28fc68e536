"""Measure whole runs on knowledge bases of a chosen size, and product pages beside other programs.

    .venv/bin/python tests/bench/bench.py [N ...] [--keep FOLDER] [--only check site pages]        default: 100 1000

10,000 is measured when it is asked for. Whole runs are processes of their own. The speed of a machine varies, most of
all where others work on it: compare processor seconds, and rows of one run, not of two.
"""

import argparse
import os
import shutil
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import bench_check  # noqa: E402
import bench_site  # noqa: E402
import make_records  # noqa: E402
from measure import Run  # noqa: E402

PARTS = ("check", "site", "pages")
MOST_BY_MKDOCS = 1000  # plain mkdocs-material would take most of an hour for more


def growth(what: str, runs: dict[int, dict[str, Run]]) -> None:
    """Print how each run grew from one size to the next."""
    sizes = sorted(runs)
    for smaller, larger in zip(sizes, sizes[1:], strict=False):
        for name, run in runs[larger].items():
            times = run.processor_s / runs[smaller][name].processor_s
            print(f"{what}, {name}: {larger / smaller:.0f} times the records, {times:.1f} times the processor seconds")


def main() -> None:
    """Measure each size in turn."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("counts", metavar="N", type=int, nargs="*", default=[100, 1000])
    parser.add_argument("--keep", type=Path, help="keep the knowledge bases below this folder")
    parser.add_argument("--only", nargs="+", choices=PARTS, default=PARTS, help="which parts to measure")
    chosen = parser.parse_args()
    print(f"{os.cpu_count()} cores; load before: {os.getloadavg()[0]:.1f}")
    runs: dict[int, dict[str, Run]] = {}
    checks: dict[int, dict[str, Run]] = {}
    for count in chosen.counts:
        folder = (chosen.keep or Path(tempfile.mkdtemp(prefix="lidoff-bench-"))) / str(count)
        folder.mkdir(parents=True, exist_ok=True)
        try:
            make_records.write(folder, count, seed=1)
            if "check" in chosen.only:
                checks[count] = bench_check.measure(folder, count)
            if "site" in chosen.only:
                runs[count] = bench_site.measure(folder, count)
            if "pages" in chosen.only:
                bench_site.measure_pages(folder, with_mkdocs=count <= MOST_BY_MKDOCS)
        finally:
            if chosen.keep is None:
                shutil.rmtree(folder.parent)
    growth("check", checks)
    growth("site", runs)


if __name__ == "__main__":
    main()
