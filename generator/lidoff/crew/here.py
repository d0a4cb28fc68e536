"""The processors of this machine."""

import os
import sys
import threading
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import chain
from typing import Protocol, TypeVar

Order = TypeVar("Order")
Result = TypeVar("Result")
AHEAD = 3  # orders under way for each processor: one slow order must not keep the others waiting


class Crew(Protocol):
    """Does orders. Where it ``is_elsewhere``, it sees no file of this machine: an order must hold all that it needs."""

    @property
    def is_elsewhere(self) -> bool: ...

    def results(
        self, work: Callable[[Order], Result], orders: Iterable[Order], count: int
    ) -> Iterator[tuple[Order, Result]]:
        """Each of the ``count`` orders with its result; mostly in their sequence. Raises what ``work`` raises."""
        ...


@dataclass(frozen=True, slots=True)
class Here:
    """All processors of this machine where there is more than one order, else this process."""

    is_elsewhere: bool = False

    def results(
        self, work: Callable[[Order], Result], orders: Iterable[Order], count: int
    ) -> Iterator[tuple[Order, Result]]:
        """Each order with its result. Where processes are forbidden, or killed, this one does what is left."""
        orders, number = iter(orders), min(count, processors())
        left = []
        if number > 1:
            # loaded here: most runs find everything done before
            from concurrent.futures import ProcessPoolExecutor
            from multiprocessing import get_context

            from lidoff.crew.handing import handed_out

            pool = ProcessPoolExecutor(number, mp_context=get_context(_start_method()))
            try:
                left = yield from handed_out(pool, work, orders, lambda: AHEAD * number)
            finally:
                pool.shutdown(cancel_futures=True)
        for order in chain((order for order, _ in left), orders):
            yield order, work(order)


HERE = Here()


def processors() -> int:
    """How many processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _start_method() -> str:
    """A fork is the quickest, where the system has it and no other thread could hold a lock across it."""
    has_fork = hasattr(os, "fork") and sys.platform != "darwin"
    return "fork" if has_fork and threading.active_count() == 1 else "spawn"
