"""Exchange one function of the running program for the same function of a changed file."""

import functools
import gc
import inspect
from collections.abc import Iterator
from types import CodeType, FunctionType


def function_of(path: str, before: str, after: str) -> tuple[CodeType, CodeType] | None:
    """The one function in which two states of a file differ; None where they differ elsewhere."""
    try:
        old, new = compile(before, path, "exec"), compile(after, path, "exec")
    except SyntaxError:
        return None
    pairs = list(zip(functions(old), functions(new), strict=False))
    changed = [(one, other) for one, other in pairs if one != other]
    if len(changed) != 1 or outside(old) != outside(new):
        return None
    return changed[0]


def functions(code: CodeType) -> Iterator[CodeType]:
    """The functions of a module and of its classes, without those inside of functions."""
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            if inner.co_flags & inspect.CO_OPTIMIZED:
                yield inner
            else:
                yield from functions(inner)


def outside(code: CodeType) -> tuple:
    """All of a module that runs when it is imported."""
    consts = [
        inner if not isinstance(inner, CodeType) else None if inner.co_flags & inspect.CO_OPTIMIZED else outside(inner)
        for inner in code.co_consts
    ]
    return code.co_code, code.co_names, repr(consts)


class InMemory:
    """The functions of the program and all caches, looked for once: to do so in every process would copy its memory."""

    def __init__(self, root: str) -> None:
        self.functions: dict[tuple, list[FunctionType]] = {}
        self.caches = []
        for one in gc.get_objects():
            if isinstance(one, FunctionType) and one.__code__.co_filename.startswith(root):
                self.functions.setdefault(_place(one.__code__), []).append(one)
            elif isinstance(one, functools._lru_cache_wrapper):
                self.caches.append(one)
        gc.freeze()

    def has(self, code: CodeType) -> bool:
        """Whether there is a function made from this code."""
        return _place(code) in self.functions

    def exchange(self, old: CodeType, new: CodeType) -> None:
        """Give every function made from the old code the new one, and empty the caches."""
        for one in self.functions[_place(old)]:
            one.__code__ = new
        for cache in self.caches:
            cache.cache_clear()


def _place(code: CodeType) -> tuple:
    return code.co_filename, code.co_firstlineno, code.co_qualname
