"""Work shared out among processes where there is enough of it; each sees its parent's memory as it was at the start."""

import gc
import multiprocessing
import os
import signal
import sys
import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from multiprocessing.connection import Connection, wait
from typing import TypeVar

from lidoff.crew.here import processors
from lidoff.publish.shell import ShellError

Item = TypeVar("Item")
Result = TypeVar("Result")
Running = dict[Connection, multiprocessing.Process]
FEW = 200  # items: below that, a second process would take longer to start than to help
BATCH = 16
ROUND = 8000  # items: then processes begin anew, without what they have copied of the memory
_END = object()


def shared_out(items: Sequence[Item], work: Callable[[Item], Result]) -> Iterator[Result]:
    """The result of every item, in any order. Raises what ``work`` raises; a ShellError and a fault of the disk as they are.

    Only Linux forks without harm: elsewhere one process does all.
    """
    count = processors() if sys.platform == "linux" and len(items) >= FEW else 1
    if count == 1:
        yield from map(work, items)
        return
    for begin in range(0, len(items), ROUND):
        some = items[begin : begin + ROUND]
        with _processes() as running:
            for number in range(1, count):
                _start(running, some[number::count], work)
            # this process does its share: one more would copy what the work touches of the memory
            yield from _results(running, map(work, some[::count]))


@contextmanager
def apart(works: Sequence[Callable[[], Result]]) -> Iterator[Iterator[Result]]:
    """The results of works, one after the other, each made by a process that takes the memory for it along when it ends.

    The first begins at once, while this process goes on; two at a time would take the memory of both. Asking for the
    results raises what a work raises, as with `shared_out`.
    """
    if sys.platform != "linux":
        yield map(_called, works)
        return
    with _processes() as running:
        first, rest = works[:1], works[1:]
        if first:
            _start(running, first, _called)
        yield _one_by_one(running, rest)


def _one_by_one(running: Running, works: Sequence[Callable[[], Result]]) -> Iterator[Result]:
    yield from _results(running, iter(()))
    for work in works:
        _end(running)
        _start(running, [work], _called)
        yield from _results(running, iter(()))


def _called(work: Callable[[], Result]) -> Result:
    return work()


@contextmanager
def _processes() -> Iterator[Running]:
    """The processes that are under way, by what they send through; none is left at the end."""
    running: Running = {}
    gc.freeze()  # what is there now stays: a search for garbage in it would copy its memory into every process
    try:
        yield running
    finally:
        gc.unfreeze()
        _end(running)


def _end(running: Running) -> None:
    for reader, process in running.items():
        process.terminate()
        process.join()
        reader.close()
    running.clear()


def _start(running: Running, items: Sequence[Item], work: Callable[[Item], Result]) -> None:
    context = multiprocessing.get_context("fork")
    reader, sender = context.Pipe(duplex=False)
    process = context.Process(target=_serve, args=(items, work, sender, os.getpid()), daemon=True)
    process.start()
    sender.close()
    running[reader] = process


def _results(running: Running, own: Iterator) -> Iterator:
    """The results of the other processes as they come, and between them those of this one."""
    waiting, has_work = set(running), True
    while waiting or has_work:
        if has_work:
            result = next(own, _END)
            has_work = result is not _END
            if has_work:
                yield result
        for reader in wait(waiting, timeout=0 if has_work else None) if waiting else ():
            results = _received(reader, running[reader])
            yield from results
            if not results:
                waiting.discard(reader)


def _received(reader: Connection, process: multiprocessing.Process) -> Sequence:
    """Some results, none when the process has done its share. Raises the fault that ended it."""
    try:
        results, fault = reader.recv()
    except EOFError as ended:
        process.join()
        raise RuntimeError(f"a process that makes pages ended with code {process.exitcode}") from ended
    if fault is not None:
        raise fault
    return results


def _serve(items: Sequence[Item], work: Callable[[Item], Result], sender: Connection, parent: int) -> None:
    """Send the results batch by batch, then an empty one; or a fault. The parent alone heeds an interruption."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    results: list[Result] = []
    try:
        for item in items:
            if os.getppid() != parent:
                return  # the build was killed: nobody is there to go on for
            results.append(work(item))
            if len(results) == BATCH:
                sender.send((results, None))
                results = []
        if results:
            sender.send((results, None))
        sender.send(([], None))
    except (ShellError, OSError) as fault:
        sender.send(([], fault))
    except Exception:
        sender.send(([], RuntimeError(traceback.format_exc())))
