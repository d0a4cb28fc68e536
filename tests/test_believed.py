"""What must be believed of the whole program, tried from outside: processes, exit codes and the files that they leave."""

import gzip
import hashlib
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from PIL import Image

ROOT = Path(__file__).resolve().parents[1]
CONFIG = """site_name: Believed
site_url: https://example.org/base/
docs_dir: prose
theme: {name: material, font: false}
plugins: [lidoff]
"""
LIDOFF = (sys.executable, "-m", "lidoff")
RECORD = "entries/fernhollow/fh-65/record.yaml"
OTHER = ("Arden", "AR-60")
# text of the sample, text in its place, and where in the new text the finding must point
TEN_FAULTS = (
    ("status: published", "status: publish", "publish", "record-word"),
    ("launched: 2025", "launched: 1825", "1825", "record-range"),
    ("rated_power_w: 65", "rated_power_w: 65 W", "65 W", "record-number"),
    ("by: [Ida Quell]", "by: Ida Quell", "Ida Quell", "record-structure"),
    ("  manufacturer: Pell", "  manufacturor: Pell", "manufacturor", "record-unknown-key"),
    ("currency: EUR", "currency: Euro", "Euro", "record-form"),
    ("  mass_g: 112\n", "  mass_g:\n", "mass_g", "record-empty"),
    ("averaged_s: 300", "averaged_s: 3e2", "3e2", "record-number"),
    ("wall_mm: 2.2", "wall_mm: 2,2", "2,2", "record-number"),
    ("state: legible", "state: readable", "readable", "record-word"),
)
SURROUNDINGS = (
    {"TZ": "Pacific/Kiritimati", "LC_ALL": "C", "PYTHONHASHSEED": "0", "PYTHONUTF8": "0"},
    {"TZ": "America/Anchorage", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "4242", "PYTHONUTF8": "1"},
)


def lidoff(base: Path, *arguments: str) -> subprocess.CompletedProcess:
    return subprocess.run([*LIDOFF, *arguments], cwd=base, capture_output=True, text=True, check=False)


def files_of(site: Path) -> dict[str, str]:
    """The digest of every file of a site, by its path; of the text search's filters, without their order.

    Pagefind lists filters and the words of each in an order that differs from run to run, and names those files, and
    them alone, by their digests.
    """
    folder = site.resolve()
    found = {}
    for path in (path for path in sorted(folder.rglob("*")) if path.is_file()):
        name, content = path.relative_to(folder).as_posix(), path.read_bytes()
        if path.suffix == ".pf_meta":
            name, content = "pagefind/pf_meta", bytes(sorted(re.sub(rb"en_[0-9a-f]{7}", b"", gzip.decompress(content))))
        elif path.suffix == ".pf_filter":
            content = bytes(sorted(gzip.decompress(content)))
            name = f"pagefind/filter/{hashlib.sha256(content).hexdigest()}"
        elif path.name == "pagefind-entry.json":
            content = re.sub(rb'"hash":"\w+"', b"", content)
        found[name] = hashlib.sha256(content).hexdigest()
    return found


def write_record(base: Path, brand: str, model: str, text: str) -> Path:
    """A record of that brand and model, with the files that it names."""
    folder = base / "entries" / brand.lower() / model.lower()
    (folder / "photos").mkdir(parents=True)
    (folder / "logs").mkdir()
    colour = hashlib.sha256(f"{brand} {model}".encode()).hexdigest()[:6]
    Image.new("RGB", (64, 48), f"#{colour}").save(folder / "photos" / "board-top.jpg")
    (folder / "logs" / "phone.csv").write_text("t,v,i\n0,20.0,3.0\n60,20.0,2.9\n", encoding="utf-8")
    record = folder / "record.yaml"
    if brand != "Fernhollow":
        # another product, which never lay at the old path
        text = text.replace("brand: Fernhollow", f"brand: {brand}").replace("model: FH-65", f"model: {model}", 1)
        text = text.replace("  formerly: [fernhollow/fh65]\n", "")
    record.write_text(text, encoding="utf-8")
    return record


