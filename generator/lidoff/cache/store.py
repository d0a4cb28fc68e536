"""A folder of results, one file each: written whole or not at all, and never believed without its digest.

Nothing here can fail: a file that is missing, damaged, locked or somebody else's counts as missing, and what can't be
written is made anew by the next run. The folder holds data, never code.
"""

import hashlib
import os
import secrets
import stat
import time
from collections.abc import Collection
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

MARK = b"lidoff cache 1\n"
DIGEST_BYTES = 16
SPARE = 100
"""So many results of other states of the knowledge base, such as another branch, are kept at least."""
ABANDONED_S = 3600.0
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
            if not _is_own_file(os.fstat(handle)):
                return None
            with open(handle, "rb", buffering=0, closefd=False) as file:
                kept = file.read()
        except OSError:
            return None
        finally:
            os.close(handle)
        head, content = kept[: len(MARK) + DIGEST_BYTES], memoryview(kept)[len(MARK) + DIGEST_BYTES :]
        return bytes(content) if head == MARK + _digest(key, content) else None

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
                for piece in (MARK + _digest(key, content), content):
                    if file.write(piece) != len(piece):
                        raise OSError("only a part was written")
            os.replace(beside, f"{self.folder}/{key}")
        except OSError:
            with suppress(OSError):
                os.unlink(beside)
            return False
        return True

    def prune(self, used: Collection[str]) -> None:
        """Drop the oldest results that are not used, where they outnumber those that are, and what a dead run left."""
        used = frozenset(used)
        with suppress(OSError):
            found = [(entry.stat(follow_symlinks=False).st_mtime, entry.name) for entry in os.scandir(self.folder)]
            now = time.time()
            unused = [one for one in found if one[1] not in used and not one[1].startswith(_UNFINISHED)]
            dead = [name for written, name in found if name.startswith(_UNFINISHED) and written < now - ABANDONED_S]
            excess = max(0, len(unused) - max(SPARE, len(used)))
            for name in (*dead, *(name for _, name in sorted(unused)[:excess])):
                with suppress(OSError):
                    os.unlink(f"{self.folder}/{name}")


def _digest(key: str, content: bytes | memoryview) -> bytes:
    digest = hashlib.blake2b(key.encode(), digest_size=DIGEST_BYTES)
    digest.update(content)
    return digest.digest()


def _is_own_file(status: os.stat_result) -> bool:
    """Whether it is a plain file of the user who runs us; where a system has no users, every file is."""
    is_own = status.st_uid == os.getuid() if hasattr(os, "getuid") else True
    return stat.S_ISREG(status.st_mode) and is_own
