"""Folders that were looked at before are looked at again wherever anything came or went: the result is that of a first call."""

import os
import random
import shutil
import time
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import pytest

from lidoff.record import collection
from lidoff.record.collection import JUST_NOW_NS, SeenFolders, find_records

SECOND_NS = 1_000_000_000
FILES = ("record.yaml", "notes.txt", "photos/board.jpg", "photos/inside/layer.png", "logs/phone.csv", "photos/.hidden")
ODD_NAMES = ("other.yaml", "other.yml", "Photos", "aux.txt", "\u00e9.txt", "e\u0301.txt")
ODD = (*ODD_NAMES, "photos/other.yml")


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> None:
    """The clock of the search is ahead, so that nothing has changed just now and all that can be is remembered."""
    ahead = SimpleNamespace(time_ns=lambda: time.time_ns() + 60 * SECOND_NS)
    monkeypatch.setattr(collection, "time", ahead)


@pytest.fixture
def scanned(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The folders that are looked through from now on."""
    folders: list[str] = []
    scandir = os.scandir
    monkeypatch.setattr(os, "scandir", lambda folder: folders.append(str(folder)) or scandir(folder))
    return folders


class Base:
    """A knowledge base whose folders change by chance; each was last written at a time of its own, long ago."""

    def __init__(self, folder: Path, chance: random.Random) -> None:
        self.folder, self.entries, self.chance = folder, folder / "entries", chance
        self.count, self.set_to = 0, {}
        for brand in ("arden", "pell-lane"):
            for number in range(3):
                self.write(self.entries / brand / f"m-{number}" / "record.yaml")
        self.age()

    def write(self, file: Path) -> None:
        if is_free(file):
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text("", encoding="utf-8")

    def age(self) -> None:
        """A test makes many changes within one tick of the clock, which people do not."""
        for folder, _, _ in os.walk(self.folder):
            found = os.stat(folder)
            if self.set_to.get(found.st_ino) != found.st_mtime_ns:
                self.count += 1
                self.set_to[found.st_ino] = 10**18 + self.count * SECOND_NS
                os.utime(folder, ns=(self.set_to[found.st_ino],) * 2)

    def products(self) -> list[Path]:
        return sorted(path for path in self.entries.glob("*/*") if path.is_dir() and not path.is_symlink())

    def product(self) -> Path:
        return self.chance.choice(self.products() or [self.entries / "arden" / "m-0"])

    def inner(self) -> Path:
        """A folder or file somewhere in a product's folder."""
        return self.chance.choice(sorted(self.entries.glob("*/*/**/*")) or [self.product()])

    def come(self) -> None:
        self.write(self.product() / self.chance.choice(FILES))

    def come_empty(self) -> None:
        folder = self.product() / self.chance.choice(("photos", "logs", "photos/inside"))
        if is_free(folder):
            folder.mkdir(parents=True)

    def new_product(self) -> None:
        self.write(
            self.entries / self.chance.choice(("arden", "osk")) / f"m-{self.chance.randrange(5)}" / "record.yaml"
        )

    def go(self) -> None:
        take_away(self.chance.choice((self.inner, self.inner, self.product))())

    def rename(self) -> None:
        inner, names = ("record.yaml", "photos", "logs", "b.jpg"), ("m-0", "m-1", "m-7")
        old, to = self.chance.choice(((self.inner(), inner), (self.product(), names)))
        new = old.with_name(self.chance.choice(to))
        if old.exists() and not os.path.lexists(new):
            old.rename(new)

    def swap(self) -> None:
        """Two folders in each other's place: neither was written to."""
        one, other = self.product(), self.product()
        if one != other and one.exists() and other.exists():
            aside = self.folder / "aside"
            one.rename(aside)
            other.rename(one)
            aside.rename(other)

    def stray(self) -> None:
        self.write(self.product() / self.chance.choice(ODD))
        if self.chance.random() < 0.3:
            self.write(self.entries / "arden" / "loose.jpg")

    def link(self) -> None:
        link = self.product() / self.chance.choice(("photos", "link.jpg", "logs/link.csv"))
        if is_free(link) and link.parent.is_dir():
            link.symlink_to(self.entries)

    def mend(self) -> None:
        """Take away what is amiss anywhere, and give a record to every product."""
        for path in sorted(self.entries.rglob("*")):
            is_loose = path.is_file() and len(path.relative_to(self.entries).parts) < 3
            if path.is_symlink() or is_loose or (path.name in ODD_NAMES and os.path.lexists(path)):
                take_away(path)
        for folder in self.products():
            if not (folder / "record.yaml").is_file():
                shutil.rmtree(folder)
                self.write(folder / "record.yaml")

    def change(self) -> None:
        acts = (self.come, self.come, self.come_empty, self.new_product, self.go, self.go, self.rename, self.swap)
        self.chance.choice((*acts, self.stray, self.link, self.mend, self.mend))()
        self.age()


def is_free(path: Path) -> bool:
    """Whether anything can be put at a path: nothing is there, and all above it are folders or can be made."""
    return not os.path.lexists(path) and not any(one.is_symlink() or one.is_file() for one in path.parents)


def take_away(path: Path) -> None:
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)


