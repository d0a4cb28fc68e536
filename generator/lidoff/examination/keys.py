"""The keys under which results are kept: digests of all that a result rests on.

Records and logs count by their content. Pictures are too large to be read at every run: they count by name, size and
the time at which they were last written.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from lidoff.examination.desk import Desk, digest
from lidoff.record.collection import RecordFile

LOGS = (".csv", ".tsv", ".txt", ".log", ".dat")
FOR_OTHERS = "-for-others"


@dataclass(frozen=True, slots=True)
class Job:
    """One file to be examined; ``is_in_full`` is False where it is read for other records' sake only."""

    file: RecordFile
    key: str
    is_in_full: bool

    @property
    def name(self) -> str:
        """The name under which the result is kept; empty where none can be."""
        return self.key if self.is_in_full or not self.key else self.key + FOR_OTHERS


def record_key(file: RecordFile, desk: Desk) -> str:
    """The key of a record file as it is now; empty where it, or a file beside it, can't be read."""
    try:
        with open(file.path, "rb", buffering=0) as opened:
            content = opened.read()
        beside = "\n".join(_beside(file))
    except OSError:
        return ""
    return digest(desk.version, file.relative, file.slug, beside, content)


def _beside(file: RecordFile) -> Iterator[str]:
    """What counts of the files beside a record."""
    for name in sorted(file.companions):
        yield f"{name} {stamp(file.path.parent / name)}"


def stamp(path: Path) -> str:
    """What counts of a file beside a record: a log's content; else its size and when it was last written."""
    status = path.stat()
    if path.name.endswith(LOGS):
        from lidoff.bench.log_text import MOST_BYTES  # loaded here: a run that finds all as it was may have no log

        if status.st_size <= MOST_BYTES:
            return digest(path.read_bytes())
    return f"{status.st_size} {status.st_mtime_ns}"
