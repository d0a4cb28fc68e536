"""What is kept is taken only while it is right: edits, damage and losses by chance against a clean run."""

import json
import os
import pickle
import random
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path

import msgspec
import pytest

from lidoff.cache.code_version import code_version
from lidoff.cache.store import Store
from lidoff.checks import COLLECTION_CHECKS
from lidoff.crew import here
from lidoff.examination import desk, run
from lidoff.examination import examined as examined_module
from lidoff.examination.survey import CACHE
from lidoff.pipeline import Collection, check, examine_all
from lidoff.record import marks
from lidoff.reports import as_json
from lidoff.settings import read_settings

ROOT = Path(__file__).parents[2]
CONFIG = "site_name: Test base\nsite_url: https://example.org/\nplugins:\n  - lidoff:\n      tiers_w: [20, 65]\n"
PROTOCOLS = "other_protocols:\n  - {name: Quickfill, aliases: [QF]}\n"


@pytest.fixture(scope="module")
def pattern(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Some of the demo's records, with logs, and one that is broken."""
    base = tmp_path_factory.mktemp("pattern")
    (base / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    with_logs = sorted(path.parents[1] for path in ROOT.glob("entries/*/*/logs/*.csv"))
    folders = dict.fromkeys((*with_logs[:2], *sorted(ROOT.glob("entries/*/*/"))[:4]))
    for folder in folders:
        ignored = shutil.ignore_patterns("photos")
        shutil.copytree(folder, base / folder.relative_to(ROOT), ignore=ignored)
    broken = base / "entries" / "wrenscar" / "wd-999" / "record.yaml"
    broken.parent.mkdir(parents=True)
    text = "schema: 1\nstatus: draft\nproduct: {brand: Wrenscar, model: WD-999, kind: wall\n"
    broken.write_text(text, encoding="utf-8")
    (base / "entries" / "other-protocols.yaml").write_text(PROTOCOLS, encoding="utf-8")
    return base


@pytest.fixture
def base(pattern: Path, tmp_path: Path) -> Path:
    shutil.copytree(pattern, tmp_path / "base")
    return tmp_path / "base"


def told(base: Path, *paths: Path) -> tuple[str, bool]:
    """What a check says, byte for byte, and whether it fails."""
    result = check(read_settings(base / "mkdocs.yml"), paths)
    return as_json(result.findings, result.records), result.failed


def examined(base: Path) -> Collection:
    return examine_all(read_settings(base / "mkdocs.yml"))


@pytest.fixture
def clean(tmp_path: Path) -> Callable[..., object]:
    """Asks the same of a copy of the knowledge base where nothing was kept."""

    def clean(ask: Callable[..., object], base: Path, *paths: Path) -> object:
        copy = tmp_path / "clean"
        shutil.rmtree(copy, ignore_errors=True)
        shutil.copytree(base, copy, ignore=shutil.ignore_patterns(".lidoff"))
        return ask(copy, *(copy / path.relative_to(base) for path in paths))

    return clean


@pytest.fixture
def read_anew(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Which records were examined although results may have been kept."""
    names: list[str] = []
    work = run._worked

    def noting(job: object, *arguments: object) -> object:
        names.append(job.file.slug)
        return work(job, *arguments)

    monkeypatch.setattr(run, "_worked", noting)
    return names


def kept_files(base: Path) -> list[Path]:
    return sorted((base / CACHE).iterdir())


def records(base: Path) -> list[Path]:
    return sorted(base.glob("entries/*/*/record.yaml"))


def mutated(text: str, chance: random.Random) -> str:
    """The text after one edit that a person could make, or slip into."""
    lines = text.split("\n")
    place = chance.randrange(len(lines))
    sort = chance.choice(("drop", "twice", "comment", "digit", "swap", "letter", "status", "brand"))
    if sort == "drop":
        del lines[place]
    elif sort == "twice":
        lines.insert(place, lines[place])
    elif sort == "comment":
        lines.insert(0, "# a line more")
    elif sort == "swap":
        other = chance.randrange(len(lines))
        lines[place], lines[other] = lines[other], lines[place]
    elif sort == "digit":
        digits = [at for at, sign in enumerate(text) if sign.isdigit()]
        at = chance.choice(digits) if digits else 0
        return text[:at] + chance.choice("0123456789") + text[at + 1 :]
    elif sort == "letter":
        at = chance.randrange(len(text))
        return text[:at] + chance.choice("xé:{&\"'-") + text[at:]
    elif sort == "status":
        return text.replace("status: published", "status: draft", 1)
    else:
        return text.replace("brand: ", "brand: X", 1)
    return "\n".join(lines)


def edit(base: Path, chance: random.Random) -> None:
    """One change by chance, anywhere in the knowledge base."""
    found = records(base)
    sort = chance.choice(("record",) * 6 + ("log", "gone", "back", "copy", "stray", "settings", "protocols", "cache"))
    path = chance.choice(found)
    if sort == "record":
        path.write_text(mutated(path.read_text(encoding="utf-8"), chance), encoding="utf-8")
    elif sort == "log":
        for log in sorted(base.glob("entries/*/*/logs/*"))[:1]:
            log.write_bytes(log.read_bytes()[: chance.randrange(200, 4000)])
    elif sort == "gone" and len(found) > 3:
        shutil.rmtree(path.parent)
    elif sort in ("back", "copy"):
        target = path.parent.with_name(f"copy-{chance.randrange(3)}")
        if target != path.parent:
            shutil.copytree(path.parent, target, dirs_exist_ok=True)
    elif sort == "stray":
        (path.parent / f"photo-{chance.randrange(3)}.txt").write_text("a file beside", encoding="utf-8")
    elif sort == "settings":
        tiers = chance.choice(("[20, 65]", "[30, 65, 100]"))
        changed = CONFIG.replace("[20, 65]", tiers) + chance.choice(("", "      assumptions: {bridge_drop_v: 1.0}\n"))
        (base / "mkdocs.yml").write_text(changed, encoding="utf-8")
    elif sort == "protocols":
        names = chance.choice(("Quickfill", "Fillfast", "Quick Fill"))
        (base / "entries" / "other-protocols.yaml").write_text(PROTOCOLS.replace("Quickfill", names), encoding="utf-8")
    elif sort == "cache" and (base / CACHE).is_dir():
        for file in chance.sample(kept_files(base), 2):
            damage(file, chance.choice(DAMAGES), chance)


DAMAGES = ("truncated", "random", "empty", "gone", "another's", "pipe")


def damage(file: Path, sort: str, chance: random.Random) -> None:
    content = file.read_bytes() if file.is_file() else b""
    files = sorted(file.parent.iterdir())
    after = files.index(file) + 1  # the next one first: of many that are damaged in turn it is still as it was
    others = [other.read_bytes() for other in (*files[after:], *files[: after - 1]) if other.is_file()]
    file.unlink()
    if sort == "truncated":
        file.write_bytes(content[: chance.randrange(len(content) or 1)])
    elif sort == "random":
        file.write_bytes(chance.randbytes(300))
    elif sort == "empty":
        file.write_bytes(b"")
    elif sort == "another's":
        file.write_bytes(next(other for other in others if other != content))
    elif sort == "pipe":
        os.mkfifo(file)


@pytest.mark.parametrize(
    ("seed", "edits"), [(1, 5), *(pytest.param(seed, 30, marks=pytest.mark.long) for seed in range(2, 6))]
)
def test_after_any_edit_a_kept_check_says_what_a_clean_one_says(
    base: Path, clean: Callable, seed: int, edits: int
) -> None:
    chance = random.Random(seed)
    for _ in range(edits):
        edit(base, chance)
        assert told(base) == clean(told, base)
        assert told(base) == told(base)


def test_what_pages_are_made_from_is_the_same_kept_or_new(base: Path, clean: Callable) -> None:
    new = clean(examined, base)
    examined(base)
    kept = examined(base)
    assert kept.entries == new.entries and kept.findings == new.findings and kept.drafts == new.drafts
    assert any(entry.logs for entry in kept.entries) and all(len(entry.figures.items) > 20 for entry in kept.entries)


def test_one_edit_examines_one_record(base: Path, read_anew: list[str]) -> None:
    told(base)
    assert len(read_anew) == len(records(base))
    read_anew.clear()
    told(base)
    examined(base)
    assert read_anew == []
    edited = records(base)[2]
    edited.write_text(edited.read_text(encoding="utf-8") + "\n# more\n", encoding="utf-8")
    told(base)
    assert read_anew == ["/".join(edited.parts[-3:-1])]


def with_contradictions(base: Path) -> None:
    """Records that others contradict, so that checks of the collection speak of many of them."""
    for number, path in enumerate(path for path in records(base) if "999" not in path.parent.name):
        text = path.read_text(encoding="utf-8")
        other = path.parent.with_name(f"{path.parent.name}-twice") / path.name
        other.parent.mkdir()
        changed = re.sub("maker: ([A-Z])", lambda found: f"maker: {found[1].lower()}", text) if number % 2 else text
        other.write_text(changed.replace("capacitance_uf: ", "capacitance_uf: 1"), encoding="utf-8")


def test_places_that_are_kept_are_those_of_the_files(
    base: Path, clean: Callable, monkeypatch: pytest.MonkeyPatch
) -> None:
    with_contradictions(base)
    kept = told(base)
    rules = {check.rule.id for check in COLLECTION_CHECKS}
    named = [one for one in json.loads(kept[0])["findings"] if one["rule"] in rules]
    assert len({one["rule"] for one in named}) >= 3 and len({one["path"] for one in named}) >= 4
    monkeypatch.setattr(examined_module, "NAMED", {})  # nothing is kept: every file is read again for its places
    assert clean(told, base) == kept


def test_after_one_edit_no_other_file_is_taken_apart(
    base: Path, clean: Callable, monkeypatch: pytest.MonkeyPatch
) -> None:
    with_contradictions(base)
    told(base)
    edited = records(base)[2]
    edited.write_text("# more\n" + edited.read_text(encoding="utf-8"), encoding="utf-8")
    parsed: list[str] = []
    read, sound = marks.read, marks.sound
    monkeypatch.setattr(marks, "read", lambda text, path: parsed.append(text) or read(text, path))
    monkeypatch.setattr(marks, "sound", lambda text, shape: parsed.append(text) or sound(text, shape))
    for at_hand in (marks.sound_of, marks.reading_of):
        at_hand.cache_clear()
    after = told(base)
    assert parsed == [edited.read_text(encoding="utf-8")]
    monkeypatch.undo()
    assert after == clean(told, base)


def test_a_file_named_alone_says_the_same_whatever_was_kept(base: Path, clean: Callable) -> None:
    path = records(base)[1]
    alone = clean(told, base, path)
    assert told(base, path) == told(base, path) == alone  # from nothing, then from what that left
    told(base)
    assert told(base, path) == alone  # from a check of everything
    path.write_text(path.read_text(encoding="utf-8").replace("mass_g: ", "mass_g: 9"), encoding="utf-8")
    assert told(base, path) == clean(told, base, path) != alone


@pytest.mark.parametrize("sort", DAMAGES)
def test_damage_anywhere_is_noticed_and_mended(base: Path, read_anew: list[str], sort: str) -> None:
    first = told(base)
    chance = random.Random(sort)
    count = len(kept_files(base))
    for file in kept_files(base):
        damage(file, sort, chance)
    read_anew.clear()
    assert told(base) == first and len(read_anew) == len(records(base))
    read_anew.clear()
    assert told(base) == first and read_anew == []
    assert len(kept_files(base)) == count


def test_what_other_code_kept_is_not_used(base: Path, read_anew: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    first = told(base)
    read_anew.clear()
    monkeypatch.setattr(desk, "version_of_program", lambda: "another version")
    assert told(base) == first and len(read_anew) == len(records(base))


def test_what_another_user_kept_is_not_used(base: Path, read_anew: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    first = told(base)
    read_anew.clear()
    own = os.getuid()
    monkeypatch.setattr(os, "getuid", lambda: own + 1)
    assert told(base) == first and len(read_anew) == len(records(base))


def test_without_a_folder_to_write_in_everything_is_read_anew(base: Path, read_anew: list[str]) -> None:
    (base / ".lidoff").write_text("no folder", encoding="utf-8")
    for _ in range(2):
        read_anew.clear()
        assert told(base)[0].count('"rule"') > 0 and len(read_anew) == len(records(base))


def test_an_edit_while_it_is_read_is_not_kept(base: Path, clean: Callable, monkeypatch: pytest.MonkeyPatch) -> None:
    victim = records(base)[0]
    read = run.examine_in_full

    def slow(file: object, desk: object) -> object:
        result = read(file, desk)
        if file.path == victim:
            victim.write_text(victim.read_text(encoding="utf-8").replace("schema: 1", "schema: 2"), encoding="utf-8")
        return result

    before = victim.read_text(encoding="utf-8")
    monkeypatch.setattr(run, "examine_in_full", slow)
    told(base)
    monkeypatch.undo()
    assert victim.read_text(encoding="utf-8") != before
    assert told(base) == clean(told, base)
    victim.write_text(before, encoding="utf-8")
    assert told(base) == clean(told, base)


@pytest.mark.parametrize("method", ["fork", pytest.param("spawn", marks=pytest.mark.long)])
def test_several_processes_find_the_same_in_the_same_order(
    base: Path, clean: Callable, monkeypatch: pytest.MonkeyPatch, method: str
) -> None:
    alone = clean(told, base)
    monkeypatch.setattr(run, "WORTH_PROCESSES", 1)
    monkeypatch.setattr(run, "CHUNK", 1)
    monkeypatch.setattr(here, "processors", lambda: 2)
    monkeypatch.setattr(here, "_start_method", lambda: method)
    assert told(base) == alone
    assert kept_files(base)


@pytest.mark.parametrize("fault", [BrokenProcessPool("killed"), PermissionError("forbidden")])
def test_where_processes_fail_one_does_the_rest(
    base: Path, clean: Callable, monkeypatch: pytest.MonkeyPatch, fault: Exception
) -> None:
    alone = clean(told, base)

    class Failing(ThreadPoolExecutor):
        """Takes one order, then none."""

        def __init__(self, *_: object, **__: object) -> None:
            super().__init__(1)
            self.taken = 0

        def submit(self, *order: object) -> Future:
            self.taken += 1
            if self.taken > 1:
                raise fault
            return super().submit(*order)

    monkeypatch.setattr(run, "WORTH_PROCESSES", 1)
    monkeypatch.setattr(run, "CHUNK", 1)
    monkeypatch.setattr(here, "processors", lambda: 2)
    monkeypatch.setattr("concurrent.futures.ProcessPoolExecutor", Failing)
    assert told(base) == alone


def lidoff(base: Path) -> subprocess.Popen:
    command = [sys.executable, "-m", "lidoff", "check", "--format", "json"]
    return subprocess.Popen(command, cwd=base, stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True)


def test_two_runs_at_once_do_not_harm_each_other(base: Path, clean: Callable, read_anew: list[str]) -> None:
    alone = clean(told, base)[0]
    code_version.cache_clear()  # another process looks at the sources anew
    both = [lidoff(base), lidoff(base)]
    for process in both:
        output, complaints = process.communicate(timeout=120)
        assert output.decode() == alone and complaints == b""
    read_anew.clear()
    assert told(base)[0] == alone and read_anew == []


@pytest.mark.long
def test_a_killed_run_leaves_what_the_next_one_can_use(pattern: Path, tmp_path: Path, clean: Callable) -> None:
    base = tmp_path / "base"
    shutil.copytree(pattern, base)
    for number in range(16):
        for path in records(pattern):
            shutil.copytree(path.parent, base / "entries" / f"brand-{number}" / path.parent.name)
    alone = clean(told, base)[0]
    chance = random.Random(5)
    for _ in range(6):
        process = lidoff(base)
        time.sleep(chance.uniform(0.3, 3.0))
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGKILL)
        process.communicate()
    assert told(base)[0] == alone
    assert told(base)[0] == alone


def test_the_cache_grows_no_further_than_it_is_used(base: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from lidoff.cache import store

    monkeypatch.setattr(store, "SPARE", 2)
    path = records(base)[0]
    text = path.read_text(encoding="utf-8")
    told(base)
    used = len(kept_files(base))
    for number in range(used):
        path.write_text(f"{text}\n# {number}\n", encoding="utf-8")
        told(base)
    assert len(kept_files(base)) <= 2 * used + 2


def test_the_version_covers_every_module_that_examines_a_record() -> None:
    code = "import sys, lidoff.examination.run; print(*(name for name in sys.modules if name.startswith('lidoff.')))"
    output = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    rooms = {name.split(".")[1] for name in output.split()}
    assert rooms == {name.removesuffix(".py") for name in desk.RESTS_ON}


def test_a_kept_file_is_data_of_the_wanted_type_or_nothing(base: Path) -> None:
    """A file with a right digest and something else in it, such as code in the form of pickle, is never obeyed."""
    first = told(base)
    store = Store(base / CACHE)
    hostile = pickle.dumps(Path("/"))
    for file in kept_files(base):
        for content in (hostile, msgspec.msgpack.encode({"status": 7}), msgspec.msgpack.encode([])):
            assert store.put(file.name, content)
            assert told(base) == first
