"""A whole preview: how long until it answers, how long after an edit of one record which pages are right, its memory.

    python tests/bench/bench_preview.py FOLDER [--warm]

FOLDER is a knowledge base of invented records, as make_records.py makes it; a copy of its entries is previewed, first
without anything kept, then with what the first preview kept. With --warm what FOLDER keeps is copied too, and the first
preview left out. After an edit of one record a page is asked for at once, and again until it shows the edit, with the
questions for news that its script asks between; then the edit is undone. The goal is a second for the record's own page.
"""

import argparse
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import urllib.error
import urllib.request
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from time import monotonic, sleep

import yaml
from make_records import _Dumper, as_text
from measure import show

SERVE = (sys.executable, "-u", "-m", "lidoff", "site", "--serve")
TREND, SEARCH = "trends/technology-by-tier/", "pagefind/pagefind-entry.json"
POWER_W, MASS_G = 47, 123.4
MOST_BEFORE_W = 45  # so that the edit brings the product into another tier
MOST_S = 600


@dataclass(frozen=True, slots=True)
class Edit:
    """A record before and after an edit that shows in many places, and another one that uses one of its parts."""

    record: Path
    before: str
    after: str
    other: Path

    @property
    def slug(self) -> str:
        """The edited product's path."""
        return "/".join(self.record.parts[-3:-1])


