"""Spoil records at random and examine each: load, validate, derive, check, make rows. By hand; see README.md beside this file.

``python tests/campaigns/fuzz_records.py --records 2000 --seed 1`` prints counts, the worst time and the peak memory,
and writes whatever failed, cut down to as few lines as still fail, into the folder of ``--kept``. Exit 1 where anything
did.
"""

import argparse
import copy
import functools
import json
import random
import resource
import signal
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import FrameType
from typing import Any

import msgspec
import yaml

from lidoff.checks import RECORD_CHECKS
from lidoff.checks.check import Subject
from lidoff.checks.engine import run_record_checks
from lidoff.entry import Entry
from lidoff.figures.assumptions import read_assumptions
from lidoff.figures.derive import derive
from lidoff.record.load import load_text
from lidoff.rows.record_rows import RecordRows, packed_rows, rows_of
from lidoff.settings import DEFAULT_TIERS_W

TESTS = Path(__file__).resolve().parents[1]
BASES = ("record/sample.yaml", "checks/bases/*.yaml", "published/entries/*/*/record.yaml", "record/good/*.yaml")
PAYLOADS = yaml.safe_load((TESTS / "hostile" / "payloads.yaml").read_text(encoding="utf-8"))
TEXTS = [text for texts in PAYLOADS.values() for text in texts]
NUMBERS = (0, -1, 1, 1e-12, 0.1, 2, 5, 9.99, 20, 21.001, 47, 63, 100, 240, 400, 2026, 65535, 1e300, 10**23, -0.0)
PIECES = (
    "- ", "[", "]", "{", "}", ", ", ": ", "&a ", "*a", "!t ", "!!str ", "? ", "|\n", ">-\n", "'", '"', "# ", "\n", "  ",
    "---\n", "...\n", "%YAML 1.2\n", "<<: ", "~", "\t", "\r", "\u2028", "\0", "\ufeff", "\u202e", "é", "1e3", "@", "\\x",
)  # fmt: skip
LIMIT_S = 10.0
Change = Callable[[random.Random, str], str]
RECORD_ROWS = msgspec.msgpack.Decoder(RecordRows)
ASSUMPTIONS = read_assumptions()


class TooSlow(Exception):
    """One record took longer than any may."""


@dataclass
class Outcome:
    """What came of all records so far."""

    counts: Counter = field(default_factory=Counter)
    slowest: tuple[float, str] = (0.0, "")
    failures: dict[str, Path] = field(default_factory=dict)


def examine(text: str) -> str:
    """Everything that is done with a single record; says how it ended, and raises only where we are at fault."""
    loaded = load_text(text, "entries/a/b/record.yaml")
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for one in loaded.findings:
        line = lines[one.line - 1] if 1 <= one.line <= len(lines) else ""
        assert 1 <= one.line <= len(lines) + 1 and 1 <= one.column <= len(line) + 1, f"no such place: {one}"
    if loaded.record is None:
        assert loaded.findings, "neither a record nor a finding"
        return "refused"
    figures = derive(loaded.record, ASSUMPTIONS)
    subject = Subject("p", "a/b", loaded.record, figures, tiers_w=DEFAULT_TIERS_W)
    noticed = sum(1 for _, notice in run_record_checks(RECORD_CHECKS, subject) if loaded.place(notice.field))
    entry = Entry("p", "a/b", loaded.record, figures)
    kept = RECORD_ROWS.decode(packed_rows(entry, DEFAULT_TIERS_W))
    assert (kept, kept.figures) == (rows_of(entry, DEFAULT_TIERS_W), rows_of(entry, DEFAULT_TIERS_W).figures)
    return "read, noticed" if noticed else "read, nothing noticed"


def cut(chance: random.Random, text: str) -> str:
    start = chance.randrange(len(text))
    return text[:start] + text[start + chance.randint(1, 40) :]


def insert(chance: random.Random, text: str) -> str:
    start = chance.randrange(len(text))
    put = chance.choice((chance.choice(PIECES), chance.choice(TEXTS)))
    return text[:start] + put + text[start + chance.randint(0, 3) :]


def move_lines(chance: random.Random, text: str) -> str:
    lines = text.split("\n")
    start, size = chance.randrange(len(lines)), chance.randint(1, 12)
    block = lines[start : start + size]
    rest = lines if chance.random() < 0.5 else lines[:start] + lines[start + size :]
    to, margin = chance.randrange(len(rest) + 1), chance.choice(("", "  ", "    "))
    return "\n".join([*rest[:to], *(margin + line for line in block), *rest[to:]])


def repeat(chance: random.Random, text: str) -> str:
    start = chance.randrange(len(text))
    return text[:start] + text[start : start + chance.randint(1, 80)] * chance.choice((2, 10, 100)) + text[start:]


def trails(node: Any, trail: tuple = ()) -> Iterator[tuple]:
    """The trail of everything in nested data."""
    for key, value in node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ():
        yield (*trail, key)
        yield from trails(value, (*trail, key))


@functools.cache
def bases() -> tuple[str, ...]:
    """The sound records that are spoilt."""
    return tuple(file.read_text(encoding="utf-8") for form in BASES for file in sorted(TESTS.glob(form)))


@functools.cache
def seen() -> Mapping[str, list[Any]]:
    """What sound records hold under each key."""
    found: dict[str, list[Any]] = {}
    for text in bases():
        data = plain(text)
        for *path, key in trails(data):
            if isinstance(key, str):
                found.setdefault(key, []).append(functools.reduce(lambda node, step: node[step], path, data)[key])
    return found


