"""Results at a place that machines share: back as they were or not at all, and a place that fails is named."""

import errno
from collections.abc import Iterator
from pathlib import Path
from uuid import uuid4

import fsspec
import pytest
from fsspec import AbstractFileSystem
from fsspec.implementations.memory import MemoryFileSystem

from lidoff.cache import shared_place as module
from lidoff.cache.shared_place import SharedPlace, Unreachable, shared_place
from lidoff.cache.store import Store

CONTENTS = {f"{number:02x}{number:062x}": bytes([number]) * 1000 for number in range(5)}


@pytest.fixture(params=["memory", "file"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[SharedPlace]:
    """A place of each kind: one with true folders, one without."""
    name = f"/{uuid4().hex}"
    yield shared_place(f"memory:/{name}/kept" if request.param == "memory" else f"file://{tmp_path}/kept/deep")
    if request.param == "memory" and fsspec.filesystem("memory").exists(name):
        fsspec.filesystem("memory").rm(name, recursive=True)


def test_what_was_kept_comes_back(place: SharedPlace) -> None:
    assert place.get_many(CONTENTS) == ({}, "") and place.get_many([]) == ({}, "")
    assert place.put_many(CONTENTS) == ""
    assert place.get_many([*CONTENTS, "ff" * 32]) == (CONTENTS, "")
    assert place.put_many(CONTENTS) == "" and place.put_many({}) == ""


@pytest.mark.parametrize("damage", [b"", b"x", b"cut"])
def test_what_is_damaged_counts_as_missing(place: SharedPlace, damage: bytes) -> None:
    place.put_many(CONTENTS)
    key = next(iter(CONTENTS))
    path = f"{place.root}/{key[:2]}/{key}"
    place.files.pipe_file(path, place.files.cat_file(path)[:-1] if damage == b"cut" else damage)
    kept, reason = place.get_many(CONTENTS)
    assert kept == {name: content for name, content in CONTENTS.items() if name != key} and reason == ""


def test_a_result_under_another_key_is_not_believed(place: SharedPlace) -> None:
    place.put_many(CONTENTS)
    one, other = list(CONTENTS)[:2]
    place.files.copy(f"{place.root}/{one[:2]}/{one}", f"{place.root}/{other[:2]}/{other}")
    assert other not in place.get_many(CONTENTS)[0]


def test_a_folder_and_a_place_hold_the_same_bytes(tmp_path: Path) -> None:
    key, content = next(iter(CONTENTS.items()))
    shared_place(f"file://{tmp_path}").put_many({key: content})
    assert Store(tmp_path / key[:2]).get(key) == content


class Full(MemoryFileSystem):
    """Takes so many files, then none."""

    protocol = "full"
    store: dict = {}
    cachable = False
    room = 2

    def pipe_file(self, path: str, value: bytes, **options: object) -> None:
        if len(self.store) >= self.room:
            raise OSError(errno.ENOSPC, "No space left on device")
        super().pipe_file(path, value, **options)


def test_a_full_place_says_so_and_keeps_what_it_took() -> None:
    Full.store.clear()
    place = SharedPlace(Full(), "/kept")
    assert "No space left on device" in place.put_many(CONTENTS)
    kept, reason = place.get_many(CONTENTS)
    assert len(kept) == 2 and reason == "" and kept.items() <= CONTENTS.items()


def test_a_place_that_breaks_down_is_told_and_the_rest_is_read() -> None:
    class Broken(Full):
        """Can't read one of its files."""

        def cat_file(self, path: str, *rest: object, **options: object) -> bytes:
            if path.endswith(list(CONTENTS)[1]):
                raise ConnectionError("reset by peer")
            return super().cat_file(path, *rest, **options)

    Full.store.clear()
    Full.room = 100
    place = SharedPlace(Broken(), "/kept")
    assert place.put_many(CONTENTS) == ""
    kept, reason = place.get_many(CONTENTS)
    assert len(kept) == 4 and reason == "reset by peer"


@pytest.mark.parametrize("url", ["nosuchkind://a/b", "hdfs://nobody.invalid/a"])
def test_a_url_that_can_not_be_used_is_named_with_a_fix(url: str) -> None:
    with pytest.raises(Unreachable) as raised:
        shared_place(url)
    lines = str(raised.value).splitlines()
    assert lines[0].startswith(f"found     picture_cache: {url}: ") and lines[1].startswith("expected  ")
    assert lines[2].startswith("fix       ") and len(lines[2]) > 12


class Buckets(AbstractFileSystem):
    """A kind of place whose paths begin with the name of a bucket, of which there is one."""

    protocol = "buckets"

    def exists(self, path: str, **options: object) -> bool:
        return path == "there"


def test_a_bucket_that_nobody_made_is_not_made_by_a_slip_of_the_pen() -> None:
    fsspec.register_implementation("buckets", Buckets, clobber=True)
    assert shared_place("buckets://there/kept/").root == "there/kept"
    with pytest.raises(Unreachable, match="there is no ther\n.*\nfix       make it first"):
        shared_place("buckets://ther/kept")


def test_without_fsspec_a_url_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "fsspec", None)
    with pytest.raises(Unreachable, match=r"fix       pip install 'lidoff\[cluster\]'"):
        module.shared_place("memory://x")
