"""The files of records: which there are, and writing one whole or not at all."""

import os
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path

from lidoff.record.identity import RECORD_NAME

_MISNAMED = ("record.yml", "Record.yaml")


def record_files(paths: Iterable[Path]) -> Iterator[Path]:
    """The record files at or below the paths, and those that only have the wrong ending; links are not followed."""
    for path in paths:
        if path.is_file():
            yield path
            continue
        for folder, folders, names in os.walk(path):
            folders.sort()
            candidates = [name for name in (RECORD_NAME, *_MISNAMED) if name in names]
            file = Path(folder, *candidates[:1])
            if file.is_file() and not file.is_symlink():
                yield file


def write_atomically(file: Path, content: bytes) -> None:
    """Put new content in a file's place in one step; its rights stay. Raises OSError, and then the old stays."""
    number, name = tempfile.mkstemp(prefix=f".{file.name}.", dir=file.parent)
    beside = Path(name)
    try:
        with os.fdopen(number, "wb") as stream:
            stream.write(content)
        if file.exists():
            os.chmod(beside, file.stat().st_mode & 0o7777)
        os.replace(beside, file)
    except OSError:
        beside.unlink(missing_ok=True)
        raise


def write_new(file: Path, content: bytes) -> None:
    """Write a file that is not there yet, whole or not at all. Raises FileExistsError where something has its name."""
    number, name = tempfile.mkstemp(prefix=f".{file.name}.", dir=file.parent)
    beside = Path(name)
    try:
        with os.fdopen(number, "wb") as stream:
            stream.write(content)
        os.chmod(beside, 0o666 & ~_umask())
        os.link(beside, file)
    finally:
        beside.unlink(missing_ok=True)


def _umask() -> int:
    """The rights that new files of this process are without; it can be read only by setting it."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask
