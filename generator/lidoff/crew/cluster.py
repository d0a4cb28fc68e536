"""Workers on other machines, behind a Dask scheduler. Dask is loaded only where a scheduler's address is given."""

from __future__ import annotations

import asyncio
import warnings
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import chain
from typing import TYPE_CHECKING, TypeVar

from lidoff.crew.handing import Lost, handed_out
from lidoff.crew.here import HERE
from lidoff.crew.team import Team

if TYPE_CHECKING:
    from distributed import Client

Order = TypeVar("Order")
Result = TypeVar("Result")
ANSWER_S = 10.0


class NoCrew(Exception):
    """The workers that were asked for can't be had; the text says what was found, what was expected, how to mend it."""


@dataclass(frozen=True, slots=True)
class Cluster:
    """The workers of the scheduler at an address; ``tell`` is told in words of what does not go as it should.

    A connection is held only while there are orders. What the workers do not bring back is done here.
    """

    address: str
    tell: Callable[[str], None]
    is_elsewhere: bool = True

    def require(self) -> None:
        """Raise NoCrew where no worker of ours can be had; tell of workers that are left out."""
        with self._team() as team:
            if not team.fit:
                raise NoCrew(
                    f"found     no worker of use at the scheduler {self.address}, where there are {len(team.threads)}\n"
                    f"expected  at least one that runs the same program as this machine\n"
                    f"fix       start one in this very state of Lidoff, with the same versions of all libraries"
                )

    def results(
        self, work: Callable[[Order], Result], orders: Iterable[Order], count: int
    ) -> Iterator[tuple[Order, Result]]:
        """Each order with its result."""
        orders, left = iter(orders), []
        try:
            with self._team() as team:
                left = yield from handed_out(team, work, orders, lambda: team.ahead, team.look)
        except NoCrew as reason:
            self.tell(f"{reason}\nThis machine does the work alone.")
        if left:
            reasons = ", ".join(sorted({str(reason) or type(reason).__name__ for _, reason in left}))
            self.tell(f"The workers did not bring back everything ({reasons}): this machine does the rest.")
        yield from HERE.results(work, chain((order for order, _ in left), orders), count)

    @contextmanager
    def _team(self) -> Iterator[Team]:
        try:
            import dask
            from distributed import Client
        except ImportError as missing:
            raise NoCrew(
                f"found     no {missing.name} beside Lidoff\nexpected  Dask, which speaks to a scheduler\n"
                f"fix       pip install 'lidoff[cluster]', or leave --scheduler away"
            ) from missing
        dask.config.set({"distributed.admin.large-graph-warning-threshold": "1GB"})  # pictures are large on purpose
        try:
            _require_answer(self.address)
            with warnings.catch_warnings(action="ignore"):  # the team compares versions, more strictly than Dask does
                client = Client(self.address, timeout=ANSWER_S, set_as_default=False)
        except Exception as fault:  # noqa: BLE001 - any program may listen there, and say anything
            raise self._unanswered(fault) from fault
        try:
            yield self._asked(client)
        finally:
            client.close(timeout=ANSWER_S)

    def _asked(self, client: Client) -> Team:
        try:
            return Team(client, self.tell)
        except Lost as fault:
            raise self._unanswered(fault) from fault

    def _unanswered(self, fault: Exception) -> NoCrew:
        reason = str(fault) or f"nothing came back within {ANSWER_S:g} s"
        return NoCrew(
            f"found     no answer from a scheduler at {self.address}: {reason}\n"
            f"expected  the address of a running Dask scheduler, such as tcp://10.0.0.5:8786\n"
            f"fix       start it, correct the address, or leave --scheduler away: then this machine does the work"
        )


def _require_answer(address: str) -> None:
    """Raise where no scheduler answers: a client would wait for ever where something listens and says nothing."""
    with ThreadPoolExecutor(1) as aside:  # whoever calls may run an event loop of its own
        aside.submit(asyncio.run, asyncio.wait_for(_identity(address), ANSWER_S)).result()


async def _identity(address: str) -> None:
    from distributed import Security, rpc

    arguments = Security().get_connection_args("client")
    async with rpc(address, timeout=ANSWER_S / 2, connection_args=arguments) as scheduler:
        await scheduler.identity()