@pytest.mark.parametrize("seed", [1, 2, 3, *(pytest.param(seed, marks=pytest.mark.long) for seed in range(4, 24))])
@pytest.mark.usefixtures("later")
def test_after_any_changes_all_is_as_a_first_call_finds_it(tmp_path: Path, seed: int, scanned: list[str]) -> None:
    base, seen_folders = Base(tmp_path, random.Random(seed)), {}
    saved = amiss = 0
    for _ in range(120):
        for _ in range(base.chance.choice((1, 1, 1, 4))):
            base.change()
        scanned.clear()
        anew = find_records(base.entries, base.folder)
        first = len(scanned)
        assert find_records(base.entries, base.folder, seen_folders) == anew
        second = len(scanned) - first
        assert second <= first
        saved += first - second
        amiss += bool(anew[1])
    assert saved > 100 and 10 < amiss < 120, "the memory was used, with and without something amiss"


def remembered(base: Path, seen_folders: SeenFolders, scanned: list[str]) -> bool:
    """Whether the one product's folder is not looked through; what is found is always that of a first call."""
    anew = find_records(base / "entries", base)
    scanned.clear()
    assert find_records(base / "entries", base, seen_folders) == anew
    return not any("fh-65" in folder for folder in scanned)


def folders_of(base: Path) -> list[Path]:
    folder = base / "entries" / "fernhollow" / "fh-65"
    return [folder, folder / "photos", folder / "logs"]