def write_base(base: Path, text: str, reverse: bool = False) -> Path:
    """A knowledge base of two invented products."""
    (base / "prose").mkdir(parents=True)
    (base / "prose" / "about.md").write_text("# About\n\nInvented.\n", encoding="utf-8")
    (base / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    products = [("Fernhollow", "FH-65"), OTHER]
    for brand, model in reversed(products) if reverse else products:
        write_record(base, brand, model, text)
    return base


@pytest.fixture
def base(tmp_path: Path, sample_text: str) -> Path:
    return write_base(tmp_path / "base", sample_text)


@pytest.fixture(scope="module")
def first_build(tmp_path_factory: pytest.TempPathFactory, sample_text: str) -> Path:
    base = write_base(tmp_path_factory.mktemp("first") / "base", sample_text)
    done = lidoff(base, "site")
    assert done.returncode == 0, done.stderr
    return base


@pytest.fixture
def built(first_build: Path, tmp_path: Path) -> Path:
    """A knowledge base whose site was built once."""
    return Path(shutil.copytree(first_build, tmp_path / "built", symlinks=True))


def edit(base: Path, old: str, new: str) -> None:
    record = base / RECORD
    text = record.read_text(encoding="utf-8")
    assert old in text
    record.write_text(text.replace(old, new, 1), encoding="utf-8")


def with_ten_faults(base: Path) -> list[tuple[str, int, int]]:
    """Rule, line and column of each of ten faults that now stand in the record, found by searching its text."""
    for old, new, _, _ in TEN_FAULTS:
        edit(base, old, new)
    text, places = (base / RECORD).read_text(encoding="utf-8"), []
    for _, new, pointed, rule in TEN_FAULTS:
        at = text.index(new) + new.index(pointed)
        places.append((rule, text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at)))
    return sorted(places, key=lambda place: place[1:])


def test_record_of_ten_faults_gives_ten_findings_at_their_places(base: Path) -> None:
    places = with_ten_faults(base)
    done = lidoff(base, "check", "--format", "json", RECORD)
    errors = [finding for finding in json.loads(done.stdout)["findings"] if finding["severity"] == "error"]
    assert done.returncode == 1
    assert [(finding["rule"], finding["line"], finding["column"]) for finding in errors] == places
    assert {finding["path"] for finding in errors} == {RECORD}
    assert all(finding["found"] and finding["expected"] and finding["fix"] for finding in errors)


def test_build_tells_the_same_ten_and_publishes_nothing(base: Path) -> None:
    places = with_ten_faults(base)
    done = lidoff(base, "site")
    assert done.returncode == 1
    for rule, line, column in places:
        assert done.stderr.count(f"{RECORD}:{line}:{column}: error[{rule}]") == 1
    assert "Nothing was published." in done.stderr
    assert not (base / ".lidoff" / "site").exists()


def test_broken_record_leaves_the_last_good_site(built: Path) -> None:
    site = built / ".lidoff" / "site"
    before, link = files_of(site), os.readlink(site)
    edit(built, "mass_g: 112", 'mass_g: "112"')
    assert lidoff(built, "site").returncode == 1
    assert (files_of(site), os.readlink(site)) == (before, link)
    edit(built, 'mass_g: "112"', "mass_g: 113")
    assert lidoff(built, "site").returncode == 0
    changed = {name for name, digest in files_of(site).items() if before.get(name) != digest}
    assert "products/fernhollow/fh-65/index.html" in changed and "about/index.html" not in changed


