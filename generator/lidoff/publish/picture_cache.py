"""Variants of pictures that were made once, kept by what they are made from and how."""

import hashlib
import os
import tempfile
from dataclasses import dataclass
from functools import cache
from importlib.metadata import version
from importlib.util import find_spec
from pathlib import Path

from lidoff.website import PictureFile

ENCODER = ("lidoff.publish.picture_encoder", "lidoff.bench.picture_colour", "lidoff.bench.picture_file")
"""The modules whose text decides what a variant looks like: it is part of the key under which the variant is kept."""
_DIGEST_BYTES = 32


@dataclass(frozen=True, slots=True)
class PictureCache:
    """One file a variant: the digest of its content, then the content. What does not fit its digest is made anew."""

    folder: Path

    def get(self, key: str) -> bytes | None:
        """The variant; None where it was never made or is damaged."""
        try:
            with open(self._path(key), "rb") as file:
                digest, content = file.read(_DIGEST_BYTES), file.read()
        except FileNotFoundError:
            return None
        return content if hashlib.sha256(content).digest() == digest else None

    def put(self, key: str, content: bytes) -> None:
        """Keep a variant; a build that dies meanwhile leaves nothing half written under the key."""
        path = self._path(key)
        os.makedirs(os.path.dirname(path), exist_ok=True)
        handle, beside = tempfile.mkstemp(dir=os.path.dirname(path), prefix="new-")
        try:
            with open(handle, "wb") as file:
                file.write(hashlib.sha256(content).digest() + content)
            os.replace(beside, path)
        except BaseException:
            os.unlink(beside)
            raise

    def _path(self, key: str) -> str:
        return f"{self.folder}/{key[:2]}/{key}"


def key_of(picture: PictureFile) -> str:
    """What a variant is kept under: the digest of its master, of what is wanted of it, and of the encoder."""
    ending = picture.path.rpartition(".")[2]
    text = f"{picture.sha256} {ending} {picture.size} {picture.box} {encoder_version()}"
    return hashlib.sha256(text.encode()).hexdigest()


@cache
def encoder_version() -> str:
    """The text of our encoder, its settings included, and the version of the library, which itself stays unloaded."""
    text = b"".join(Path(find_spec(module).origin).read_bytes() for module in ENCODER)
    return f"{hashlib.sha256(text).hexdigest()} pillow {version('pillow')}"