def test_a_folder_is_seen_folders_again_until_its_last_change_is_some_time_ago(
    knowledge_base: Path, scanned: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    seen_folders: SeenFolders = {}
    assert [remembered(knowledge_base, seen_folders, scanned) for _ in range(3)] == [False] * 3
    changed = max(max(os.stat(one).st_mtime_ns, os.stat(one).st_ctime_ns) for one in folders_of(knowledge_base))
    for ahead, expected in ((JUST_NOW_NS, [False, False]), (JUST_NOW_NS + 1, [False, True])):
        monkeypatch.setattr(collection, "time", SimpleNamespace(time_ns=lambda at=changed + ahead: at))
        assert [remembered(knowledge_base, seen_folders, scanned) for _ in range(2)] == expected


@pytest.mark.usefixtures("later")
@pytest.mark.parametrize("place", [0, 1, 2])
@pytest.mark.parametrize("ago_s", [0, 1, -3600])
def test_one_folder_that_changed_just_now_or_in_the_future_is_enough(
    knowledge_base: Path, scanned: list[str], place: int, ago_s: int
) -> None:
    seen_folders: SeenFolders = {}
    assert [remembered(knowledge_base, seen_folders, scanned) for _ in range(2)] == [False, True]
    now = collection.time.time_ns() - ago_s * SECOND_NS
    os.utime(folders_of(knowledge_base)[place], ns=(now, now))
    assert [remembered(knowledge_base, seen_folders, scanned) for _ in range(3)] == [False] * 3
    os.utime(folders_of(knowledge_base)[place], ns=(10**18, 10**18))
    assert [remembered(knowledge_base, seen_folders, scanned) for _ in range(2)] == [False, True]


def rename_yaml(folder: Path) -> None:
    (folder / "record.yaml").rename(folder / "record.yml")


@pytest.mark.usefixtures("later")
@pytest.mark.parametrize(
    "damage",
    [
        lambda folder: (folder / "other.yaml").write_text("", encoding="utf-8"),
        lambda folder: (folder / "photos" / "other.yml").write_text("", encoding="utf-8"),
        lambda folder: (folder / "logs" / "link.csv").symlink_to(folder / "logs" / "phone.csv"),
        lambda folder: (folder / "record.yaml").unlink(),
        lambda folder: (folder / "photos" / "BOARD-top.jpg").write_text("", encoding="utf-8"),
        lambda folder: os.mkfifo(folder / "photos" / "pipe.jpg"),
        rename_yaml,
    ],
)
def test_a_folder_in_which_something_is_amiss_is_never_remembered(
    knowledge_base: Path, scanned: list[str], damage: Callable[[Path], object]
) -> None:
    seen_folders: SeenFolders = {}
    remembered(knowledge_base, seen_folders, scanned)
    damage(folders_of(knowledge_base)[0])
    for folder in folders_of(knowledge_base):
        os.utime(folder, ns=(10**18, 10**18))
    assert find_records(knowledge_base / "entries", knowledge_base)[1] != ()
    for _ in range(3):
        assert not remembered(knowledge_base, seen_folders, scanned)
        assert seen_folders == {}


@pytest.mark.usefixtures("later")
def test_an_empty_folder_that_gets_a_file_is_seen_folders_again(knowledge_base: Path, scanned: list[str]) -> None:
    empty = folders_of(knowledge_base)[1] / "inside" / "layers"
    empty.mkdir(parents=True)
    for folder in (*folders_of(knowledge_base), empty, empty.parent):
        os.utime(folder, ns=(10**18, 10**18))
    seen_folders: SeenFolders = {}
    assert [remembered(knowledge_base, seen_folders, scanned) for _ in range(2)] == [False, True]
    (empty / "copper.jpg").write_text("", encoding="utf-8")
    assert [remembered(knowledge_base, seen_folders, scanned) for _ in range(2)] == [False, True]
    assert "photos/inside/layers/copper.jpg" in find_records(
        knowledge_base / "entries", knowledge_base, seen_folders
    )[0][0].companions  # fmt: skip


@pytest.mark.usefixtures("later")
def test_a_file_that_comes_by_copying_which_sets_the_folder_s_time_back_is_seen(
    knowledge_base: Path, scanned: list[str]
) -> None:
    """Programs that copy folders give each the time that it has where it came from, in every one of their runs."""
    photos = folders_of(knowledge_base)[1]
    os.utime(photos, ns=(10**18, 10**18))
    seen_folders: SeenFolders = {}
    assert [remembered(knowledge_base, seen_folders, scanned) for _ in range(2)] == [False, True]
    tick(photos)
    (photos / "second.jpg").write_text("", encoding="utf-8")
    os.utime(photos, ns=(10**18, 10**18))
    assert not remembered(knowledge_base, seen_folders, scanned)


def tick(folder: Path) -> None:
    """Until the clock of the files has gone on, a few thousandths of a second."""
    before, probe = os.stat(folder).st_ctime_ns, folder.parents[3] / "probe"
    probe.touch()
    while os.stat(probe).st_ctime_ns == before:
        probe.touch()
