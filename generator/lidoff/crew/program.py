"""What a result owes to whoever made it: two programs that agree in all of this make the same bytes."""

import hashlib
import os
import platform
import sys
from collections.abc import Mapping
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from lidoff.cache.code_version import sources
from lidoff.record.schema import schema_folder

PACKAGE = Path(__file__).resolve().parents[1]
SCHEMA = os.path.join("packaged_schema", "")  # only where Lidoff was installed without its repository
LIBRARIES = ("pillow", "numpy", "pandas", "pyyaml", "jsonschema", "jsonschema-rs", "msgspec")
"""Those that have a say in what is read from a record and in how its pictures look."""
CODECS = ("libjpeg_turbo", "webp", "zlib")


@cache
def program() -> Mapping[str, str]:
    """What runs in this process, part by part."""
    # loaded here: whoever works alone need not know
    from PIL import features

    libraries = {name: _version(name) for name in LIBRARIES}
    codecs = {f"{name} in pillow": str(features.version(name)) for name in CODECS}
    return {
        "Lidoff's sources": _digest(str(PACKAGE)),
        "Lidoff's schema": _digest(str(schema_folder())),
        "Python": f"{platform.python_implementation()} {sys.version_info.major}.{sys.version_info.minor}",
        "processor": f"{platform.machine()} {sys.byteorder}",
        **libraries,
        **codecs,
    }


def differences(found: Mapping[str, str], expected: Mapping[str, str]) -> tuple[str, str]:
    """What another program has in place of ours, and what ours has; both empty where they agree."""
    names = [name for name in {**expected, **found} if found.get(name) != expected.get(name)]
    return tuple(", ".join(f"{name} {which.get(name, 'unknown')}" for name in names) for which in (found, expected))


def _digest(folder: str) -> str:
    digest = hashlib.blake2b(digest_size=6)
    for path in sorted(sources(folder)):
        name = os.path.relpath(path, folder)
        if not name.startswith(SCHEMA):
            digest.update(f"{name} {os.path.getsize(path)}\n".encode())
            digest.update(Path(path).read_bytes())
    return digest.hexdigest()


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "none"
