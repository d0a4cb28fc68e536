"""Writes pages and files below one folder. A path that is written twice is a fault, never an overwrite."""

import os
from contextlib import suppress
from pathlib import Path

from lidoff.publish.shell import ShellError, page_file
from lidoff.website import SiteFile


def page_as_file(address: str, html: str) -> SiteFile:
    """The file that a page becomes."""
    # mkdocs writes its own pages with the same error handler
    return SiteFile(page_file(address), html.encode("utf-8", errors="xmlcharrefreplace"))


class Writer:
    """Writes below ``folder`` and remembers which folders it has made."""

    def __init__(self, folder: Path) -> None:
        self._folder = str(folder)
        self._made: set[str] = set()

    def page(self, address: str, html: str) -> None:
        """Write the page of an address; raises ShellError where there is one already."""
        self.file(page_as_file(address, html))

    def file(self, file: SiteFile) -> os.stat_result:
        """Write a file; raises ShellError where there is one already, or where the path leaves the site."""
        self._place(file.path)
        try:
            with open(f"{self._folder}/{file.path}", "xb") as handle:
                handle.write(file.content)
                handle.flush()
                return os.fstat(handle.fileno())
        except FileExistsError as fault:
            raise _twice(file.path) from fault

    def kept(self, path: str, source: str) -> bool:
        """Give the file ``source`` one more name below the folder; False where the disk can't, and nothing is done."""
        self._place(path)
        try:
            os.link(source, f"{self._folder}/{path}")
        except FileExistsError as fault:
            raise _twice(path) from fault
        except OSError:
            return False
        return True

    def _place(self, path: str) -> None:
        """Make the folder of a file; raises ShellError where it would lie outside the site."""
        parent, _, name = path.rpartition("/")
        if parent not in self._made or name in ("", ".", ".."):
            parts = path.split("/")
            if any(part in ("", ".", "..") for part in parts) or "\\" in path or "\0" in path:
                raise ShellError(f"found     the file path {path!r}\nexpected  a path below the site's folder, with /")
            self._make(f"{self._folder}/{parent}")
            self._made.add(parent)

    def _make(self, folder: str) -> None:
        with suppress(FileExistsError):  # by another process, or by the site builder
            try:
                os.mkdir(folder)
            except FileNotFoundError:
                os.makedirs(folder)


def _twice(path: str) -> ShellError:
    return ShellError(f"found     {path} twice in one site\nexpected  one page or file a path")
