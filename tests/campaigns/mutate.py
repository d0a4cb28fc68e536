"""Put small faults into the program one by one and see whether a test notices. By hand; see README.md beside this file.

``python tests/campaigns/mutate.py --mutants 500 --seed 1 --log mutants.jsonl`` works on a copy of the repository and wants
cosmic-ray and coverage beside the locked packages. All tests run once, to learn which of them reach which line. Then
each mutant meets the tests that reach its line, the most particular first, up to ``--budget`` seconds of processor time:
in a forked process whose function is exchanged or, where the fault lies outside of functions, in a new process. ``--again FILE`` tries those of an earlier log once more that nothing noticed.
"""

import argparse
import contextlib
import difflib
import hashlib
import json
import math
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from dataclasses import asdict, dataclass
from pathlib import Path

import coverage
import exchange
import pytest
from mutants import Mutant, mutants, sample
from without_shrinking import PROFILE

ROOT = Path(__file__).resolve().parents[2]
TRIED = ("generator/lidoff/engineering", "generator/lidoff/checks")
TESTS = (
    "tests/engineering",
    "tests/checks",
    "tests/figures",
    "tests/test_published.py",
    "tests/test_worked_example.py",
)
LEFT_OUT = shutil.ignore_patterns(
    ".venv", ".git", ".lidoff", ".hypothesis", ".pytest_cache", ".ruff_cache", "node_modules"
)
PYTEST = ("-q", "-p", "no:cacheprovider", f"--hypothesis-profile={PROFILE}")
SELECTION = ("-m", "not long and not browser and not ngspice")


@dataclass
class Reach:
    """The lines that one test reaches, by file, and the processor time that it takes."""

    seconds: float
    lines: dict[str, list[int]]
    failed: bool = False


def nearest(reach: dict[str, Reach], mutant: Mutant, budget_s: float) -> list[str]:
    """The tests to run; a line outside of functions runs on import, so all that reach its file may notice."""
    all_there = [name for name, of in reach.items() if mutant.path in of.lines and not of.failed]
    tests = [name for name in all_there if mutant.line in reach[name].lines[mutant.path]] or all_there
    chosen, total = [], 0.0
    for name in sorted(tests, key=lambda name: (len(reach[name].lines), reach[name].seconds)):
        total += reach[name].seconds
        if total > budget_s and chosen:
            break
        chosen.append(name)
    return chosen


class Campaign:
    """Takes the place of pytest's loop over the collected tests."""

    def __init__(self, given: argparse.Namespace, copy: Path, chosen: list[Mutant]) -> None:
        self.given, self.copy, self.chosen, self.counts = given, copy, chosen, Counter()

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        self.items = {item.nodeid: item for item in session.items}
        self.reach = kept_reach(self.given.reach, self.copy)
        news = [item for item in session.items if item.nodeid not in self.reach]
        if news:
            measured = json.loads(in_child(lambda: json.dumps(measured_reach(news, self.copy))))
            self.reach |= {name: Reach(**of) for name, of in measured.items()}
            keep_reach(self.given.reach, self.copy, self.reach)
        failed = [name for name, of in self.reach.items() if of.failed]
        print(f"{len(self.items)} tests; these fail without a fault and take no part: {failed}", file=sys.stderr)
        self.memory = exchange.InMemory(str(self.copy / "generator"))
        with open(self.given.log, "a", encoding="utf-8") as log:
            for number, mutant in enumerate(self.chosen, 1):
                end, by = self.tried(mutant)
                self.counts[mutant.path.split("/")[2], end] += 1
                log.write(json.dumps({**asdict(mutant), "end": end, "by": by}) + "\n")
                log.flush()
                if number % 50 == 0:
                    print(f"{number} mutants: {told(self.counts)}", file=sys.stderr, flush=True)
        return True

    def tried(self, mutant: Mutant) -> tuple[str, str]:
        """How a mutant ended: ``noticed`` and by which test, or ``alive``."""
        before = (self.copy / mutant.path).read_text(encoding="utf-8")
        after = mutant.source(self.copy)
        tests = [name for name in nearest(self.reach, mutant, self.given.budget) if name in self.items]
        items = [self.items[name] for name in tests]
        limit_s = 5 * sum(self.reach[name].seconds for name in tests) + 10
        pair = exchange.function_of(str(self.copy / mutant.path), before, after)
        if pair and items and self.memory.has(pair[0]):
            by = in_child(lambda: self.memory.exchange(*pair) or first_failing(items), limit_s)
            return ("noticed", by) if by else ("alive", "")
        return self.tried_anew(mutant, after, tests, limit_s)

    def tried_anew(self, mutant: Mutant, after: str, names: list[str], limit_s: float) -> tuple[str, str]:
        """The same from the changed file, read by a new process."""
        path = self.copy / mutant.path
        kept, when = path.read_bytes(), path.stat()
        listed = self.copy / "nearest.txt"
        listed.write_text("\n".join(names or TESTS[:2]), encoding="utf-8")
        path.write_text(after, encoding="utf-8")
        os.utime(path, (time.time(), when.st_mtime + 10))  # else the compiled file of before is taken
        try:
            command = [
                sys.executable,
                "-B",
                "-m",
                "pytest",
                "-x",
                *PYTEST,
                *SELECTION,
                "-p",
                "without_shrinking",
                f"@{listed}",
            ]
            done = subprocess.run(command, capture_output=True, text=True, check=False, preexec_fn=limited(limit_s))
        finally:
            path.write_bytes(kept)
            os.utime(path, ns=(when.st_atime_ns, when.st_mtime_ns))
        return ("alive", "") if done.returncode == 0 else ("noticed", f"new process, exit {done.returncode}")


