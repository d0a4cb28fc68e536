"""The pictures of the site: taken from the cache where they were made before, else made on all processors."""

import multiprocessing
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

from lidoff.publish.picture_cache import PictureCache, key_of
from lidoff.publish.shell import ShellError
from lidoff.website import PictureFile, SiteFile

PictureProgress = Callable[[int, int], None]
_FEW = 2  # masters: below that, a second process would take longer to start than to help


@dataclass(frozen=True, slots=True)
class Job:
    """What is to be made from one master, and where it is kept."""

    source: str
    sha256: str
    cache: PictureCache
    wanted: tuple[PictureFile, ...]


@dataclass(frozen=True, slots=True)
class PictureMaker:
    """Makes the pictures of a site; ``progress`` is told how many masters are done of how many.

    A preview is ``is_forgiving``: it shows what it can where a master can't be used.
    """

    cache: PictureCache
    progress: PictureProgress = lambda done, total: None
    is_forgiving: bool = False

    def write(self, pictures: Iterable[PictureFile], write: Callable[[SiteFile], None]) -> tuple[str, ...]:
        """Write every picture; returns one fault for each master that can't be used, after all others were made.

        Raises ShellError with all of these faults where they may not be forgiven.
        """
        missing: dict[str, PictureFile] = {}
        seen: set[str] = set()
        for picture in pictures:
            if picture.path in seen:
                continue
            seen.add(picture.path)
            content = self.cache.get(key_of(picture))
            if content is None:
                missing[picture.path] = picture
            else:
                write(SiteFile(picture.path, content))
        faults = tuple(self._make(tuple(_jobs(missing.values(), self.cache))))
        for picture in missing.values():
            content = self.cache.get(key_of(picture))
            if content is not None:
                write(SiteFile(picture.path, content))
        if faults and not self.is_forgiving:
            raise ShellError("\n".join(faults))
        return faults

    def one(self, picture: PictureFile) -> bytes | None:
        """One picture, made now if need be; None where its master can't be used."""
        content = self.cache.get(key_of(picture))
        if content is None:
            make(Job(picture.source, picture.sha256, self.cache, (picture,)))
            content = self.cache.get(key_of(picture))
        return content

    def _make(self, jobs: Sequence[Job]) -> Iterator[str]:
        for number, fault in enumerate(_results(jobs), start=1):
            if fault:
                yield fault
            self.progress(number, len(jobs))


def make(job: Job) -> str:
    """Make and keep all variants of one master; the fault, or nothing."""
    # Pillow is loaded where there is something to make, and nowhere else
    from lidoff.publish.picture_encoder import encode

    try:
        for picture, content in zip(job.wanted, encode(job.source, job.sha256, job.wanted), strict=True):
            job.cache.put(key_of(picture), content)
    except Exception as error:
        # a decoder meets a damaged picture with any kind of error; the file must be named, and the others made
        return f"{job.source}: this picture can't be used: {error or type(error).__name__}"
    return ""


def _jobs(pictures: Iterable[PictureFile], cache: PictureCache) -> Iterator[Job]:
    """One job a master, so that each is read and decoded once."""
    by_master: dict[tuple[str, str], list[PictureFile]] = {}
    for picture in pictures:
        by_master.setdefault((picture.source, picture.sha256), []).append(picture)
    return (Job(source, sha256, cache, tuple(wanted)) for (source, sha256), wanted in by_master.items())


def _results(jobs: Sequence[Job]) -> Iterable[str]:
    """The fault of each job in the jobs' order."""
    workers = min(len(jobs), len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1)
    if workers < 2 or len(jobs) < _FEW:
        yield from map(make, jobs)
        return
    # a forked process would inherit the threads' locks of a progress bar or a server
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(workers, mp_context=context) as pool:
        yield from pool.map(make, jobs)
