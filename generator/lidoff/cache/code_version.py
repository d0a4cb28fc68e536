"""What a result owes to the program: sources, libraries and interpreter."""

import hashlib
import os
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import yaml

SOURCES = (".py", ".csv", ".json", ".yaml", ".j2")


@cache
def code_version(*parts: Path) -> str:
    """Digest of files and folders of sources, and of what is installed beside them."""
    digest = hashlib.blake2b(digest_size=16)
    digest.update(repr((sys.version, sys.byteorder, sorted(_installed()))).encode())
    for part in parts:
        for path in sorted(_sources(str(part))):
            content = Path(path).read_bytes()
            digest.update(f"{os.path.relpath(path, part.parent)} {len(content)}\n".encode())
            digest.update(content)
    return digest.hexdigest()


def _sources(path: str) -> Iterator[str]:
    if not os.path.isdir(path):
        yield path
        return
    for folder, _, names in os.walk(path):
        yield from (os.path.join(folder, name) for name in names if name.endswith(SOURCES))


def _installed() -> Iterator[str]:
    """Names and versions of the libraries beside the one that reads YAML."""
    beside = Path(yaml.__file__).resolve().parents[1]
    yield from (name for name in os.listdir(beside) if name.endswith((".dist-info", ".egg-info")))
