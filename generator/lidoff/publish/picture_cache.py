"""Variants of pictures that were made once, kept by what they are made from and how."""

import hashlib
import platform
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.metadata import version
from importlib.util import find_spec
from pathlib import Path
from typing import Protocol

from lidoff.cache.store import Store
from lidoff.settings import Settings
from lidoff.website import PictureFile

ENCODER = ("lidoff.publish.picture_encoder", "lidoff.bench.picture_colour", "lidoff.bench.picture_file")
"""The modules whose text decides what a variant looks like: it is part of the key under which the variant is kept."""
FOLDER = ".lidoff/cache/pictures"


class Cache(Protocol):
    """Where variants are kept; what does not fit its digest counts as missing."""

    def get_many(self, keys: Iterable[str]) -> tuple[Mapping[str, bytes], str]:
        """The variants under those of the keys that have one; and why others could not be read, or nothing."""
        ...

    def put_many(self, contents: Mapping[str, bytes]) -> str:
        """Keep variants; why that did not go well, or nothing. It is never half done under a key."""
        ...

    def prune(self, fresh: Iterable[str]) -> None:
        """Make room where the variants under these keys have just come in."""
        ...


@dataclass(frozen=True, slots=True)
class PictureCache:
    """A folder of this machine, for this knowledge base alone."""

    folder: Path

    def get(self, key: str) -> bytes | None:
        """The variant; None where it was never made or is damaged."""
        return self._drawer(key).get(key)

    def put(self, key: str, content: bytes) -> bool:
        """Keep a variant; whether that went well."""
        return self._drawer(key).put(key, content)

    def get_many(self, keys: Iterable[str]) -> tuple[dict[str, bytes], str]:
        """The variants under those of the keys that have one. One that can't be read counts as never made."""
        return {key: content for key in keys if (content := self.get(key)) is not None}, ""

    def put_many(self, contents: Mapping[str, bytes]) -> str:
        """Keep variants; why that did not go well, or nothing."""
        is_kept = all([self.put(key, content) for key, content in contents.items()])
        return "" if is_kept else f"{self.folder} is full or can't be written to"

    def prune(self, fresh: Iterable[str]) -> None:
        """Make room in the drawers that have just grown: a drawer that did not grow needs none."""
        for name in sorted({key[:2] for key in fresh}):
            Store(self.folder / name).prune_by_age()

    def _drawer(self, key: str) -> Store:
        return Store(self.folder / key[:2])


def picture_cache(settings: Settings) -> Cache:
    """Where a knowledge base keeps its variants; raises Unreachable where that is a URL that can't be used."""
    where = settings.picture_cache or FOLDER
    if "://" not in where:
        return PictureCache(settings.base / where)
    # fsspec is loaded for a URL alone
    from lidoff.cache.shared_place import shared_place

    return shared_place(where)


def key_of(picture: PictureFile) -> str:
    """What a variant is kept under: the digest of its master, of what is wanted of it, and of the encoder."""
    ending = picture.path.rpartition(".")[2]
    text = f"{picture.sha256} {ending} {picture.size} {picture.box} {encoder_version()}"
    return hashlib.sha256(text.encode()).hexdigest()


@cache
def encoder_version() -> str:
    """The text of our encoder, its settings included, and the library's version for this kind of processor.

    The library itself stays unloaded.
    """
    text = b"".join(Path(find_spec(module).origin).read_bytes() for module in ENCODER)
    return f"{hashlib.sha256(text).hexdigest()} pillow {version('pillow')} {platform.machine()}"
