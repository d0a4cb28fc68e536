"""Work shared out among processes where there is enough of it; each sees its parent's memory as it was at the start."""

import gc
import multiprocessing
import os
import signal
import sys
import traceback
from collections.abc import Callable, Iterator, Sequence
from multiprocessing.connection import Connection, wait
from typing import TypeVar

from lidoff.crew.here import processors
from lidoff.publish.shell import ShellError

Item = TypeVar("Item")
Result = TypeVar("Result")
FEW = 200  # items: below that, a second process would take longer to start than to help
BATCH = 16


def shared_out(items: Sequence[Item], work: Callable[[Item], Result]) -> Iterator[Result]:
    """The result of every item, in any order. Raises what ``work`` raises; a ShellError as it is.

    Only Linux forks without harm: elsewhere one process does all.
    """
    count = processors() if sys.platform == "linux" and len(items) >= FEW else 1
    if count == 1:
        yield from map(work, items)
        return
    context = multiprocessing.get_context("fork")
    running = {}
    gc.freeze()  # what is there now stays: a search for garbage in it would copy its memory into every process
    try:
        for number in range(count):
            reader, sender = context.Pipe(duplex=False)
            process = context.Process(
                target=_serve, args=(items[number::count], work, sender, os.getpid()), daemon=True
            )
            process.start()
            sender.close()
            running[reader] = process
        yield from _results(running)
    finally:
        gc.unfreeze()
        for process in running.values():
            process.terminate()
            process.join()


def _results(running: dict[Connection, multiprocessing.Process]) -> Iterator:
    waiting = set(running)
    while waiting:
        for reader in wait(waiting):
            try:
                results, fault = reader.recv()
            except EOFError as ended:
                running[reader].join()
                raise RuntimeError(f"a process that makes pages ended with code {running[reader].exitcode}") from ended
            yield from results
            if fault is not None:
                raise fault
            if not results:
                waiting.discard(reader)


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
    except ShellError as fault:
        sender.send(([], fault))
    except Exception:
        sender.send(([], RuntimeError(traceback.format_exc())))