def plain(text: str) -> Any:
    """A record as JSON has it: dates are text."""
    return json.loads(as_json(text))


@functools.lru_cache(maxsize=256)
def as_json(text: str) -> str:
    return json.dumps(yaml.load(text, yaml.CSafeLoader), default=str)


def written(chance: random.Random, data: Any) -> str:
    """The data as YAML in one of its styles; some of them in JSON's, which is YAML too."""
    text = json.dumps(data, ensure_ascii=False, indent=chance.choice((None, 1, 4)))
    if chance.random() < 0.3:
        return text
    # parsed anew, so that nothing is the same object twice and written as an alias
    return yaml.dump(json.loads(text), Dumper=yaml.CSafeDumper, sort_keys=False, allow_unicode=True)


def other(chance: random.Random, key: object, value: Any) -> Any:
    """Another value: mostly one that stands elsewhere under this key, so that many records reach figures and checks."""
    if chance.random() < 0.5 and key in seen():
        return copy.deepcopy(chance.choice(seen()[key]))
    if chance.random() < 0.1:
        return chance.choice((None, True, [], {}, [value], {"a": value}, "", 1))
    if isinstance(value, bool):
        return not value
    if isinstance(value, int | float):
        return chance.choice((chance.choice(NUMBERS), value * chance.choice((-1, 0.1, 0.5, 0.99, 1.01, 2, 10, 1000))))
    if isinstance(value, list):
        return chance.choice(([], value[:1], value * 2, value[::-1], value * 20))
    return chance.choice((chance.choice(TEXTS), value)) if isinstance(value, str) else value


def change_value(chance: random.Random, text: str) -> str:
    """The same record with one value gone or another; text that is no YAML any more stays as it is."""
    try:
        data = plain(text)
    except (yaml.YAMLError, ValueError, TypeError, RecursionError):
        return text
    found = list(trails(data))
    for *path, key in chance.sample(found, min(len(found), chance.choice((1, 1, 1, 3)))):
        parent = data
        try:
            for step in path:
                parent = parent[step]
            parent[key] = other(chance, key, parent[key])
            if chance.random() < 0.1:
                del parent[key]
        except (KeyError, IndexError, TypeError):
            continue  # an earlier change has taken the place away
    return written(chance, data)


CHANGES: tuple[Change, ...] = (change_value, cut, insert, move_lines, repeat)


def told(fault: BaseException) -> str:
    """Where a fault came from, the same for the same fault."""
    last = traceback.extract_tb(fault.__traceback__)[-1]
    return f"{type(fault).__name__} in {Path(last.filename).name}:{last.lineno}"


def tried(text: str) -> tuple[str, str]:
    """How examining a record ended, and the fault where there is one."""
    signal.setitimer(signal.ITIMER_PROF, LIMIT_S)  # of processor time: a busy machine is no fault of ours
    try:
        return examine(text), ""
    except Exception as fault:  # whatever it is, it is what is looked for
        return "failed", told(fault)
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)


def smallest(text: str, fault: str) -> str:
    """As few lines as still fail in the same way."""
    lines, size = text.split("\n"), max(1, text.count("\n") // 2)
    while size:
        for start in range(0, len(lines), size):
            fewer = lines[:start] + lines[start + size :]
            if len(fewer) < len(lines) and tried("\n".join(fewer))[1] == fault:
                lines = fewer
                break
        else:
            size //= 2
    return "\n".join(lines)


def run(number: int, seed: int, kept: Path) -> Outcome:
    """Spoil and examine as many records; what fails is written at once, and however often it fails, only once."""
    chance, outcome = random.Random(seed), Outcome()
    for index in range(number):
        text = chance.choice(bases())
        changes = CHANGES if chance.random() < 0.4 else (change_value,)
        for _ in range(chance.choice((1, 1, 1, 2, 4))):
            text = chance.choice(changes)(chance, text or "a")[:500_000]
        begun = time.process_time()  # other programs may keep the machine busy
        end, fault = tried(text)
        outcome.slowest = max(outcome.slowest, (time.process_time() - begun, f"record {index}"))
        outcome.counts[end] += 1
        if fault and fault not in outcome.failures:
            outcome.failures[fault] = keep(smallest(text, fault), kept / f"{len(outcome.failures) + 1:02d}.yaml", fault)
        if (index + 1) % 10_000 == 0:
            print(f"{index + 1} so far: {dict(outcome.counts)}, {outcome.slowest}", file=sys.stderr, flush=True)
    return outcome


def keep(text: str, file: Path, fault: str) -> Path:
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_bytes(text.encode("utf-8", "surrogatepass"))
    print(f"{fault}: {file}", file=sys.stderr, flush=True)
    return file


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--records", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--kept", type=Path, default=Path("fuzz-failures"), help="where what failed is written")
    given = parser.parse_args()
    signal.signal(signal.SIGPROF, _give_up)
    begun = time.perf_counter()
    outcome = run(given.records, given.seed, given.kept)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    took = time.perf_counter() - begun
    print(f"{given.records} records with seed {given.seed} in {took:.0f} s: {dict(outcome.counts)}")
    print(f"slowest {outcome.slowest[0]:.2f} s ({outcome.slowest[1]}); peak memory {peak:.0f} MiB")
    for fault, file in outcome.failures.items():
        print(f"{fault}: {file}")
    return bool(outcome.failures)


def _give_up(number: int, frame: FrameType | None) -> None:
    raise TooSlow(f"more than {LIMIT_S} s of processor time")


if __name__ == "__main__":
    sys.exit(main())
