"""Kept results: back as they were, or not at all."""

import os
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.cache.code_version import code_version
from lidoff.cache.store import ABANDONED_S, DAY_S, MARK, SPARE, Store

KEY, OTHER = "0123abcd", "4567ef01"
CONTENT = b"what was found" * 50


@pytest.fixture
def store(tmp_path: Path) -> Store:
    store = Store(tmp_path / "cache" / "records")
    assert store.put(KEY, CONTENT)
    return store


def test_what_was_kept_comes_back(store: Store) -> None:
    assert store.get(KEY) == CONTENT and store.get(OTHER) is None
    assert store.put(KEY, b"") and store.get(KEY) == b""


@pytest.mark.parametrize("length", [0, 1, len(MARK), len(MARK) + 15, len(MARK) + 16, len(CONTENT)])
def test_a_truncated_file_counts_as_missing(store: Store, length: int) -> None:
    file = store.folder / KEY
    file.write_bytes(file.read_bytes()[:length])
    assert store.get(KEY) is None and store.put(KEY, CONTENT) and store.get(KEY) == CONTENT


@given(place=st.integers(0, len(MARK) + 16 + len(CONTENT) - 1), flipped=st.integers(1, 255))
def test_one_changed_byte_is_noticed(tmp_path_factory: pytest.TempPathFactory, place: int, flipped: int) -> None:
    store = Store(tmp_path_factory.mktemp("flipped"))
    store.put(KEY, CONTENT)
    file = store.folder / KEY
    content = bytearray(file.read_bytes())
    content[place] ^= flipped
    file.write_bytes(content)
    assert store.get(KEY) is None


@given(junk=st.binary(max_size=300))
def test_any_other_bytes_are_noticed(tmp_path_factory: pytest.TempPathFactory, junk: bytes) -> None:
    store = Store(tmp_path_factory.mktemp("junk"))
    (store.folder / KEY).write_bytes(junk)
    assert store.get(KEY) is None


def test_a_result_under_another_key_is_noticed(store: Store) -> None:
    os.rename(store.folder / KEY, store.folder / OTHER)
    assert store.get(OTHER) is None


def test_a_file_of_another_user_counts_as_missing(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    own = os.getuid()
    monkeypatch.setattr(os, "getuid", lambda: own + 1)
    assert store.get(KEY) is None


@pytest.mark.parametrize("what", ["folder", "pipe", "link"])
def test_what_is_no_plain_file_counts_as_missing(store: Store, what: str) -> None:
    file = store.folder / KEY
    kept = file.rename(store.folder / OTHER)
    if what == "folder":
        file.mkdir()
    elif what == "pipe":
        os.mkfifo(file)
    else:
        file.symlink_to(kept)
    assert store.get(KEY) is None


def test_where_nothing_can_be_written_nothing_fails(tmp_path: Path) -> None:
    (tmp_path / "cache").write_text("a file where the folder should be")
    store = Store(tmp_path / "cache" / "records")
    assert not store.put(KEY, CONTENT)
    assert store.get(KEY) is None
    store.prune([])
    assert (tmp_path / "cache").is_file()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_leaves_nothing_half_written(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    opened = os.open

    def full(path: str, flags: int, mode: int = 0o777) -> int:
        if flags & os.O_CREAT:
            os.close(opened(path, flags, mode))
            return opened("/dev/full", os.O_WRONLY)
        return opened(path, flags, mode)

    monkeypatch.setattr(os, "open", full)
    assert not store.put(OTHER, CONTENT)
    monkeypatch.undo()
    assert os.listdir(store.folder) == [KEY]


def test_many_writers_of_one_key_leave_one_whole_result(store: Store) -> None:
    with ThreadPoolExecutor(8) as pool:
        assert all(pool.map(lambda _: store.put(KEY, CONTENT) and store.get(KEY) == CONTENT, range(200)))
    assert os.listdir(store.folder) == [KEY]


def test_pruning_keeps_what_is_used_and_as_much_again(store: Store) -> None:
    for number in range(SPARE + 20):
        store.put(f"{number:08x}", b"old")
        os.utime(store.folder / f"{number:08x}", (number, number))
    dead, busy = store.folder / "new-dead", store.folder / "new-busy"
    dead.write_bytes(b"")
    os.utime(dead, (ABANDONED_S, ABANDONED_S))
    busy.write_bytes(b"")
    store.prune([KEY])
    left = set(os.listdir(store.folder))
    assert KEY in left and busy.name in left and dead.name not in left
    assert f"{19:08x}" not in left and f"{20:08x}" in left and len(left) == SPARE + 2


def test_the_version_of_the_code_changes_with_its_sources(tmp_path: Path) -> None:
    def version() -> str:
        code_version.cache_clear()
        return code_version(tmp_path / "room", tmp_path / "module.py")

    (tmp_path / "room").mkdir()
    (tmp_path / "module.py").write_text("A = 1")
    (tmp_path / "room" / "inner.py").write_text("B = 1")
    first = version()
    (tmp_path / "room" / "inner.pyc").write_text("no source")
    assert version() == first
    (tmp_path / "room" / "inner.py").write_text("B = 2")
    second = version()
    (tmp_path / "room" / "inner.py").rename(tmp_path / "room" / "other.py")
    assert len({first, second, version()}) == 3


def aged(store: Store, key: str, days: float) -> None:
    store.put(key, b"made")
    then = time.time() - days * DAY_S
    os.utime(store.folder / key, (then, then))


def test_pruning_by_age_drops_what_was_of_no_use_for_long(store: Store) -> None:
    for key, days in {"now": 0, "week": 6, "month": 30, "season": 89, "spent": 91}.items():
        aged(store, key, days)
    store.prune_by_age()
    assert set(os.listdir(store.folder)) == {KEY, "now", "week", "month", "season"}


def test_pruning_by_age_bounds_the_number_and_spares_the_present_build(store: Store) -> None:
    present = [f"present-{number}" for number in range(SPARE + 10)]
    older = [f"older-{number:03}" for number in range(2 * SPARE)]
    for key in present:
        aged(store, key, 0.5)
    for number, key in enumerate(older):
        aged(store, key, 60 - number / 10)
    store.prune_by_age()
    left = set(os.listdir(store.folder))
    assert left == {KEY, *present, *older[-(SPARE + 11) :]}


def test_reading_a_result_makes_it_young_again(store: Store) -> None:
    aged(store, "old", 200)
    aged(store, "older", 300)
    assert store.get("old") == b"made"
    store.prune_by_age()
    assert set(os.listdir(store.folder)) == {KEY, "old"}


def test_a_run_that_breaks_off_leaves_nothing_half_written(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(os, "replace", stop)
        with pytest.raises(KeyboardInterrupt):
            store.put(OTHER, CONTENT)
    assert os.listdir(store.folder) == [KEY]
