"""Records with the files beside them as bytes: what is sent to where the disk of this machine is not seen."""

import os
import stat
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory

from lidoff.examination.keys import Job
from lidoff.settings import Settings

MOST_BYTES = 64_000_000
"""A record with more than that beside it is examined where it lies."""
FULL_BYTES = 8_000_000
_ALONE = threading.Lock()


@dataclass(frozen=True, slots=True)
class Parcel:
    """The files of some records, by their paths from the folder of mkdocs.yml."""

    files: tuple[tuple[str, bytes], ...]

    @property
    def is_full(self) -> bool:
        """Whether it is heavy enough to be sent."""
        return sum(len(content) for _, content in self.files) >= FULL_BYTES

    def __add__(self, other: "Parcel") -> "Parcel":
        return Parcel((*self.files, *other.files))


NOTHING = Parcel(())


def packed_up(job: Job) -> Parcel | None:
    """One record with all that lies beside it; None where that can't be sent and found again as it lies here."""
    folder, inner = job.file.path.parent, job.file.relative.rpartition("/")[0]
    paths = {job.file.relative: job.file.path}
    paths |= {f"{inner}/{name}": folder / name for name in sorted(job.file.companions)}
    try:
        statuses = [os.lstat(path) for path in paths.values()]
        if not all(stat.S_ISREG(one.st_mode) for one in statuses) or sum(one.st_size for one in statuses) > MOST_BYTES:
            return None
        return Parcel(tuple((name, path.read_bytes()) for name, path in paths.items()))
    except OSError:
        return None


@contextmanager
def laid_out(parcel: Parcel, jobs: Sequence[Job], settings: Settings) -> Iterator[tuple[tuple[Job, ...], Settings]]:
    """The same jobs and settings in a folder where the files of the parcel lie for as long as that.

    One at a time: reading a picture sets a bound of the library for the whole process, and workers may have threads.
    """
    with _ALONE, TemporaryDirectory(prefix="lidoff-", ignore_cleanup_errors=True) as name:
        base = Path(name).resolve()
        for path, content in parcel.files:
            (base / path).parent.mkdir(parents=True, exist_ok=True)
            (base / path).write_bytes(content)
        moved = tuple(replace(job, file=replace(job.file, path=base / job.file.relative)) for job in jobs)
        yield moved, replace(settings, config_path=base / settings.config_path.name)
