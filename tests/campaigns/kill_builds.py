"""End builds without warning at random moments, and look whether the site is still whole. By hand; see README.md.

``python tests/campaigns/kill_builds.py --kills 200 --seed 1`` copies a part of the demo, builds it, and then changes a
record, begins a build and kills it and all that it started, again and again: two times of three at any moment of the
build, else at any moment from the last file that is written to the end of the program, where the new site takes the
place of the old one. After each kill the published site must be, file for file, the one before the change or the one
after it; a build that nobody killed must go through although dead ones left their lock and folders.
"""

import argparse
import hashlib
import os
import random
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
DEMO = ("mkdocs.yml", "entries/other-protocols.yaml", "generator/lidoff/prose")
MASS = re.compile(r"mass_g: (\d+)\b(?!\.)")
LIDOFF = (sys.executable, "-m", "lidoff", "site")
LAST_FILE = Path(".lidoff", "staging", ".lidoff-site")  # the marker is written just before the site is put in place
SEEN = {0: "TORN", 1: "site before the change", 2: "site after it"}


@dataclass
class Takes:
    """Seconds of the last build that ended by itself: all of it, and what was left when the last file was written."""

    all_s: float = 0.0
    switch_s: float = 0.0


def copied(folder: Path, brand: str) -> Path:
    """One brand of the demo, or all (``*``), as a knowledge base of its own."""
    brands = [str(path.relative_to(ROOT)) for path in (ROOT / "entries").glob(brand) if path.is_dir()]
    for part in (*DEMO, *brands):
        (folder / part).parent.mkdir(parents=True, exist_ok=True)
        (shutil.copytree if (ROOT / part).is_dir() else shutil.copy)(ROOT / part, folder / part)
    return folder


def digests(site: Path) -> dict[str, str]:
    """The digest of every file; the text search, whose index differs from run to run, is left out."""
    folder = site.resolve()
    files = [path for path in folder.rglob("*") if path.is_file() and "pagefind" not in path.parts]
    return {path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def begun(base: Path) -> subprocess.Popen:
    return subprocess.Popen(
        LIDOFF, cwd=base, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, start_new_session=True
    )


def ended(process: subprocess.Popen) -> None:
    """A build that nobody killed must be a good one."""
    said = process.communicate()[0]
    if process.returncode:
        sys.exit(f"a build that nobody killed failed:\n{said[-4000:]}")


def waited(process: subprocess.Popen, marker: Path) -> bool:
    """Wait for the last file; whether the build is still at work."""
    while process.poll() is None and not marker.exists():
        time.sleep(0.001)
    return process.poll() is None


def build(base: Path) -> Takes:
    """Build to the end."""
    start, process = time.monotonic(), begun(base)
    waited(process, base / LAST_FILE)
    switch = time.monotonic()
    ended(process)
    return Takes(time.monotonic() - start, time.monotonic() - switch)


def killed(base: Path, chance: random.Random, takes: Takes) -> str:
    """Begin a build and kill it and all that it started; where it was."""
    near = chance.random() < 1 / 3
    after = chance.uniform(0, takes.switch_s if near else takes.all_s)
    start, process = time.monotonic(), begun(base)
    if not near or waited(process, base / LAST_FILE):
        time.sleep(after)
    if process.poll() is None:
        os.killpg(process.pid, signal.SIGKILL)
        process.communicate()
        return "killed near the switch" if near else "killed anywhere"
    ended(process)
    if not near:
        takes.all_s = time.monotonic() - start  # the machine has become quicker
    return "over before"


def run(base: Path, kills: int, seed: int) -> Counter:
    """Kill so many builds; what was found on the disk after each."""
    chance, found, site = random.Random(seed), Counter(), base / ".lidoff" / "site"
    records = sorted(base.glob("entries/*/*/record.yaml"))
    record = next(path for path in records if MASS.search(path.read_text(encoding="utf-8")))
    texts = [record.read_text(encoding="utf-8")]
    texts.append(MASS.sub(lambda mass: f"mass_g: {int(mass[1]) + 1}", texts[0], count=1))
    whole, takes, shown = [], Takes(), 0
    for text in (*texts, *reversed(texts)):  # the first build makes what later ones keep
        record.write_text(text, encoding="utf-8")
        takes = build(base)
        whole.append(digests(site))
    assert whole.pop() == whole[0] != whole[1] == whole.pop(), "the same records give other pages, or others the same"
    while kills:
        shown = 1 - shown
        record.write_text(texts[shown], encoding="utf-8")
        how = killed(base, chance, takes)
        kills -= how != "over before"
        now = digests(site)
        seen = SEEN[(now == whole[1 - shown]) + 2 * (now == whole[shown])]
        found[f"{how}: {seen}"] += 1
        print(f"{kills} to go, {dict(found)}", file=sys.stderr, flush=True)
        if now != whole[shown]:
            shown = 1 - shown
    record.write_text(texts[1 - shown], encoding="utf-8")
    build(base)
    found["last build whole" if digests(site) == whole[1 - shown] else "last build TORN"] += 1
    return found


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--brand", default="fernhollow", help="the brand of the demo that is built; '*' for all")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        start = time.monotonic()
        found = run(copied(Path(folder), given.brand), given.kills, given.seed)
    print(f"{given.kills} kills with seed {given.seed} in {time.monotonic() - start:.0f} s: {dict(found)}")
    return any("TORN" in seen for seen in found)


if __name__ == "__main__":
    sys.exit(main())
