"""Names that the records of a knowledge base use already, for suggestions to whoever starts a new one.

The files are searched as text and not read as records: suggestions may miss a name, and must come at once.
"""

import re
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from lidoff.record.template import KnownNames

_NAME = re.compile(r"""\b(brand|maker|package|manufacturer): *("(?:[^"\\\n]|\\.)*"|[^\s"',{}\[\]#][^,{}\[\]#\n]*)""")


def known_names(files: Iterable[Path]) -> KnownNames:
    """The names in record files, those used most often first."""
    counts = _counted(files)
    return KnownNames(*(_by_use(counts[key]) for key in ("brand", "maker", "package")))


def company_names(files: Iterable[Path]) -> tuple[str, ...]:
    """Every brand, maker of parts and manufacturer in record files, in the alphabet's order."""
    counts = _counted(files)
    return tuple(sorted(set().union(*(counts[key] for key in ("brand", "maker", "manufacturer")))))


def _counted(files: Iterable[Path]) -> dict[str, Counter[str]]:
    """How often each name stands in the files, by its key."""
    counts: dict[str, Counter[str]] = {key: Counter() for key in ("brand", "maker", "package", "manufacturer")}
    for file in files:
        text = file.read_text(encoding="utf-8", errors="replace")
        for key, name in _NAME.findall(text):
            counts[key][name.strip().strip('"')] += 1
    return counts


def _by_use(counts: Counter[str]) -> tuple[str, ...]:
    return tuple(sorted(counts, key=lambda name: (-counts[name], name)))
