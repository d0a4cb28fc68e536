"""What every record of one run is examined with: the options of the knowledge base, and where results are kept.

Figures and checks are loaded only when a record has to be examined: where nothing has changed, they are not needed.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from lidoff.cache.code_version import code_version
from lidoff.cache.store import Store
from lidoff.record.other_protocols import OtherProtocols
from lidoff.record.schema import schema_folder
from lidoff.settings import Settings

if TYPE_CHECKING:
    from lidoff.figures.assumptions import Assumptions

PACKAGE = Path(__file__).resolve().parents[1]
RESTS_ON = (
    "finding.py", "rule.py", "settings.py", "entry.py",
    "cache", "crew", "engineering", "record", "bench", "figures", "rows", "checks", "examination",
)  # fmt: skip
"""The rooms and modules that decide what is found in a record."""
KEY_BYTES = 16


@dataclass(frozen=True)
class Desk:
    """The options of one run; ``store`` is None where nothing is kept."""

    settings: Settings
    protocols: OtherProtocols
    store: Store | None = None

    @cached_property
    def assumptions(self) -> Assumptions:
        """The assumptions of the knowledge base; raises SettingsError for one that can't be used."""
        from lidoff.figures.assumptions import read_assumptions

        return read_assumptions(self.settings.assumptions)

    @property
    def tiers_w(self) -> tuple[float, ...]:
        """The limits of the power tiers."""
        return tuple(self.settings.tiers_w)

    @cached_property
    def version(self) -> str:
        """Digest of the program and of the options that decide what is found in a record."""
        assumed, listed = sorted(self.settings.assumptions.items()), list(self.protocols.aliases.items())
        return digest(version_of_program(), repr((assumed, listed, self.tiers_w)))

    def get(self, key: str) -> bytes | None:
        """What is kept under a key; None where there is nothing."""
        return self.store.get(key) if self.store and key else None

    def put(self, key: str, content: bytes) -> None:
        """Keep a result, where results are kept."""
        if self.store and key:
            self.store.put(key, content)


def version_of_program() -> str:
    """Digest of the sources and the schema that decide what is found in a record, and of the libraries."""
    return code_version(*(PACKAGE / name for name in RESTS_ON), schema_folder())


def digest(*parts: str | bytes) -> str:
    """Digest of several parts, each with its length."""
    found = hashlib.sha256()  # processors have instructions for it: no other digest is as quick on a whole record
    for part in parts:
        content = part.encode("utf-8", "surrogateescape") if isinstance(part, str) else part
        found.update(b"%d\n" % len(content))
        found.update(content)
    return found.hexdigest()[: 2 * KEY_BYTES]