def limited(seconds: float) -> object:
    return lambda: resource.setrlimit(resource.RLIMIT_CPU, (math.ceil(seconds) + 20, math.ceil(seconds) + 20))


def in_child(work: object, limit_s: float = 10_000) -> str:
    """What a piece of work gives in a forked process; one that dies, runs out of time or fails gives a word about that."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
        resource.setrlimit(resource.RLIMIT_CPU, (math.ceil(limit_s), math.ceil(limit_s)))
        with os.fdopen(writing, "w", encoding="utf-8") as pipe:
            try:
                pipe.write(work())
            except BaseException as fault:  # a fault may raise anything, and is noticed by that
                pipe.write(f"{type(fault).__name__}: {fault}")
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading, encoding="utf-8") as pipe:
        said = pipe.read()
    _, status = os.waitpid(child, 0)
    return said if os.WIFEXITED(status) else f"ended by signal {os.WTERMSIG(status)}"


def first_failing(items: list[pytest.Item]) -> str:
    """The name of the first test that fails, else an empty text."""
    session = items[0].session
    for item, following in zip(items, [*items[1:], None], strict=True):
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        if session.testsfailed:
            return item.nodeid
    return ""


def measured_reach(items: list[pytest.Item], copy: Path) -> dict[str, dict]:
    """Run tests without any fault and see what each reaches."""
    reach, session = {}, items[0].session
    seen = coverage.Coverage(data_file=None, config_file=False, source=[str(copy / folder) for folder in TRIED])
    seen.start()
    for item, following in zip(items, [*items[1:], None], strict=True):
        seen.switch_context(item.nodeid)
        begun, failed = time.process_time(), session.testsfailed
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        reach[item.nodeid] = asdict(Reach(time.process_time() - begun, {}, session.testsfailed > failed))
    seen.stop()
    data = seen.get_data()
    for file in data.measured_files():
        for line, names in data.contexts_by_lineno(file).items():
            for name in filter(None, names):
                reach[name]["lines"].setdefault(Path(file).relative_to(copy).as_posix(), []).append(line)
    return reach


def program_digest(copy: Path) -> str:
    """Of all lines that are counted: what tests reach is known only for these."""
    files = sorted(path for folder in TRIED for path in (copy / folder).rglob("*.py"))
    return hashlib.sha256(b"".join(path.read_bytes() for path in files)).hexdigest()


def kept_reach(file: Path, copy: Path) -> dict[str, Reach]:
    """What an earlier campaign has measured; nothing of another program."""
    kept = json.loads(file.read_text(encoding="utf-8")) if file.exists() else {}
    known = kept.get("program") == program_digest(copy)
    return {name: Reach(**of) for name, of in kept["tests"].items()} if known else {}


def keep_reach(file: Path, copy: Path, reach: dict[str, Reach]) -> None:
    kept = {"program": program_digest(copy), "tests": {name: asdict(of) for name, of in reach.items()}}
    file.write_text(json.dumps(kept), encoding="utf-8")


def counted(*logs: Path) -> Counter:
    """Packages and ends of all mutants in these logs; one that stands in two counts once, as it last ended."""
    ends = {}
    for line in "".join(log.read_text(encoding="utf-8") for log in logs).splitlines():
        entry = json.loads(line)
        ends[tuple(entry[key] for key in Mutant.__slots__)] = entry["path"].split("/")[2], entry["end"]
    return Counter(ends.values())


def told(counts: Counter) -> str:
    """How many were noticed, with the interval that holds the share in all of them in 19 of 20 samples (Wilson)."""
    lines = []
    for package in sorted({package for package, _ in counts}) + ["all"]:
        of = Counter()
        for (where, end), number in counts.items():
            of[end] += number if package in (where, "all") else 0
        number, share, z = of.total(), of["noticed"] / of.total(), 1.959964
        middle = (share + z * z / (2 * number)) / (1 + z * z / number)
        half = z / (1 + z * z / number) * math.sqrt(share * (1 - share) / number + (z / (2 * number)) ** 2)
        lines.append(f"{package} {of['noticed']} of {number}, {share:.1%} ({middle - half:.1%} to {middle + half:.1%})")
    return "; ".join(lines)


def show(log: Path, copy: Path) -> None:
    """The faults that nothing noticed, as differences."""
    for line in log.read_text(encoding="utf-8").splitlines():
        entry = json.loads(line)
        if entry["end"] == "alive":
            mutant = Mutant(**{key: entry[key] for key in Mutant.__slots__})
            before, after = (copy / mutant.path).read_text(encoding="utf-8"), mutant.source(copy)
            difference = difflib.unified_diff(
                before.splitlines(), after.splitlines(), mutant.path, mutant.operator, "", "", 1
            )
            print(*difference, sep="\n")


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--mutants", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--budget", type=float, default=6.0)
    parser.add_argument("--log", type=Path, default=Path("mutants.jsonl"))
    parser.add_argument("--reach", type=Path, default=Path("reach.json"), help="what tests reach is kept here")
    parser.add_argument("--again", type=Path)
    parser.add_argument("--show", action="store_true", help="only show what stands in the log as not noticed")
    given = parser.parse_args()
    given.log, given.reach = given.log.resolve(), given.reach.resolve()
    if given.show:
        show(given.log, ROOT)
        return 0
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder).resolve() / "repository"
        shutil.copytree(ROOT, copy, ignore=LEFT_OUT)
        places = mutants(copy, TRIED)
        chosen = sample(places, given.mutants, given.seed)
        if given.again:
            entries = [json.loads(line) for line in given.again.read_text(encoding="utf-8").splitlines()]
            chosen = [Mutant(**{key: one[key] for key in Mutant.__slots__}) for one in entries if one["end"] == "alive"]
        if given.log.exists():  # broken off earlier
            tried = {
                tuple(json.loads(line).values())[:5] for line in given.log.read_text(encoding="utf-8").splitlines()
            }
            chosen = [mutant for mutant in chosen if tuple(asdict(mutant).values()) not in tried]
        print(f"{sum(map(len, places.values()))} mutants at {len(places)} places, {len(chosen)} tried", file=sys.stderr)
        os.environ["PYTHONPATH"] = os.pathsep.join((str(copy / "generator"), str(copy / "tests" / "campaigns")))
        sys.path.insert(0, str(copy / "generator"))
        with contextlib.chdir(copy):
            pytest.main([*PYTEST, *SELECTION, *TESTS], plugins=[Campaign(given, copy, chosen)])
    print(f"seed {given.seed}: {told(counted(given.log))}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
