"""Writes pages and files below one folder. A path that is written twice is a fault, never an overwrite."""

import os
from pathlib import Path

from lidoff.publish.shell import ShellError, page_file
from lidoff.website import SiteFile


class Writer:
    """Writes below ``folder`` and remembers which folders it has made."""

    def __init__(self, folder: Path) -> None:
        self._folder = str(folder)
        self._made: set[str] = set()

    def page(self, address: str, html: str) -> None:
        """Write the page of an address; raises ShellError where there is one already."""
        # mkdocs writes its own pages with the same error handler
        self._write(page_file(address), html.encode("utf-8", errors="xmlcharrefreplace"))

    def file(self, file: SiteFile) -> None:
        """Write a file; raises ShellError where there is one already, or where the path leaves the site."""
        parts = file.path.split("/")
        if any(part in ("", ".", "..") for part in parts) or "\\" in file.path or "\0" in file.path:
            raise ShellError(f"found     the file path {file.path!r}\nexpected  a path below the site's folder, with /")
        self._write(file.path, file.content)

    def _write(self, path: str, content: bytes) -> None:
        parent = path.rpartition("/")[0]
        if parent not in self._made:
            os.makedirs(f"{self._folder}/{parent}", exist_ok=True)
            self._made.add(parent)
        try:
            with open(f"{self._folder}/{path}", "xb") as handle:
                handle.write(content)
        except FileExistsError as fault:
            raise ShellError(f"found     {path} twice in one site\nexpected  one page or file a path") from fault
