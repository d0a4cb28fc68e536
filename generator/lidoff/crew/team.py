"""Those workers of a scheduler that run the very program that runs here; the others are named and left out."""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Mapping
from concurrent.futures import Executor, Future, wait
from typing import TYPE_CHECKING

from lidoff.crew.handing import Lost
from lidoff.crew.here import AHEAD
from lidoff.crew.program import differences, program

if TYPE_CHECKING:
    from distributed import Client

ANSWER_S = 10.0
LOOK_EVERY_S = 5.0


class OtherProgram(Exception):
    """A worker that runs another program was given an order."""


class Team(Executor):
    """An executor on the fit workers of a scheduler, whoever comes and goes meanwhile."""

    def __init__(self, client: Client, tell: Callable[[str], None]) -> None:
        self._client = client
        self._tell = tell
        self._own = program()
        self._judged: dict[str, str] = {}
        self._asked: dict[str, Future] = {}
        self._squads: list[tuple[frozenset[str], Executor]] = []
        self._lost = ""
        self.threads: Mapping[str, int] = {}
        self.look()
        wait(self._asked.values(), ANSWER_S)
        self._judge()

    @property
    def fit(self) -> frozenset[str]:
        """Addresses of the workers that are there now and may be given orders."""
        return frozenset(address for address in self.threads if self._judged.get(address) == "")

    @property
    def ahead(self) -> int:
        """How many orders are to be under way."""
        return AHEAD * max(1, sum(self.threads[address] for address in self.fit))

    def submit(self, work: Callable, order: object) -> Future:
        """Give an order to one of the fit workers; raises Lost where there is none."""
        if time.monotonic() > self._next_look:
            self.look()
        if self._lost or not self.fit:
            raise Lost(self._lost or "no worker is left")
        if not self._squads or self._squads[-1][0] != self.fit:
            self._squads.append((self.fit, self._executor(self.fit)))
        return self._squads[-1][1].submit(_checked, self._own, work, order)

    def look(self) -> None:
        """See who is there: newcomers are asked what they run; what was given to those who have all gone is given up.

        Raises Lost where the scheduler does not answer.
        """
        if not self._lost:
            try:
                self.threads = self._client.nthreads(callback_timeout=ANSWER_S)
            except (OSError, RuntimeError) as fault:
                self._lost = f"the scheduler was lost ({str(fault) or type(fault).__name__})"
        if self._lost:
            raise Lost(self._lost)
        self._judged = {address: verdict for address, verdict in self._judged.items() if address in self.threads}
        self._asked = {address: future for address, future in self._asked.items() if address in self.threads}
        for address in self.threads.keys() - self._judged.keys() - self._asked.keys():
            self._asked[address] = self._executor([address]).submit(program)
        self._judge()
        for squad, executor in self._squads:
            if not squad & self.threads.keys():
                executor.shutdown(wait=False)
        self._squads = [(squad, executor) for squad, executor in self._squads if squad & self.threads.keys()]
        self._next_look = time.monotonic() + LOOK_EVERY_S

    def _executor(self, addresses: Collection[str]) -> Executor:
        return self._client.get_executor(workers=sorted(addresses), allow_other_workers=False, pure=False)

    def _judge(self) -> None:
        """Judge those that have answered; one that is busy may take its time, and is given nothing to do meanwhile."""
        for address in [address for address, future in self._asked.items() if future.done()]:
            self._judged[address] = verdict = self._verdict(self._asked.pop(address))
            if verdict:
                self._tell(f"The worker {address} is given nothing to do.\n{verdict}")

    def _verdict(self, future: Future) -> str:
        fix = "fix       install the same lock file and this very state of Lidoff there, and start the worker again"
        try:
            found, expected = differences(future.result(), self._own)
        except Exception as fault:  # noqa: BLE001 - a program that is too old, or is none of ours, fails in any way
            return f"found     no program of this kind there: {fault}\nexpected  Lidoff as it runs here\n{fix}"
        return f"found     {found}\nexpected  {expected}, as here\n{fix}" if found else ""


def _checked(expected: Mapping[str, str], work: Callable, order: object) -> object:
    """On the worker: the result of an order, unless another program now runs at the address that was asked."""
    found, meant = differences(program(), expected)
    if found:
        raise OtherProgram(f"a worker now has {found} instead of {meant}")
    return work(order)
