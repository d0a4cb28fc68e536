"""The logs and pictures beside a record: read once, and again only when the file itself has changed.

Reading them takes longer than all else about a record, and most edits of a record leave them as they are.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

from lidoff.bench.logs import LogResult, Logs, log_rows
from lidoff.bench.picture_file import PictureFacts
from lidoff.bench.pictures import Pictures, pictures_named, read_pictures
from lidoff.examination.desk import Desk, digest
from lidoff.examination.keys import stamp
from lidoff.examination.packing import decoded, encoded
from lidoff.figures.logs_beside import logs_beside
from lidoff.record.collection import RecordFile
from lidoff.record.model import Record

Result = TypeVar("Result")


@dataclass(frozen=True, slots=True)
class Beside:
    """The files beside one record; ``keys`` fills up with those under which results on them are kept."""

    file: RecordFile
    record: Record
    desk: Desk
    keys: list[str] = field(default_factory=list)

    def logs(self) -> Logs:
        """What the logs say, by the field of the row that names each."""
        rows = tuple(log_rows(self.record))
        if not rows:
            return {}
        folder = self.file.path.parent
        names = sorted({row.log for _, row in rows})
        labels = [(port.id, port.label) for port in self.record.ports]
        return self._kept(
            lambda: self._key("logs", names, encoded([rows, labels])),
            lambda: logs_beside(folder, self.record, self.desk.assumptions),
            dict[str, LogResult],
        )

    def pictures(self) -> Pictures:
        """What the pictures are, by their path in the record's folder."""
        names = sorted(self.file.companions)
        if not names:
            return {}
        named = [name for _, name in pictures_named(self.record)]
        return self._kept(
            lambda: self._key("pictures", names, encoded(named)),
            lambda: read_pictures(self.file.path.parent, self.record, self.file.companions),
            dict[str, PictureFacts],
        )

    def _key(self, kind: str, names: list[str], asked: bytes) -> str:
        """The key of what is asked about some files as they are now; empty where one of them can't be looked at."""
        folder = self.file.path.parent
        try:
            stamps = [f"{name} {stamp(folder / name)}" for name in names if name in self.file.companions]
        except OSError:
            return ""
        return digest(self.desk.version, kind, self.file.slug, "\n".join(stamps), asked)

    def _kept(self, key_now: Callable[[], str], read: Callable[[], Result], kind: type[Result]) -> Result:
        """A kept result, else a new one, which is kept unless a file changed meanwhile."""
        key = key_now()
        content = self.desk.get(key)
        result = None if content is None else decoded(content, kind)
        if result is None:
            result = read()
            if key and key == key_now():
                self.desk.put(key, encoded(result))
        self.keys.append(key)
        return result
