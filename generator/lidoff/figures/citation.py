"""What a formula is called and whose word it rests on, read from the formula's own docstring."""

import inspect
import re
from collections.abc import Callable
from functools import cache

_REFERENCES = re.compile(r"^References\n-+\n(.*?)(?:\n\n(?=\S)|\Z)", re.MULTILINE | re.DOTALL)
_ENTRY = re.compile(r"^\.\. \[\d+\] (.+?)(?=^\.\. \[|\Z)", re.MULTILINE | re.DOTALL)


@cache
def dotted(function: Callable) -> str:
    """The importable name of a function."""
    return f"{function.__module__}.{function.__qualname__}"


@cache
def citation(function: Callable) -> str:
    """The references of a function's docstring as one line of text."""
    section = _REFERENCES.search(inspect.getdoc(function) or "")
    entries = _ENTRY.findall(section.group(1)) if section else []
    return " / ".join(" ".join(entry.split()).rstrip(".").replace("*", "").replace("`", "") for entry in entries)
