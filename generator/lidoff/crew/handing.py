"""Orders handed out to an executor, a few at a time; whatever it does not bring back can be done elsewhere."""

from collections import deque
from collections.abc import Callable, Generator, Iterator
from concurrent.futures import Executor, Future
from typing import TypeVar

Order = TypeVar("Order")
Result = TypeVar("Result")
PATIENCE_S = 5.0
"""So long an answer is waited for before somebody looks whether anyone is there who could give it."""
_END = object()


class Lost(Exception):
    """Nobody is there any more who could take an order, or bring its result; the text says who is missing."""


def handed_out(
    executor: Executor,
    work: Callable[[Order], Result],
    orders: Iterator[Order],
    ahead: Callable[[], int],
    look: Callable[[], None] | None = None,
) -> Generator[tuple[Order, Result], None, list[tuple[Order, Exception]]]:
    """Each order with its result; returns those that were not fulfilled, each with the reason.

    At most ``ahead`` are under way, so that the orders are never all held at once. Once the executor takes no more, the
    rest stays in ``orders``. ``look`` is called whenever an answer takes long, and raises Lost where none can come.
    """
    waiting: deque[tuple[Order, Future]] = deque()
    left: list[tuple[Order, Exception]] = []
    is_open = True
    while True:
        while is_open and len(waiting) < ahead():
            order = next(orders, _END)
            if order is _END:
                is_open = False
                break
            try:
                waiting.append((order, executor.submit(work, order)))
            except Exception as reason:  # noqa: BLE001 - each executor refuses in its own way, and the order is kept
                left.append((order, reason))
                is_open = False
        if not waiting:
            return left
        order, future = waiting.popleft()
        try:
            result = _answer(future, look)
        except Lost as reason:
            left += [(order, reason), *((other, reason) for other, _ in waiting)]
            return left
        except Exception as reason:  # noqa: BLE001 - the same, and an error of the work itself shows when it is repeated
            left.append((order, reason))
        else:
            yield order, result


def _answer(future: Future, look: Callable[[], None] | None) -> object:
    while True:
        try:
            return future.result(PATIENCE_S if look else None)
        except TimeoutError:
            if look is None or future.done():
                raise
            look()