def kill_when(base: Path, has_come: Callable[[Path], bool]) -> None:
    """Start a build and end it without warning once the folder it works in looks like this."""
    with subprocess.Popen([*LIDOFF, "site"], cwd=base, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
        while process.poll() is None and not has_come(base / ".lidoff" / "staging"):
            time.sleep(0.002)
        process.send_signal(signal.SIGKILL)
    assert process.returncode == -signal.SIGKILL, "the build was over before it could be killed"


MOMENTS = {
    "nothing is written yet": lambda staging: staging.is_dir(),
    "some pages are written": lambda staging: (staging / "products").is_dir(),
    "nearly all is written": lambda staging: (staging / "data").is_dir(),
}


def test_killed_build_leaves_the_last_good_site(built: Path) -> None:
    site = built / ".lidoff" / "site"
    before = files_of(site)
    edit(built, "mass_g: 112", "mass_g: 113")
    for moment, has_come in MOMENTS.items():
        kill_when(built, has_come)
        assert files_of(site) == before, moment
    done = lidoff(built, "site")
    assert done.returncode == 0, done.stderr
    assert files_of(site) != before
    assert not (built / ".lidoff" / "staging").exists()


@pytest.mark.long
def test_build_killed_at_any_time_leaves_a_whole_site(base: Path) -> None:
    site = base / ".lidoff" / "site"
    assert lidoff(base, "site").returncode == 0
    whole = {"112": files_of(site)}
    edit(base, "mass_g: 112", "mass_g: 113")
    started = time.monotonic()
    assert lidoff(base, "site").returncode == 0
    takes = time.monotonic() - started  # of a build after one edit, as all that follow are
    whole["113"], mass, kills = files_of(site), "113", 0
    for number in range(1, 13):
        following = "112" if mass == "113" else "113"
        edit(base, f"mass_g: {mass}", f"mass_g: {following}")
        mass = following
        with subprocess.Popen(
            [*LIDOFF, "site"], cwd=base, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        ) as process:
            time.sleep(takes * number / 16)  # the last builds may well be faster than the one that was timed
            process.send_signal(signal.SIGKILL)
        kills += process.returncode == -signal.SIGKILL
        assert files_of(site) in whole.values(), f"killed after {number} sixteenths of a build"
    assert kills >= 6
    assert lidoff(base, "site").returncode == 0
    assert files_of(site) == whole[mass]


def build_in(base: Path, surroundings: Mapping[str, str]) -> subprocess.Popen:
    kept = {name: value for name, value in os.environ.items() if name not in ("SOURCE_DATE_EPOCH", "LANG", "LANGUAGE")}
    return subprocess.Popen(
        [*LIDOFF, "site"],
        cwd=base,
        env=kept | surroundings,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )


def assert_equal_sites(first: Path, second: Path) -> None:
    """Build both at the same time, each in other surroundings, and compare every file."""
    for process in [build_in(base, one) for base, one in zip((first, second), SURROUNDINGS, strict=True)]:
        _, faults = process.communicate()
        assert process.returncode == 0, faults
    one, other = files_of(first / ".lidoff" / "site"), files_of(second / ".lidoff" / "site")
    assert len(one) > 100
    assert {name for name in one.keys() | other.keys() if one.get(name) != other.get(name)} == set()


def test_two_builds_in_other_surroundings_are_equal(tmp_path: Path, sample_text: str) -> None:
    # the second folder's files are also made in another order, in which some file systems list them
    assert_equal_sites(
        write_base(tmp_path / "a", sample_text), write_base(tmp_path / "b b/ö", sample_text, reverse=True)
    )


@pytest.mark.long
def test_two_builds_of_the_demo_are_equal(tmp_path: Path) -> None:
    for name in ("a", "b b/ö"):
        for part in ("entries", "generator/lidoff/prose"):
            shutil.copytree(ROOT / part, tmp_path / name / part)
        shutil.copy(ROOT / "mkdocs.yml", tmp_path / name)
    assert_equal_sites(tmp_path / "a", tmp_path / "b b/ö")


def test_draft_is_never_published_and_holds_up_nobody(built: Path, sample_text: str) -> None:
    before = files_of(built / ".lidoff" / "site")
    text = sample_text.replace("status: published", "status: draft")
    drafts = {write_record(built, "Quillmere", "QM-30", text): 0}
    drafts[write_record(built, "Quillmere", "QM-60", text.replace("mass_g: 112", 'mass_g: "112"'))] = 1
    for draft, code in drafts.items():
        assert lidoff(built, "check", str(draft)).returncode == code, "who asks for a draft is told of it"
    assert lidoff(built, "check").returncode == 0
    done = lidoff(built, "site")
    assert done.returncode == 0, done.stderr
    assert files_of(built / ".lidoff" / "site") == before, "not a byte of the site tells of a draft"


@pytest.mark.parametrize(
    "arguments", [("check",), ("figures", RECORD), ("table",), ("rule", "record-number"), ("decode", "0x0801912C")]
)
def test_all_well_ends_with_0(arguments: tuple[str, ...], base: Path) -> None:
    assert lidoff(base, *arguments).returncode == 0


@pytest.mark.parametrize("arguments", [("check",), ("check", RECORD), ("site",)])
def test_wrong_record_ends_with_1(arguments: tuple[str, ...], base: Path) -> None:
    edit(base, "mass_g: 112", 'mass_g: "112"')
    assert lidoff(base, *arguments).returncode == 1


@pytest.mark.parametrize(
    "arguments",
    [
        ("no-such-command",), ("check", "--no-such-option"), ("check", "no/such/record.yaml"), ("rule", "no-such-rule"),
        ("table", "no-such-table"), ("site", "--out", "entries"), ("site", "--config", "no-such.yml"), ("decode", "zebra"),
    ],
)  # fmt: skip
def test_wrong_usage_ends_with_2(arguments: tuple[str, ...], base: Path) -> None:
    done = lidoff(base, *arguments)
    assert done.returncode == 2, done.stderr
    assert done.stderr and "Traceback" not in done.stderr


# stands for any fault that nobody thought of
FAULTY = """
import sys
import lidoff.record.load
def fail(*arguments, **options):
    raise ZeroDivisionError("a fault of the program")
lidoff.record.load.load_file = fail
from lidoff.__main__ import main
sys.argv = ["lidoff", *sys.argv[1:]]
main()
"""


@pytest.mark.parametrize("arguments", [("check",), ("site",), ("figures", RECORD), ("table", "technology-by-tier")])
def test_own_fault_ends_with_3_and_says_so(arguments: tuple[str, ...], base: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", FAULTY, *arguments], cwd=base, capture_output=True, text=True, check=False
    )
    assert done.returncode == 3
    assert "ZeroDivisionError: a fault of the program" in done.stderr
    assert "This is a fault of Lidoff, not of your record." in done.stderr
    assert done.stdout == ""
