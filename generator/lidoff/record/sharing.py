"""Texts that thousands of records repeat, such as words of the vocabulary and part numbers, held once for all of them."""

from collections.abc import Callable, Mapping
from dataclasses import is_dataclass
from functools import cache
from operator import attrgetter
from typing import Any, get_args, get_type_hints

Text = str | tuple[str, ...]
Reader = Callable[[object], tuple]


class SharedTexts:
    """The texts met so far. It changes which of two equal texts an object holds, never what it says."""

    def __init__(self) -> None:
        self._known: dict[Text, Text] = {}

    def share(self, item: object) -> None:
        """Let a dataclass, and all that it is made of, hold the texts that are known."""
        names, texts, inner = _readers(type(item))
        known = self._known
        for name, value in zip(names, texts(item), strict=False):
            if value:
                held = known.setdefault(value, value)
                if held is not value:
                    object.__setattr__(item, name, held)
        for value in inner(item):
            if type(value) is tuple:
                for one in value:
                    self.share(one)
            elif value is not None:
                self.share(value)


@cache
def _readers(kind: type) -> tuple[tuple[str, ...], Reader, Reader]:
    """The names of the fields that hold texts, and what reads them, and the fields in which texts are, all at once."""
    texts, inner = _fields(kind)
    return texts, _reader(texts), _reader(inner)


def _reader(names: tuple[str, ...]) -> Reader:
    if len(names) > 1:
        return attrgetter(*names)
    return lambda item: tuple(getattr(item, name) for name in names)


@cache
def _fields(kind: type) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The fields of a dataclass that hold a text or several, and those that hold dataclasses with texts in them."""
    hints = get_type_hints(kind) if is_dataclass(kind) else {}
    texts = tuple(name for name, hint in hints.items() if _kinds(hint) == {str})
    return texts, tuple(name for name, hint in hints.items() if any(_has_texts(one) for one in _kinds(hint)))


@cache
def _has_texts(kind: Any) -> bool:
    return is_dataclass(kind) and any(_fields(kind))


def _kinds(hint: Any) -> set[Any]:
    """What a field may hold apart from nothing, alone or in a tuple; of a mapping nothing is said."""
    origin = getattr(hint, "__origin__", None)
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return set()
    inner = [one for one in get_args(hint) if one is not type(None) and one is not Ellipsis]
    return set().union(*map(_kinds, inner)) if inner else {hint}
