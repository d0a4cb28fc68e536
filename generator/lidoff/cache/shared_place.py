"""Results kept at a place that several machines share: whatever fsspec reaches by a URL. A folder does without it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidoff.cache.store import seal, unsealed

if TYPE_CHECKING:
    from fsspec import AbstractFileSystem


class Unreachable(Exception):
    """A place that can't be used; the text says what was found, what was expected and how to mend it."""


@dataclass(frozen=True, slots=True)
class SharedPlace:
    """The results below one URL. They are read and written by the dozen, since each request to such a place takes long.

    Nothing is ever pruned: nobody knows who else uses the place.
    """

    files: AbstractFileSystem
    root: str

    def get_many(self, keys: Iterable[str]) -> tuple[dict[str, bytes], str]:
        """The results under those of the keys that have one to be trusted; and why others can't be read, or nothing."""
        paths = {self._path(key): key for key in keys}
        found = self.files.cat(list(paths), on_error="return") if paths else {}
        kept, reason = {}, ""
        for path, content in found.items():
            whole = unsealed(paths[path], content) if isinstance(content, bytes) else None
            if whole is not None:
                kept[paths[path]] = whole
            elif not isinstance(content, (bytes, FileNotFoundError)):
                reason = str(content) or type(content).__name__
        return kept, reason

    def put_many(self, contents: Mapping[str, bytes]) -> str:
        """Keep results; why that did not go well, or nothing. What is half written is not believed later."""
        paths = {self._path(key): seal(key, content) + content for key, content in contents.items()}
        try:
            self._write(paths)
        except Exception as fault:  # noqa: BLE001 - each kind of place fails in its own way, and the result is at hand
            return str(fault) or type(fault).__name__
        return ""

    def _write(self, paths: Mapping[str, bytes]) -> None:
        try:
            self.files.pipe(paths)
        except FileNotFoundError:  # a place that has true folders
            for folder in {path.rpartition("/")[0] for path in paths}:
                self.files.makedirs(folder, exist_ok=True)
            self.files.pipe(paths)

    def prune(self, fresh: Iterable[str]) -> None:
        """Leave everything as it is."""

    def _path(self, key: str) -> str:
        return f"{self.root}/{key[:2]}/{key}"


def shared_place(url: str) -> SharedPlace:
    """The place at a URL; raises Unreachable where it can't be read."""
    try:
        import fsspec
    except ImportError as missing:
        raise Unreachable(_unreachable(url, "no fsspec beside Lidoff", "pip install 'lidoff[cluster]'")) from missing
    try:
        files, root = fsspec.core.url_to_fs(url)
        # a bucket that nobody made is a slip of the pen; folders are made as they are needed
        bucket = root.partition("/")[0]
        is_there = files.exists(bucket or f"{root}/any") or not bucket
    except ImportError as missing:
        raise Unreachable(_unreachable(url, str(missing), "install the package for this kind of place")) from missing
    except Exception as fault:  # noqa: BLE001 - each kind of place fails in its own way
        reason = str(fault) or type(fault).__name__
        raise Unreachable(_unreachable(url, reason, "correct the URL, or see to the right to read there")) from fault
    if not is_there:
        raise Unreachable(_unreachable(url, f"there is no {bucket}", "make it first, or correct the URL"))
    return SharedPlace(files, root.rstrip("/"))


def _unreachable(url: str, reason: str, fix: str) -> str:
    return f"found     picture_cache: {url}: {reason}\nexpected  a place that can be read and written\nfix       {fix}"
