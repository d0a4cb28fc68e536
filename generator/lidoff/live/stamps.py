"""When the files of a record were last written: what tells an edit without reading them."""

import os
from pathlib import Path

from lidoff.bench.pictures import has_picture_ending
from lidoff.examination.keys import LOGS
from lidoff.record.collection import RecordFile, find_records
from lidoff.settings import Settings

Stamp = tuple[tuple[int, int], ...]


def stamps_of(settings: Settings) -> dict[str, Stamp]:
    """The stamp of every record file there is, by its path."""
    files, _ = find_records(settings.entries_folder, settings.base)
    return {file.relative: stamp_of(file) for file in files}


def stamp_of(file: RecordFile) -> Stamp:
    """When a record and the logs and pictures beside it were last written, and how long they are."""
    beside = sorted([name for name in file.companions if name.endswith(LOGS) or has_picture_ending(name)])
    return tuple([_written(path) for path in (file.path, *(file.path.parent / name for name in beside))])


def _written(path: Path) -> tuple[int, int]:
    try:
        status = os.stat(path)
    except FileNotFoundError:
        # it went away between the listing and this line; the next refresh sees it gone
        return (0, 0)
    return (status.st_mtime_ns, status.st_size)