@dataclass(frozen=True, slots=True)
class Preview:
    """A running preview."""

    url: str
    process: subprocess.Popen

    def get(self, path: str) -> str:
        """A page or file, without what makes it load again; empty where there is none."""
        try:
            with urllib.request.urlopen(self.url + path, timeout=MOST_S) as answer:
                return re.sub(r"\?seen=[^\"]*", "", answer.read().decode("utf-8"))
        except urllib.error.HTTPError:
            return ""

    def until(self, path: str, is_right: Callable[[str], bool]) -> None:
        """Ask for it, and for news as the script of each page does, until it is right."""
        started = monotonic()
        while not is_right(self.get(path)):
            if monotonic() - started > MOST_S:
                raise TimeoutError(path)
            self.get(f"~preview/state?page=/{path}")
            sleep(0.05)

    @property
    def processor_s(self) -> float:
        """Processor seconds of the preview and of what it has ended."""
        words = Path(f"/proc/{self.process.pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
        return sum(map(int, words[11:15])) / 100

    def memory_mb(self, name: str) -> float:
        """The memory of the preview: VmRSS is that of now, VmHWM the most it had."""
        text = Path(f"/proc/{self.process.pid}/status").read_text(encoding="utf-8")
        return int(re.search(rf"^{name}:\s+([0-9]+)", text, re.MULTILINE)[1]) / 1024


@contextmanager
def preview(folder: Path) -> Iterator[Preview]:
    """A preview that says where it is."""
    with subprocess.Popen(
        SERVE, cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, start_new_session=True
    ) as process:
        try:
            said = (re.search(r"http://127\.0\.0\.1:[0-9]+/", line) for line in process.stdout)
            yield Preview(next(found[0] for found in said if found), process)
        finally:
            process.send_signal(signal.SIGINT)


def chosen_edit(folder: Path) -> Edit:
    """An edit of a record that shares a part with just one other, which comes after it and will be told so."""
    holders: dict[str, list[Path]] = defaultdict(list)
    for path in sorted(folder.glob("entries/*/*/record.yaml")):
        for number in set(re.findall(r'"part_number": "([^"\n]+)"', path.read_text(encoding="utf-8"))):
            holders[number].append(path)
    for number, paths in holders.items():
        if len(paths) == 2:
            one, other = (as_text(yaml.load(path.read_bytes(), yaml.CSafeLoader)) for path in paths)
            mine, theirs = (_part(record, number) for record in (one, other))
            if mine.get("roles") != ["bulk-capacitor"] or any(
                mine.get(key) != theirs.get(key) for key in ("roles", "maker")
            ):
                continue
            if one["product"]["rated_power_w"] <= MOST_BEFORE_W:
                before = _text(one)
                mine["roles"] = ["fuse"]
                one["product"] |= {"rated_power_w": POWER_W, "model": one["product"]["model"].replace("-", " ")}
                one["measured"]["mass_g"] = MASS_G
                return Edit(paths[0], before, _text(one), paths[1])
    raise SystemExit("no two records share a bulk capacitor that no third one has: take more records")


def _part(record: dict, number: str) -> dict:
    return next(part for part in record["components"] if part.get("part_number") == number)


def _text(record: dict) -> str:
    return yaml.dump(record, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=130)


def questions(edit: Edit) -> dict[str, tuple[str, Callable[[str, str], bool]]]:
    """What is asked for after an edit, and how to tell from the text, and from that before, that it shows."""
    model = yaml.load(edit.after, yaml.CSafeLoader)["product"]["model"]
    own, other = f"products/{edit.slug}/", "/".join(edit.other.parts[-3:-1])
    return {
        "its own page": (own, lambda text, _: f"{MASS_G}\u00a0g" in text and f"{POWER_W}\u00a0W" in text),
        "its data": (f"data/records/{edit.slug}.json", lambda text, _: str(MASS_G) in text),
        "finding of another": (f"products/{other}/", lambda text, _: f"as in {edit.slug}" in text),
        "names of the list": ("data/index/names.json", lambda text, _: model in text),
        "product list": ("products/", lambda text, before: text != before),
        "tier page": ("tiers/46-67-w/", lambda text, before: text != before),
        "trend table": (TREND, lambda text, before: text != before),
        "table as CSV": (f"data/{TREND.rstrip('/')}.csv", lambda text, before: text != before),
    }  # fmt: skip


def measured(running: Preview, edit: Edit) -> list[tuple[str, ...]]:
    """How long each answer took until it was right: after the first edit of all, and after another one."""
    rows = []
    for name, (path, is_right) in questions(edit).items():
        taken = []
        for _ in range(2):
            before = running.get(path)
            spent, started = running.processor_s, monotonic()
            edit.record.write_text(edit.after, encoding="utf-8")
            running.until(path, lambda text, before=before: is_right(text, before))
            taken += [f"{monotonic() - started:.2f}", f"{running.processor_s - spent:.2f}"]
            edit.record.write_text(edit.before, encoding="utf-8")
            running.until(path, before.__eq__)
        rows.append((name, *taken))
    return rows


def start(folder: Path, slug: str, name: str) -> None:
    """Print how long a preview takes to begin, and its first pages after that."""
    started = monotonic()
    with preview(folder) as running:
        rows = [(f"{name}: address is told", f"{monotonic() - started:.1f}", f"{running.processor_s:.1f}")]
        for what, path in (("a product's page", f"products/{slug}/"), ("home page", ""), ("trend table", TREND)):
            assert running.get(path), path
            rows.append((f"{name}: {what}", f"{monotonic() - started:.1f}", f"{running.processor_s:.1f}"))
        running.until(SEARCH, bool)
        rows.append((f"{name}: search", f"{monotonic() - started:.1f}", f"{running.processor_s:.1f}"))
        memory = (running.memory_mb("VmRSS"), running.memory_mb("VmHWM"))
    print("\n" + show(("since the start", "wall s", "processor s"), rows), flush=True)
    print(f"memory {memory[0]:.0f} MB, at most {memory[1]:.0f} MB")


def main() -> None:
    """Measure the knowledge base named on the command line."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--warm", action="store_true", help="copy what the folder keeps, and measure no cold start")
    chosen = parser.parse_args()
    signal.signal(signal.SIGINT, signal.default_int_handler)  # else a preview begun in the background heeds none
    with tempfile.TemporaryDirectory(dir=chosen.folder.resolve().parent) as place:
        folder = Path(place) / "base"
        left_out = shutil.ignore_patterns("staging", "builds", "site", ".git", *(() if chosen.warm else (".lidoff",)))
        shutil.copytree(chosen.folder, folder, ignore=left_out)
        edit = chosen_edit(folder)
        edit.record.write_text(edit.before, encoding="utf-8")
        if not chosen.warm:
            start(folder, edit.slug, "cold")
        start(folder, edit.slug, "warm")
        with preview(folder) as running:
            running.until(SEARCH, bool)
            rows = measured(running, edit)
            print("\n" + show(("right after an edit", "wall s", "processor s", "again", "processor s"), rows))
            print(f"memory {running.memory_mb('VmRSS'):.0f} MB, at most {running.memory_mb('VmHWM'):.0f} MB")


if __name__ == "__main__":
    main()
