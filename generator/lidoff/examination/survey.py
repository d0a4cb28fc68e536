"""What lies on the disk: every record file with the key of its result, and what does not belong there."""

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from lidoff.cache.store import Store
from lidoff.examination.desk import Desk, digest
from lidoff.examination.keys import Job, record_key
from lidoff.examination.packing import decoded, encoded
from lidoff.finding import Finding
from lidoff.record.collection import find_records
from lidoff.record.other_protocols import load_other_protocols
from lidoff.settings import Settings

ALL = (".",)
CACHE = Path(".lidoff", "cache", "records")


@dataclass(frozen=True, slots=True)
class Verdict:
    """What all checks together found in a whole knowledge base, and the paths of its drafts."""

    findings: tuple[Finding, ...]
    drafts: frozenset[str]


@dataclass(frozen=True)
class Survey:
    """The files of a knowledge base as they are now, and what they are examined with."""

    jobs: tuple[Job, ...]
    astray: tuple[Finding, ...]
    desk: Desk

    @cached_property
    def key(self) -> str:
        """Digest of all that the verdict on the whole knowledge base rests on; empty where it was not made."""
        keys = [job.key for job in self.jobs]
        return digest(self.desk.version, "collection", *keys, encoded(self.astray)) if all(keys) else ""

    def kept_verdict(self) -> Verdict | None:
        """The verdict of an earlier run on the very same files."""
        content = self.desk.get(self.key)
        return None if content is None else decoded(content, Verdict)

    def keep_verdict(self, verdict: Verdict) -> None:
        """Keep the verdict for later runs."""
        self.desk.put(self.key, encoded(verdict))


def survey(settings: Settings, wanted: tuple[str, ...] = ALL) -> Survey:
    """Look at every file; those below ``wanted`` are to be examined in full, the others for their sake."""
    files, stray = find_records(settings.entries_folder, settings.base)
    protocols, faults = load_other_protocols(settings.entries_folder, settings.base)
    desk = Desk(settings, protocols, Store(settings.base / CACHE))
    jobs = tuple(Job(file, record_key(file, desk), is_below(file.relative, wanted)) for file in files)
    return Survey(jobs, stray + faults, desk)


def is_below(path: str, wanted: tuple[str, ...]) -> bool:
    """Whether a path is one of those wanted, or lies in one of them."""
    return any(path == folder or folder == "." or path.startswith(folder.rstrip("/") + "/") for folder in wanted)
