"""Examine many record files: what is kept is taken as it is, the rest is made anew, on all processors if it is much."""

import gc
import multiprocessing
import os
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, suppress
from dataclasses import replace

from lidoff.cache.store import Store
from lidoff.examination.desk import Desk
from lidoff.examination.examine import examine_for_others, examine_in_full
from lidoff.examination.examined import Examined, Kept, Outline, packed, unpacked
from lidoff.examination.keys import Job, record_key
from lidoff.record.marks import Marks
from lidoff.record.other_protocols import OtherProtocols
from lidoff.settings import Settings

Progress = Callable[[int, int], None]
WORTH_PROCESSES = 60
"""Fewer records are examined sooner than further processes begin."""
CHUNK = 16


def examined_files(jobs: Sequence[Job], desk: Desk, whole: bool, progress: Progress | None) -> tuple[Examined, ...]:
    """Every file in its order; without ``whole`` nothing is held that only pages need."""
    found: dict[int, Examined] = {}
    missing: list[int] = []
    for number, job in enumerate(jobs):
        kept = _kept(job, desk)
        if kept is None:
            missing.append(number)
        else:
            found[number] = _examined(job, kept if whole else _slim(kept), desk)
    _tell(progress, len(found), jobs)
    for number, kept in _made(jobs, missing, desk, whole):
        found[number] = _examined(jobs[number], kept, desk)
        _tell(progress, len(found), jobs)
    if missing and desk.store and all(job.is_in_full for job in jobs):
        desk.store.prune([name for one in found.values() for name in (one.key, *one.kept.beside)])
    return tuple(found[number] for number in range(len(jobs)))


def _tell(progress: Progress | None, done: int, jobs: Sequence[Job]) -> None:
    if progress is not None:
        progress(done, len(jobs))


def _kept(job: Job, desk: Desk) -> Kept | None:
    """What is kept of a file; a result in full serves every purpose."""
    for name in dict.fromkeys((job.key, job.name)):
        content = desk.get(name)
        kept = None if content is None else unpacked(content)
        if kept is not None:
            return kept
    return None


def _examined(job: Job, kept: Kept, desk: Desk) -> Examined:
    outline = Outline(job.file.relative, kept.status, Marks(job.file.relative, job.file.path, kept.spots))
    return Examined(outline, job.file.slug, kept, desk.tiers_w, job.key)


def _slim(kept: Kept) -> Kept:
    return replace(kept, figures=b"", logs=b"")


def _made(jobs: Sequence[Job], missing: Sequence[int], desk: Desk, whole: bool) -> Iterator[tuple[int, Kept]]:
    """The missing results, in any order; on one processor where there are few, or where no process can be begun."""
    left = dict.fromkeys(missing)
    if len(missing) >= WORTH_PROCESSES and processors() > 1:
        # processes may be forbidden here, or killed from outside: what is left then is done without them
        with suppress(BrokenProcessPool, OSError):
            for number, kept in _in_processes(jobs, missing, desk, whole):
                del left[number]
                yield number, kept
    for chunk in _chunks(tuple(left)):
        yield from zip(chunk, _work([jobs[number] for number in chunk], desk, whole), strict=True)


def _in_processes(jobs: Sequence[Job], missing: Sequence[int], desk: Desk, whole: bool) -> Iterator[tuple[int, Kept]]:
    executor = ProcessPoolExecutor(processors(), mp_context=multiprocessing.get_context(_start_method()))
    try:
        chunks = {
            executor.submit(
                _work_there, [jobs[number] for number in chunk], desk.settings, desk.protocols, desk.store, whole
            ): chunk
            for chunk in _chunks(missing)
        }
        for done in as_completed(chunks):
            yield from zip(chunks.pop(done), done.result(), strict=True)
    finally:
        executor.shutdown(cancel_futures=True)


def processors() -> int:
    """How many processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _start_method() -> str:
    """A fork is the quickest, where the system has it and no other thread could hold a lock across it."""
    has_fork = "fork" in multiprocessing.get_all_start_methods() and sys.platform != "darwin"
    return "fork" if has_fork and threading.active_count() == 1 else "spawn"


def _chunks(numbers: Sequence[int]) -> Iterator[Sequence[int]]:
    return (numbers[start : start + CHUNK] for start in range(0, len(numbers), CHUNK))


def _work_there(
    jobs: Sequence[Job], settings: Settings, protocols: OtherProtocols, store: Store | None, whole: bool
) -> list[Kept]:
    """Examine some files in a process of its own."""
    return _work(jobs, Desk(settings, protocols, store), whole)


def _work(jobs: Sequence[Job], desk: Desk, whole: bool) -> list[Kept]:
    """Examine some files and keep the results."""
    with without_collector():
        return [_worked(job, desk, whole) for job in jobs]


def _worked(job: Job, desk: Desk, whole: bool) -> Kept:
    _, made = (examine_in_full if job.is_in_full else examine_for_others)(job.file, desk)
    content = packed(made)
    # what was edited while it was being read is examined again by the next run
    if job.key and record_key(job.file, desk) == job.key:
        desk.put(job.name, content)
    kept = unpacked(content)
    return kept if whole else _slim(kept)


@contextmanager
def without_collector() -> Iterator[None]:
    """Spare the search for cycles of dead objects meanwhile: a record has many objects and no cycle."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
