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
    digest = hashlib.sha256()
    digest.update(repr((sys.version, sys.byteorder, sorted(_installed()))).encode())
    for part in parts:
        above = os.path.join(part.parent, "")
        for path in sorted(sources(str(part))):
            # hundreds of files are read at every run: without a buffer, which would look at each once more
            with open(path, "rb", buffering=0) as file:
                content = file.read()
            digest.update(f"{path.removeprefix(above)} {len(content)}\n".encode())
            digest.update(content)
    return digest.hexdigest()[:32]


def sources(path: str) -> Iterator[str]:
    """A file, or all files of sources below a folder."""
    if not os.path.isdir(path):
        yield path
        return
    for folder, _, names in os.walk(path):
        yield from (os.path.join(folder, name) for name in names if name.endswith(SOURCES))


def _installed() -> Iterator[str]:
    """Names and versions of the libraries beside the one that reads YAML."""
    beside = Path(yaml.__file__).resolve().parents[1]
    yield from (name for name in os.listdir(beside) if name.endswith((".dist-info", ".egg-info")))
