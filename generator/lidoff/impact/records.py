"""The record files that impact reads: those that changed, as they were and as they are, and single ones beside them."""

import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

from lidoff.examination.desk import Desk
from lidoff.examination.examined import Examined
from lidoff.examination.run import examined_file, kept_file
from lidoff.impact.history import Past, restore
from lidoff.impact.stock import Head
from lidoff.record.collection import RecordFile, find_record, find_records
from lidoff.record.identity import RECORD_NAME


class Missing(Exception):
    """A record that the stock tells of is not there, or one that is there it does not tell of: it is of other records."""


@dataclass(frozen=True, slots=True)
class Records:
    """The records of the changed folders before and after, by their paths; all others are read from the disk."""

    desk: Desk
    old: Mapping[str, Examined]
    new: Mapping[str, Examined]
    _others: dict[str, Examined] = field(default_factory=dict)

    def unchanged(self, head: Head) -> Examined:
        """A record that is the same before and after; raises Missing where it is not on the disk."""
        found = self._others.get(head.path) or self._kept(head) or _on_disk(head.path.rpartition("/")[0], self.desk)
        if found is None:
            raise Missing(head.path)
        self._others[head.path] = found
        return found

    def _kept(self, head: Head) -> Examined | None:
        """What was kept of it: git says that it is the same, so the file itself need not be looked at."""
        path = self.desk.settings.base / head.path
        return kept_file(RecordFile(path, head.path, slug_of(head.path)), head.key, self.desk)


@contextmanager
def changed_records(then: Past, folders: frozenset[str], desk: Desk) -> Iterator[Records]:
    """The records of these folders; the old ones lie in a folder of their own for as long as places are looked for."""
    with tempfile.TemporaryDirectory(prefix="lidoff-past-") as place:
        restore(then, folders, Path(place))
        settings = desk.settings
        there = replace(settings, config_path=Path(place).resolve() / settings.config_path.name)
        files = find_records(there.entries_folder, there.base)[0] if there.entries_folder.is_dir() else ()
        old = [examined_file(file, replace(desk, settings=there)) for file in files]
        new = [one for folder in sorted(folders) if (one := _on_disk(folder, desk)) is not None]
        yield Records(desk, *({one.loaded.path: one for one in some} for some in (old, new)))


def _on_disk(folder: str, desk: Desk) -> Examined | None:
    file = find_record(desk.settings.entries_folder, slug_of(f"{folder}/{RECORD_NAME}"), desk.settings.base)
    return None if file is None else examined_file(file, desk)


def slug_of(path: str) -> str:
    """Brand and model, as addresses have them, of the record file at a path."""
    return "/".join(path.split("/")[-3:-1])
