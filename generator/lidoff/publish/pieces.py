"""Pieces of the site, written where they belong: made anew, or taken from the last good site where they still hold."""

import hashlib
import json
import os
import stat
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

from lidoff.cache.code_version import code_version
from lidoff.publish.shell import Frames, page_file
from lidoff.publish.writer import Writer, page_as_file
from lidoff.record.schema import schema_folder
from lidoff.website import Bundle, Piece, SiteFile

PACKAGE = Path(__file__).parents[1]
FORM = 2  # of the list of what was made
DIGEST_DIGITS = 32


@dataclass(frozen=True, slots=True)
class Written:
    """A piece or bundle that was written: the digest of each of its files, by path, with number, size and time of the file.

    ``key`` is empty where it can't be kept, ``address`` where there is no page.
    """

    address: str
    key: str
    digests: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class LastSite:
    """The last good site with the list of what was made for it, by a digest of all that it was made from.

    The list says which bytes belong to a key, and the site is believed only where it still holds those bytes. Nothing
    can go wrong with a list that is old, damaged, or of another site: what it says is then made again.
    """

    folder: Path
    list_file: Path
    made: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    def read(self) -> "LastSite":
        """With its list; an empty one where there is none that can be read."""
        try:
            content = json.loads(self.list_file.read_bytes())
            made = content["made"] if content["form"] == FORM else {}
            is_sound = all(isinstance(text, str) for files in made.values() for text in files.values())
        except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
            return self
        return replace(self, made=made) if is_sound else self

    def held(self, key: str) -> Mapping[str, str]:
        """All that was made for a key, if it lies in the site as it was made; nothing where one file does not."""
        found = {}
        for path, known in self.made.get(key, {}).items():
            now = _as_made(f"{self.folder}/{path}", known)
            if not now:
                return {}
            found[path] = now
        return found

    def take(self, held: Mapping[str, str], writer: Writer) -> Mapping[str, str]:
        """Place in a new site what is held, without reading it where the disk gives a file two names."""
        found = {}
        for path, known in held.items():
            source = f"{self.folder}/{path}"
            found[path] = known if writer.kept(path, source) else written(SiteFile(path, _content(source)), writer)
        return found

    def write(self, pieces: Iterable[Written]) -> None:
        """Write the list of what was made for the site that now lies in the folder, in one step."""
        made = {one.key: dict(one.digests) for one in pieces if one.key}
        self.list_file.parent.mkdir(parents=True, exist_ok=True)
        fresh = self.list_file.with_suffix(".new")
        fresh.write_text(json.dumps({"form": FORM, "made": made}, separators=(",", ":")), encoding="utf-8")
        os.replace(fresh, self.list_file)


@dataclass(frozen=True)
class PieceWriter:
    """Writes pieces into their frames, and bundles; ``notice`` is HTML set above the content of every page."""

    writer: Writer
    frames: Frames
    notice: str = ""
    last: LastSite | None = None

    def kept(self, one: Piece | Bundle) -> Written | None:
        """Take it from the last site; None where it is not there, or has other inputs now."""
        key = self._key(one)
        if not key or not _is_of(one, self.last.made.get(key, ())):
            return None
        held = self.last.held(key)
        return Written(_address(one), key, self.last.take(held, self.writer)) if held else None

    def make(self, one: Piece | Bundle) -> Written:
        """Make it; raises ShellError where it has no frame or no place."""
        key = self._key(one)
        made = {file.path: written(file, self.writer) for file in self._files(one)}
        return Written(_address(one), key, made if key else {})

    def write(self, one: Piece | Bundle) -> Written:
        """Write it, kept or made."""
        return self.kept(one) or self.make(one)

    def _files(self, one: Piece | Bundle) -> Iterable[SiteFile]:
        if isinstance(one, Bundle):
            return one.make()
        page, files = one.make()
        shown = replace(page, body=self.notice + page.body) if self.notice else page
        return page_as_file(page.address, self.frames.stamp(shown)), *files

    def _key(self, one: Piece | Bundle) -> str:
        """A digest of all that decides the bytes; empty where that is not known, or nothing is kept."""
        if not one.inputs or self.last is None:
            return ""
        given = (self._program, one.start, one.inputs) if isinstance(one, Bundle) else (
            self._program, self.frames.digest(one.address), self.notice, one.address, one.inputs
        )  # fmt: skip
        return digest_of("\0".join(given).encode("utf-8", errors="surrogatepass"))

    @cached_property
    def _program(self) -> str:
        return code_version(PACKAGE, schema_folder())


def _address(one: Piece | Bundle) -> str:
    return one.address if isinstance(one, Piece) else ""


def _is_of(one: Piece | Bundle, paths: Collection[str]) -> bool:
    """Whether files can be those: a list that is damaged may name others."""
    if isinstance(one, Piece):
        return page_file(one.address) in paths
    return bool(paths) and all(path.startswith(one.start) for path in paths)


def written(file: SiteFile, writer: Writer) -> str:
    """Write a file; what it will be known by."""
    return known_by(file.content, writer.file(file))


def known_by(content: bytes, status: os.stat_result) -> str:
    """What a file is known by: the digest of its bytes, and what the disk says of it."""
    return f"{digest_of(content)} {_on_disk(status)}"


def _on_disk(status: os.stat_result) -> str:
    return f"{status.st_ino} {status.st_size} {status.st_mtime_ns}"


def _as_made(path: str, known: str) -> str:
    """What a file is known by now; empty where it is not as it was made.

    The very file that was made is not read; one that was copied since is.
    """
    digest, _, on_disk = known.partition(" ")
    try:
        status = os.lstat(path)
        if not stat.S_ISREG(status.st_mode):
            return ""
        if _on_disk(status) == on_disk:
            return known
        return f"{digest} {_on_disk(status)}" if digest_of(_content(path)) == digest else ""
    except (OSError, ValueError):
        return ""


def _content(path: str) -> bytes:
    with open(path, "rb") as handle:
        return handle.read()


def digest_of(content: bytes) -> str:
    """The digest under which bytes are listed and known again."""
    return hashlib.sha256(content).hexdigest()[:DIGEST_DIGITS]
