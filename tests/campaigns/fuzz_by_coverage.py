"""Spoil records where that leads to lines not run before: load, validate, derive, check. By hand; see README.md.

``python tests/campaigns/fuzz_by_coverage.py --seconds 600`` wants atheris beside the locked packages. It begins with the
sound records that ``fuzz_records.py`` spoils and examines each outcome as that does; half of the changes are that
campaign's, half libFuzzer's own. It stops at the first failure, or where a record takes more than ten seconds or 512 MiB,
and keeps the record in ``--kept``.
"""

import argparse
import random
import resource
import sys
import tempfile
from collections import Counter
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["lidoff"]):
    from fuzz_records import CHANGES, bases, examine

LONGEST = 60_000
COUNTS: Counter[str] = Counter()


def one(data: bytes) -> None:
    """What libFuzzer calls; any exception stops it."""
    COUNTS[examine(data.decode("utf-8", "replace"))] += 1
    if COUNTS.total() % 1000 == 0:
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"{COUNTS.total()} records: {dict(COUNTS)}; peak memory {peak:.0f} MiB", flush=True)


def changed(data: bytes, longest: int, seed: int) -> bytes:
    """A change of the text, or of its bytes."""
    chance = random.Random(seed)
    if chance.random() < 0.5:
        return atheris.Mutate(data, longest)
    text = data.decode("utf-8", "replace") or "a"
    return chance.choice(CHANGES)(chance, text).encode("utf-8", "surrogatepass")[:longest]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=int, default=600)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--kept", type=Path, default=Path("fuzz-failures"), help="where what failed is written")
    given = parser.parse_args()
    given.kept.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as corpus:
        for number, text in enumerate(bases()):
            Path(corpus, f"{number:03d}.yaml").write_text(text, encoding="utf-8")
        limits = (f"-max_total_time={given.seconds}", f"-seed={given.seed}", f"-max_len={LONGEST}", "-timeout=10")
        kept = (f"-artifact_prefix={given.kept}/", "-rss_limit_mb=512", "-print_final_stats=1")
        atheris.Setup([sys.argv[0], *limits, *kept, corpus], one, custom_mutator=changed)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
