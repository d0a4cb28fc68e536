"""Names that the records of a knowledge base use already, for suggestions to whoever starts a new one.

The files are searched as text and not read as records: suggestions may miss a name, and must come at once.
"""

import re
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from lidoff.record.template import KnownNames

_NAME = re.compile(r"""\b(brand|maker|package): *("(?:[^"\\\n]|\\.)*"|[^\s"',{}\[\]#][^,{}\[\]#\n]*)""")


def known_names(files: Iterable[Path]) -> KnownNames:
    """The names in record files, those used most often first."""
    counts: dict[str, Counter[str]] = {"brand": Counter(), "maker": Counter(), "package": Counter()}
    for file in files:
        text = file.read_text(encoding="utf-8", errors="replace")
        for key, name in _NAME.findall(text):
            counts[key][name.strip().strip('"')] += 1
    return KnownNames(*(_by_use(counts[key]) for key in ("brand", "maker", "package")))


def _by_use(counts: Counter[str]) -> tuple[str, ...]:
    return tuple(sorted(counts, key=lambda name: (-counts[name], name)))
