"""The stock that impact keeps: with it comes out what comes out of both states as wholes, and it is believed only if whole."""

import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from tests.impact.conftest import git, lidoff
from tests.impact.whole import whole_impact

from lidoff.cache.store import Store
from lidoff.impact import kept as kept_module
from lidoff.impact import records as records_module
from lidoff.impact.assess import impact_of
from lidoff.impact.change import Impact
from lidoff.impact.history import past
from lidoff.impact.report import as_json
from lidoff.impact.stock import Head, Stock, as_bytes, from_bytes
from lidoff.record.collection import RecordFile
from lidoff.settings import Settings, read_settings

DEMO = Path(__file__).resolve().parents[2]
Edit = Callable[[list[Path], Random], None]

CONFIG = """\
site_name: Some records
site_url: https://example.org/
theme: {name: material, font: false}
docs_dir: prose
plugins:
  - lidoff:
      tables:
        plugs: {rows: plug_system, columns: brand, where: {kind: wall-charger}}
        energy: {rows: port_count, figure: stored_energy_j}
"""


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's records, without pictures but for those of one brand, under git; the cache stays from test to test."""
    folder = tmp_path_factory.mktemp("base")
    shutil.copytree(DEMO / "entries", folder / "entries", ignore=shutil.ignore_patterns("photos"))
    shutil.copytree(DEMO / "entries/pinderby", folder / "entries/pinderby", dirs_exist_ok=True)
    (folder / "prose").mkdir()
    (folder / "prose" / "index.md").write_text("# Records\n", encoding="utf-8")
    (folder / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    (folder / ".gitignore").write_text(".lidoff/\n*.bak\n", encoding="utf-8")
    git(folder, "init", "--quiet", "--initial-branch=main")
    git(folder, "add", ".")
    git(folder, "commit", "--quiet", "-m", "first")
    return folder


@pytest.fixture
def settings(base: Path) -> Settings:
    git(base, "checkout", "--quiet", ".")
    git(base, "clean", "--quiet", "-fd", "entries")
    return read_settings(base / "mkdocs.yml")


def _put(file: Path, pattern: str, new: str | Callable[[re.Match], str]) -> None:
    """Replace the first match, if there is one."""
    text = file.read_text(encoding="utf-8")
    file.write_text(re.sub(pattern, new, text, count=1, flags=re.MULTILINE), encoding="utf-8")


def _slug(file: Path) -> str:
    return "/".join(file.parts[-3:-1])


def _product_line(file: Path, line: str) -> None:
    _put(file, r"^  kind: .*$", lambda found: f"{found[0]}\n  {line}")


def _add(files: list[Path], random: Random) -> None:
    folder = random.choice(files).parent
    there = folder.parent / f"xx-{random.randrange(90) + 10}"
    shutil.copytree(folder, there, dirs_exist_ok=True)
    _put(there / "record.yaml", r"^  model: .*$", f"  model: {there.name.upper()}")


def _rename(files: list[Path], random: Random) -> None:
    folder = random.choice(files).parent
    there = folder.parent / "yy-1"
    folder.rename(there)
    _put(there / "record.yaml", r"^  model: .*$", "  model: YY-1")
    _product_line(there / "record.yaml", f"formerly: [{_slug(folder / 'record.yaml')}]")


EDITS: dict[str, Edit] = {
    "power": lambda files, random: _put(
        random.choice(files), r"rated_power_w: \S+", f"rated_power_w: {random.randrange(9, 150)}"
    ),
    "mass": lambda files, random: _put(random.choice(files), r"mass_g: \S+", "mass_g: 901"),
    "year": lambda files, random: _put(random.choice(files), r"launched: \S+", "launched: 2003"),
    "topology": lambda files, random: _put(random.choice(files), r"^  pfc: .*$", "  pfc: none"),
    "capital letters": lambda files, random: _put(
        random.choice(files), r"maker: ([^,}\n]+)", lambda found: found[0].upper().replace("MAKER", "maker")
    ),
    "a slip": lambda files, random: _put(random.choice(files), r"maker: (..).(.+)", r"maker: \1\2"),
    "another part": lambda files, random: _put(random.choice(files), r"part_number: [^,}\n]+", "part_number: AB-123"),
    "another rating": lambda files, random: _put(random.choice(files), r"voltage_v: \d+", "voltage_v: 17"),
    "another role": lambda files, random: _put(random.choice(files), r"roles: \[[^]]+\]", "roles: [varistor]"),
    "a line above": lambda files, random: _put(random.choice(files), r"\A", "# one line more\n"),
    "an added record": _add,
    "a renamed record": _rename,
    "a removed record": lambda files, random: shutil.rmtree(random.choice(files).parent),
    "a revision of nothing": lambda files, random: _product_line(
        random.choice(files), f"revision_of: {_slug(random.choice(files))}x"
    ),
    "a revision": lambda files, random: _product_line(
        random.choice(files), f"revision_of: {_slug(random.choice(files))}"
    ),
    "a former path": lambda files, random: _product_line(
        random.choice(files), f"formerly: [{_slug(random.choice(files))}]"
    ),
    "a draft": lambda files, random: _put(random.choice(files), "status: published", "status: draft"),
    "an invalid record": lambda files, random: _put(random.choice(files), r"mass_g: \S+", "mass_g: heavy"),
    "a real one among invented": lambda files, random: _put(random.choice(files), r"^demo: true\n", ""),
    "another label": lambda files, random: _put(
        random.choice(files), r"^  manufacturer: .*$", "  manufacturer: Others"
    ),
}


def _edit(base: Path, names: list[str], random: Random) -> None:
    for name in names:
        EDITS[name](sorted(base.glob("entries/*/*/record.yaml")), random)


def _impact(settings: Settings) -> Impact:
    return impact_of(settings, past(settings.base, "HEAD"), "HEAD")


def _compared(settings: Settings, tmp_path: Path) -> Impact:
    found = _impact(settings)
    assert as_json(found) == as_json(whole_impact(settings, tmp_path / "then"))
    return found


@pytest.mark.long
@pytest.mark.parametrize("name", EDITS)
def test_each_edit_means_what_both_states_as_wholes_say(
    name: str, base: Path, settings: Settings, tmp_path: Path
) -> None:
    _edit(base, [name], Random(name))
    assert _compared(settings, tmp_path).changes, "the edit finds something to edit"


@pytest.mark.long
@pytest.mark.parametrize("seed", range(12))
def test_several_edits_mean_what_both_states_as_wholes_say(
    seed: int, base: Path, settings: Settings, tmp_path: Path
) -> None:
    random = Random(seed)
    _edit(base, random.sample(list(EDITS), random.randrange(2, 6)), random)
    _compared(settings, tmp_path)


def test_a_run_with_a_stock_reads_few_records(base: Path, settings: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    _edit(base, ["mass"], Random(1))
    first = _impact(settings)
    read: list[str] = []

    def kept_file(file: RecordFile, key: str, desk: object) -> object:
        read.append(file.relative)
        return found(file, key, desk)

    found = records_module.kept_file
    monkeypatch.setattr(records_module, "kept_file", kept_file)
    monkeypatch.setattr(kept_module, "survey", lambda settings: pytest.fail("every record is looked at"))
    assert _impact(settings) == first and len(first.changes) == 1
    everything = {file.relative_to(base).as_posix() for file in base.glob("entries/*/*/record.yaml")}
    assert set(read) < everything and len(read) == len(set(read)), "those held against the changed one, once each"


def _stock_file(base: Path) -> Path:
    return max((base / ".lidoff/cache/impact").iterdir(), key=lambda file: file.stat().st_mtime)


def _other_stock(base: Path, file: Path) -> None:
    """A stock in the right form and under the right key, of other records."""
    store = Store(file.parent)
    stock = from_bytes(store.get(file.name))
    heads = tuple(Head(f"elsewhere/{head.path}", "", True, True) for head in stock.heads)
    store.put(file.name, as_bytes(Stock(heads, stock.findings, stock.topics, stock.groups)))


@pytest.mark.parametrize(
    "damage",
    [
        lambda base, file: file.write_bytes(b""),
        lambda base, file: file.write_bytes(file.read_bytes()[:-1]),
        lambda base, file: file.write_bytes(file.read_bytes().replace(b"record.yaml", b"record.yamm", 1)),
        lambda base, file: Store(file.parent).put(file.name, b"\x93\x01\x02\x03"),
        lambda base, file: (file.unlink(), file.mkdir()),
        lambda base, file: (file.unlink(), file.symlink_to(base / "mkdocs.yml")),
        _other_stock,
    ],
    ids=["empty", "cut short", "altered", "of another form", "a folder", "a link", "of other records"],
)
def test_a_stock_that_is_not_whole_is_taken_anew(
    damage: Callable[[Path, Path], object], base: Path, settings: Settings
) -> None:
    _edit(base, ["a removed record", "mass"], Random(5))
    first = _impact(settings)
    assert _impact(settings) == first and first.cells and first.changes
    file = _stock_file(base)
    damage(base, file)
    assert _impact(settings) == first
    if file.is_dir():
        file.rmdir()


def test_another_option_or_an_ignored_record_needs_another_stock(base: Path, settings: Settings) -> None:
    _impact(settings)
    files = {file.name for file in (base / ".lidoff/cache/impact").iterdir()}
    _impact(replace(settings, tiers_w=(30.0, 60.0)))
    (base / "entries/pinderby/pb-12/record.bak").write_text("ignored\n", encoding="utf-8")
    _impact(settings)
    added = {file.name for file in (base / ".lidoff/cache/impact").iterdir()} - files
    assert len(added) == 2
    (base / "entries/pinderby/pb-12/record.bak").unlink()


def test_a_run_with_a_stock_loads_no_library_of_tables(base: Path, settings: Settings) -> None:
    _edit(base, ["a removed record", "year"], Random(2))
    _impact(settings)
    code = (
        "import sys\nfrom lidoff.cli import main\n"
        "main(['impact', '--base', 'HEAD', '--format', 'json'], standalone_mode=False)\n"
        "sys.exit(f\"loaded {sys.modules.keys() & {'pandas', 'numpy', 'altair', 'PIL'}}\""
        " if sys.modules.keys() & {'pandas', 'numpy', 'altair', 'PIL'} else 0)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=base, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert '"cells": [\n' in done.stdout


def test_the_command_says_the_same_in_every_form_with_and_without_a_stock(base: Path, settings: Settings) -> None:
    _edit(base, ["power", "an added record"], Random(3))
    forms = ("text", "markdown", "json")
    shutil.rmtree(base / ".lidoff/cache/impact", ignore_errors=True)
    without = []
    for form in forms:
        without.append(lidoff(base, "impact", "--base", "HEAD", "--format", form).stdout)
        shutil.rmtree(base / ".lidoff/cache/impact")
    _impact(settings)
    assert [lidoff(base, "impact", "--base", "HEAD", "--format", form).stdout for form in forms] == without
    assert all(len(text) > 1000 for text in without)
