"""Pieces of the site, written where they belong: made anew, or taken from the last good site where they still hold."""

import hashlib
import json
import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from lidoff.cache.code_version import code_version
from lidoff.publish.shell import Frames, page_file
from lidoff.publish.writer import Writer, page_as_file
from lidoff.record.schema import schema_folder
from lidoff.website import Piece, SiteFile

PACKAGE = Path(__file__).parents[1]
FORM = 1  # of the list of what was made


@dataclass(frozen=True, slots=True)
class Written:
    """A piece that was written: the digest of each of its files, by path. ``key`` is empty where it can't be kept."""

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

    def files(self, key: str, address: str) -> tuple[SiteFile, ...]:
        """The page at an address and what belongs to it, as they lie in the site; none where one is not as made."""
        return self.held(key) if page_file(address) in self.made.get(key, {}) else ()

    def held(self, key: str) -> tuple[SiteFile, ...]:
        """All that was made for a key, as it lies in the site; none where one file is not as made."""
        found = []
        for path, digest in self.made.get(key, {}).items():
            try:
                content = (self.folder / path).read_bytes()
            except (OSError, ValueError):
                return ()
            if digest_of(content) != digest:
                return ()
            found.append(SiteFile(path, content))
        return tuple(found)

    def write(self, pieces: Iterable[Written]) -> None:
        """Write the list of what was made for the site that now lies in the folder, in one step."""
        made = {one.key: dict(one.digests) for one in pieces if one.key}
        self.list_file.parent.mkdir(parents=True, exist_ok=True)
        fresh = self.list_file.with_suffix(".new")
        fresh.write_text(json.dumps({"form": FORM, "made": made}, separators=(",", ":")), encoding="utf-8")
        os.replace(fresh, self.list_file)


@dataclass(frozen=True, slots=True)
class PieceWriter:
    """Writes pieces into their frames; ``notice`` is HTML set above the content of every page."""

    writer: Writer
    frames: Frames
    notice: str = ""
    last: LastSite | None = None

    def write(self, piece: Piece) -> Written:
        """Write one piece; raises ShellError where it has no frame or no place."""
        key = self._key(piece)
        known = self.last.files(key, piece.address) if self.last and key else ()
        if known:
            for file in known:
                self.writer.kept(file, os.path.join(self.last.folder, file.path))
            return Written(piece.address, key, self.last.made[key])
        page, files = piece.make()
        shown = replace(page, body=self.notice + page.body) if self.notice else page
        made = (page_as_file(page.address, self.frames.stamp(shown)), *files)
        for file in made:
            self.writer.file(file)
        return Written(page.address, key, {file.path: digest_of(file.content) for file in made} if key else {})

    def _key(self, piece: Piece) -> str:
        """A digest of all that decides the bytes of a piece; empty where that is not known, or nothing is kept."""
        if not piece.inputs or self.last is None:
            return ""
        given = (
            code_version(PACKAGE, schema_folder()),
            self.frames.digest(piece.address),
            self.notice,
            piece.address,
            piece.inputs,
        )
        return digest_of("\0".join(given).encode("utf-8", errors="surrogatepass"))


def digest_of(content: bytes) -> str:
    """The digest under which bytes are listed and known again."""
    return hashlib.sha256(content).hexdigest()
