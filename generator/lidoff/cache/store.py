"""A folder of results, one file each: written whole or not at all, and never believed without its digest.

Nothing here can fail: a file that is missing, damaged, locked or somebody else's counts as missing, and what can't be
written is made anew by the next run. The folder holds data, never code.
"""

import hashlib
import os
import secrets
import stat
import time
from collections.abc import Collection, Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

MARK = b"lidoff cache 1\n"
DIGEST_BYTES = 32
_HEAD = len(MARK) + DIGEST_BYTES
SPARE = 100
"""So many results of other states of the knowledge base, such as another branch, are kept at least."""
ABANDONED_S = 3600.0
DAY_S = 86400.0
RECENT_S = 7 * DAY_S
"""What was of use within that time is never pruned by age: a long build must not lose what it has just made."""
KEPT_S = 90 * DAY_S
_UNFINISHED = "new-"
# a pipe in place of a file must not hold us up, nor a link lead elsewhere
_READ = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
_WRITE = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)


@dataclass(frozen=True, slots=True)
class Store:
    """The results in one folder, by their keys."""

    folder: Path

    def get(self, key: str) -> bytes | None:
        """The result under a key; None where there is none to be trusted."""
        try:
            handle = os.open(f"{self.folder}/{key}", _READ)
        except OSError:
            return None
        try:
            status = os.fstat(handle)
            if not _is_own_file(status):
                return None
            with open(handle, "rb", buffering=0, closefd=False) as file:
                kept = file.read()
        except OSError:
            return None
        finally:
            os.close(handle)
        if status.st_mtime < time.time() - DAY_S:
            with suppress(OSError):  # its time is that of its last use, to the day
                os.utime(f"{self.folder}/{key}")
        return unsealed(key, kept)

    def put(self, key: str, content: bytes) -> bool:
        """Keep a result; whether that went well."""
        beside = f"{self.folder}/{_UNFINISHED}{secrets.token_hex(8)}"
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            handle = os.open(beside, _WRITE, 0o644)
        except OSError:
            return False
        try:
            with open(handle, "wb", buffering=0) as file:
                for piece in (seal(key, content), content):
                    if file.write(piece) != len(piece):
                        raise OSError("only a part was written")
            os.replace(beside, f"{self.folder}/{key}")
        except BaseException as fault:
            with suppress(OSError):
                os.unlink(beside)
            if not isinstance(fault, OSError):
                raise
            return False
        return True

    def prune(self, used: Collection[str], spare: int | None = None) -> None:
        """Drop the oldest results that are not used, where they outnumber those that are, and what a dead run left.

        ``spare`` of them are left in any case, else ``SPARE``.
        """
        used = frozenset(used)
        kept, dead = self._listed()
        unused = [one for one in kept if one[1] not in used]
        excess = max(0, len(unused) - max(SPARE if spare is None else spare, len(used)))
        self._drop((*dead, *(name for _, name in unused[:excess])))

    def prune_by_age(self) -> None:
        """Drop what was of no use for 90 days, and the oldest results where they outnumber those of the last seven."""
        kept, dead = self._listed()
        now = time.time()
        older = [one for one in kept if one[0] < now - RECENT_S]
        excess = max(0, len(older) - max(SPARE, len(kept) - len(older)))
        spent = [name for place, (used, name) in enumerate(older) if place < excess or used < now - KEPT_S]
        self._drop((*dead, *spent))

    def _listed(self) -> tuple[list[tuple[float, str]], list[str]]:
        """The results, each with the time of its last use, oldest first; and the names of what a dead run left."""
        try:
            found = sorted(
                (entry.stat(follow_symlinks=False).st_mtime, entry.name) for entry in os.scandir(self.folder)
            )
        except OSError:
            return [], []
        kept = [one for one in found if not one[1].startswith(_UNFINISHED)]
        abandoned = time.time() - ABANDONED_S
        return kept, [name for written, name in found if name.startswith(_UNFINISHED) and written < abandoned]

    def _drop(self, names: Iterable[str]) -> None:
        for name in names:
            with suppress(OSError):
                os.unlink(f"{self.folder}/{name}")


def seal(key: str, content: bytes | memoryview) -> bytes:
    """What stands before a result where it is kept: without it, nothing is believed."""
    digest = hashlib.sha256(key.encode())
    digest.update(content)
    return MARK + digest.digest()


def unsealed(key: str, kept: bytes) -> bytes | None:
    """The result that was kept under a key; None where it is not that, or damaged."""
    head, content = kept[:_HEAD], memoryview(kept)[_HEAD:]
    return bytes(content) if head == seal(key, content) else None


def _is_own_file(status: os.stat_result) -> bool:
    """Whether it is a plain file of the user who runs us; where a system has no users, every file is."""
    is_own = status.st_uid == os.getuid() if hasattr(os, "getuid") else True
    return stat.S_ISREG(status.st_mode) and is_own
