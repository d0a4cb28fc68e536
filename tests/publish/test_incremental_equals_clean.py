"""What an earlier build made is kept only while it is right: edits and damage by chance against a clean build."""

import ctypes
import importlib.util
import json
import os
import random
import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from copy import deepcopy
from dataclasses import replace
from pathlib import Path
from types import ModuleType

import pytest
import yaml

from lidoff.pages.website import bundles, pieces, seen_by_pages
from lidoff.pipeline import prepare
from lidoff.publish.pieces import LastSite, PieceWriter, Written
from lidoff.publish.shell import SLOT_NAMES, Addressing, Frames, Shell
from lidoff.publish.workers import shared_out
from lidoff.publish.writer import Writer
from lidoff.settings import Settings, read_settings

RECORDS = 4
FRAMES = Frames(
    {("", depth): Shell(("<html>", *(f"<{name}>" for name in SLOT_NAMES)), SLOT_NAMES) for depth in range(5)},
    Addressing("Test base", "https://example.org/"),
)


def bench_records() -> ModuleType:
    path = Path(__file__).parents[1] / "bench" / "make_records.py"
    spec = importlib.util.spec_from_file_location("make_records", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


RECORD_MAKER = bench_records()


class Base:
    """A knowledge base on disk whose product pages are written again and again."""

    def __init__(self, folder: Path, chance: random.Random) -> None:
        self.folder, self.chance, self.round = folder, chance, 0
        RECORD_MAKER.write(folder, RECORDS, seed=chance.randrange(1000))
        self.site, self.list_file = folder / "site-0", folder / "made.json"

    @property
    def records(self) -> list[Path]:
        return sorted((self.folder / "entries").glob("*/*/record.yaml"))

    def read(self) -> tuple[Path, dict]:
        path = self.chance.choice(self.records)
        return path, RECORD_MAKER.as_text(yaml.load(path.read_text(encoding="utf-8"), yaml.CSafeLoader))

    def write(self, path: Path, record: dict) -> None:
        path.parent.mkdir(parents=True, exist_ok=True)
        text = yaml.dump(record, Dumper=RECORD_MAKER._Dumper, sort_keys=False, allow_unicode=True, width=130)
        path.write_text(text, encoding="utf-8")

    def rebuild(
        self, frames: Frames = FRAMES, meanwhile: AbstractContextManager = nullcontext()
    ) -> tuple[Path, set[str]]:
        """The next site from what the last one left, and the addresses of the pages that were made anew."""
        self.round += 1
        fresh = self.folder / f"site-{self.round}"
        with meanwhile:
            last = LastSite(self.site, self.list_file).read()
            written = build(read_settings(self.folder / "mkdocs.yml"), fresh, last, frames)
        anew = {one.address for one in written if not is_one_file(fresh / first(one), self.site / first(one))}
        last.write(written)
        self.site = fresh
        return fresh, anew

    def clean(self, frames: Frames = FRAMES) -> Path:
        """The site made from nothing but the records."""
        fresh = self.folder / f"clean-{self.round}"
        shutil.rmtree(self.folder / ".lidoff", ignore_errors=True)
        build(read_settings(self.folder / "mkdocs.yml"), fresh, None, frames)
        return fresh


def first(written: Written) -> str:
    return next(iter(written.digests))


def is_one_file(one: Path, other: Path) -> bool:
    return other.exists() and one.samefile(other)


def build(settings: Settings, folder: Path, last: LastSite | None, frames: Frames) -> list[Written]:
    """Only what can be kept: all else is made every time. Of the pages of checks, which are alike, those of two."""
    folder.mkdir()
    context, tables = seen_by_pages(prepare(settings).shown, settings, False)
    kept = [one for one in (*bundles(context, tables), *pieces(context)) if one.inputs]
    found = [one for one in kept if not getattr(one, "address", "").startswith("/checks/") or is_chosen(one.address)]
    return list(shared_out(found, PieceWriter(Writer(folder), frames, last=last).write))


def is_chosen(address: str) -> bool:
    return address in ("/checks/rating-contradiction/", "/checks/essential-parts/")


def power(base: Base) -> None:
    path, record = base.read()
    record["product"]["rated_power_w"] = base.chance.choice([20, 30, 45, 65, 100, 140])
    base.write(path, record)


def number(base: Base) -> None:
    path, record = base.read()
    part = base.chance.choice(record["components"])
    part["part_number"] = f"ZX{base.chance.randrange(30)}"
    base.write(path, record)


def fewer_parts(base: Base) -> None:
    path, record = base.read()
    record["components"].pop()
    base.write(path, record)


def summary(base: Base) -> None:
    path, record = base.read()
    record["summary"] = f"Opened <again>, for the {base.chance.randrange(99)}th time."
    base.write(path, record)


def revision(base: Base) -> None:
    path, record = base.read()
    others = [one.parent.relative_to(base.folder / "entries").as_posix() for one in base.records]
    record["product"]["revision_of"] = base.chance.choice([*others, "no/body"])
    base.write(path, record)


def twin(base: Base) -> None:
    path, record = base.read()
    copied = deepcopy(record)
    copied["product"]["model"] += f" {base.round}"
    base.write(path.parents[1] / f"{path.parent.name}-{base.round}" / "record.yaml", copied)


def removal(base: Base) -> None:
    if len(base.records) > 2:
        shutil.rmtree(base.read()[0].parent)


def draft(base: Base) -> None:
    path, record = base.read()
    record["status"] = base.chance.choice(["draft", "published"])
    base.write(path, record)


def touched(base: Base) -> None:
    os.utime(base.read()[0])


def tiers(base: Base) -> None:
    config = base.folder / "mkdocs.yml"
    limits = base.chance.choice([[30, 65, 240], [20, 33, 45, 67, 100, 140, 240]])
    config.write_text(RECORD_MAKER.CONFIG.replace("- lidoff", f"- lidoff: {{tiers_w: {limits}}}"), encoding="utf-8")


def altered_page(base: Base) -> None:
    page = base.chance.choice(sorted((base.site / "products").rglob("index.html")))
    content = page.read_bytes()
    page.unlink()
    page.write_bytes(content.replace(b"h1", b"h2"))


def lost_page(base: Base) -> None:
    base.chance.choice(sorted((base.site / "products").rglob("index.html"))).unlink()


def damaged_list(base: Base) -> None:
    content = base.list_file.read_bytes()
    base.list_file.write_bytes(content[: base.chance.randrange(len(content))])


def foreign_list(base: Base) -> None:
    strange = [[], {"form": 1, "made": [1]}, {"form": 1, "made": {"x": {"y": 3}}}, {"form": 99, "made": {}}, "text"]
    base.list_file.write_text(json.dumps(base.chance.choice(strange)), encoding="utf-8")


def swapped_list(base: Base) -> None:
    """Each key is said to have the files of another."""
    content = json.loads(base.list_file.read_bytes())
    keys = list(content["made"])
    files = [content["made"][key] for key in keys]
    content["made"] = dict(zip(keys, files[1:] + files[:1], strict=True))
    base.list_file.write_text(json.dumps(content), encoding="utf-8")


EDITS = (power, number, fewer_parts, summary, revision, twin, removal, draft, touched, tiers)
DAMAGE = (altered_page, lost_page, damaged_list, foreign_list, swapped_list)


@pytest.mark.parametrize("rounds", [3, pytest.param(40, marks=pytest.mark.long)])
def test_after_any_edit_the_site_is_the_one_that_a_clean_build_makes(
    tmp_path: Path, digest_of: Callable, rounds: int
) -> None:
    chance = random.Random(rounds)
    base = Base(tmp_path, chance)
    base.rebuild()
    for _ in range(rounds):
        steps = [*chance.choices(EDITS, k=chance.randint(1, 3)), *chance.choices(DAMAGE, k=chance.randint(0, 1))]
        for step in steps:
            step(base)
        site, _ = base.rebuild()
        assert digest_of(site) == digest_of(base.clean()), [step.__name__ for step in steps]


def products(addresses: set[str]) -> set[str]:
    return {address for address in addresses if address.startswith("/products/")}


def test_only_what_was_edited_is_made_again(tmp_path: Path) -> None:
    base = Base(tmp_path, random.Random(1))
    assert len(products(base.rebuild()[1])) == RECORDS
    assert base.rebuild()[1] == set()
    summary(base)
    _, anew = base.rebuild()
    assert len(products(anew)) == 1
    # its parts, the comparisons that it stands in, and its groups; of the data as files nothing holds a summary
    kinds = {address.split("/")[1] for address in anew}
    assert kinds == {"products", "parts", "compare", "tiers", "brands", "topologies", "scale"}
    assert len({address for address in anew if address.startswith("/brands/")}) == 1


def test_a_copied_site_is_read_and_still_holds(tmp_path: Path, digest_of: Callable) -> None:
    base = Base(tmp_path, random.Random(5))
    site, _ = base.rebuild()
    base.site = tmp_path / "copied"
    shutil.copytree(site, base.site)
    assert base.rebuild()[1] == set()
    assert base.rebuild()[1] == set()
    altered_page(base)
    fresh, anew = base.rebuild()
    assert anew and digest_of(fresh) == digest_of(base.clean())


def test_another_frame_makes_every_page_again(tmp_path: Path, digest_of: Callable) -> None:
    base = Base(tmp_path, random.Random(2))
    _, all_pages = base.rebuild()
    other = replace(FRAMES, addressing=Addressing("Another name", "https://example.org/"))
    site, anew = base.rebuild(other)
    assert anew == all_pages - {""}  # files without a page have no frame
    assert digest_of(site) == digest_of(base.clean(other))


@pytest.mark.parametrize("damage", DAMAGE)
def test_damage_is_noticed(tmp_path: Path, digest_of: Callable, damage: Callable[[Base], None]) -> None:
    base = Base(tmp_path, random.Random(3))
    base.rebuild()
    damage(base)
    site, anew = base.rebuild()
    assert anew
    assert digest_of(site) == digest_of(base.clean())


@contextmanager
def only_what_permissions_allow() -> Iterator[None]:
    """Root lays down, for a while, what makes permissions mean nothing to it; whoever else runs the tests never had it."""
    if os.geteuid() != 0:
        yield
        return
    libc = ctypes.CDLL(None, use_errno=True)
    header, held = (ctypes.c_uint32 * 2)(0x20080522, 0), (ctypes.c_uint32 * 6)()  # version 3, this thread

    def call(function: str, data: ctypes.Array) -> None:
        if getattr(libc, function)(header, data):
            raise OSError(ctypes.get_errno(), function)

    call("capget", held)
    fewer = type(held)(*held)
    fewer[0] &= ~0b1110  # of the effective ones CAP_DAC_OVERRIDE, CAP_DAC_READ_SEARCH, CAP_FOWNER
    call("capset", fewer)
    try:
        yield
    finally:
        call("capset", held)


@contextmanager
def closed(folder: Path) -> Iterator[None]:
    """Nobody may enter a folder for a while, and that is so for whoever runs the tests."""
    folder.chmod(0)
    try:
        with only_what_permissions_allow():
            with pytest.raises(PermissionError):
                list(folder.iterdir())
            yield
    finally:
        folder.chmod(0o755)


@pytest.mark.skipif(os.name != "posix", reason="permissions of folders mean something else there")
def test_site_that_can_not_be_read_is_made_again(tmp_path: Path, digest_of: Callable) -> None:
    base = Base(tmp_path, random.Random(4))
    site, all_pages = base.rebuild()
    fresh, anew = base.rebuild(meanwhile=closed(site / "products"))
    assert products(anew) == products(all_pages)
    assert digest_of(fresh) == digest_of(base.clean())
