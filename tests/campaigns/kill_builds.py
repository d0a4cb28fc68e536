"""End builds without warning at random moments, and look whether the site is still whole. By hand; see README.md.

``python tests/campaigns/kill_builds.py --kills 200 --seed 1`` copies the demo, builds it, and then changes a record,
begins a build and kills it, again and again. After each the published site must be, file for file, the one before the
change or the one after it, and at the end a build must go through although dead ones left their lock and folders.
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
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
DEMO = ("mkdocs.yml", "entries", "generator/lidoff/prose")
MASS = re.compile(r"mass_g: (\d+)\b(?!\.)")
LIDOFF = (sys.executable, "-m", "lidoff", "site")


def copied(folder: Path) -> Path:
    """The demo as a knowledge base of its own."""
    for part in DEMO:
        (folder / part).parent.mkdir(parents=True, exist_ok=True)
        (shutil.copytree if (ROOT / part).is_dir() else shutil.copy)(ROOT / part, folder / part)
    return folder


def digests(site: Path) -> dict[str, str]:
    """The digest of every file; the text search, whose index differs from run to run, is left out."""
    folder = site.resolve()
    files = [path for path in folder.rglob("*") if path.is_file() and "pagefind" not in path.parts]
    return {path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def build(base: Path) -> float:
    """Build to the end; the seconds that it took."""
    begun = time.monotonic()
    done = subprocess.run(LIDOFF, cwd=base, capture_output=True, text=True, check=False)
    if done.returncode:
        sys.exit(f"a build that nobody killed failed:\n{done.stdout[-2000:]}{done.stderr[-2000:]}")
    return time.monotonic() - begun


def killed(base: Path, after: float) -> bool:
    """Begin a build and kill it and all that it started; whether it was still at work."""
    quiet = subprocess.DEVNULL
    process = subprocess.Popen(LIDOFF, cwd=base, stdout=quiet, stderr=quiet, start_new_session=True)
    time.sleep(after)
    was_at_work = process.poll() is None
    if was_at_work:
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()
    return was_at_work


def run(base: Path, kills: int, seed: int) -> Counter:
    """Kill so many builds; what was found on the disk after each."""
    chance, found, site = random.Random(seed), Counter(), base / ".lidoff" / "site"
    records = sorted(base.glob("entries/*/*/record.yaml"))
    record = next(path for path in records if MASS.search(path.read_text(encoding="utf-8")))
    texts = [record.read_text(encoding="utf-8")]
    texts.append(MASS.sub(lambda mass: f"mass_g: {int(mass[1]) + 1}", texts[0], count=1))
    whole, takes, shown = [], 0.0, 0
    for text in reversed(texts):
        record.write_text(text, encoding="utf-8")
        takes = build(base)
        whole.insert(0, digests(site))
    while found["killed"] < kills:
        shown = 1 - shown
        record.write_text(texts[shown], encoding="utf-8")
        found["killed" if killed(base, chance.uniform(0, 1.05 * takes)) else "over before"] += 1
        now = digests(site)
        seen = {0: "TORN", 1: "site before the change", 2: "site after it"}
        found[seen[(now == whole[1 - shown]) + 2 * (now == whole[shown])]] += 1
        if now != whole[shown]:
            shown = 1 - shown
    record.write_text(texts[1], encoding="utf-8")
    build(base)
    found["last build whole" if digests(site) == whole[1] else "LAST BUILD NOT WHOLE"] += 1
    return found


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        begun = time.monotonic()
        found = run(copied(Path(folder)), given.kills, given.seed)
    print(f"{given.kills} kills with seed {given.seed} in {time.monotonic() - begun:.0f} s: {dict(found)}")
    return bool(found["TORN"] or found["LAST BUILD NOT WHOLE"])


if __name__ == "__main__":
    sys.exit(main())
