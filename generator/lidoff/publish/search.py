"""The index of the text search, made by Pagefind from a short page a product, never from the site's own pages."""

import os
import subprocess
import threading
from collections.abc import Callable, Iterable, Sequence
from html import escape
from pathlib import Path
from subprocess import PIPE
from tempfile import TemporaryDirectory

from pagefind_bin import get_executable

from lidoff.cache.code_version import code_version
from lidoff.publish.pieces import LastSite, Written, digest_of, known_by
from lidoff.publish.shell import ShellError
from lidoff.publish.writer import Writer
from lidoff.website import SearchText

FOLDER = "pagefind"
# the program also writes what pages can be dressed with; ours need none of it
_UNUSED = ("pagefind-*.js", "pagefind-*.css", "wasm.unknown.pagefind")


def search_index(texts: Sequence[SearchText], site: Path, writer: Writer, last: LastSite | None) -> Written:
    """Write the index below ``site``, or take that of the last site where it was made of the same texts."""
    if last is None:
        write_search_index(texts, site)
        return Written("", "", {})
    key = digest_of(repr((code_version(Path(__file__)), texts)).encode("utf-8", errors="surrogatepass"))
    held = last.held(key)
    if held:
        return Written("", key, last.take(held, writer))
    write_search_index(texts, site)
    made = sorted(path for path in (site / FOLDER).rglob("*") if path.is_file())
    return Written(
        "", key, {path.relative_to(site).as_posix(): known_by(path.read_bytes(), path.stat()) for path in made}
    )


class Indexing:
    """Makes the index of a preview while its pages are looked at; it is there whole or not at all."""

    def __init__(
        self,
        texts: Iterable[SearchText],
        site: Path,
        tell: Callable[[str], None],
        then: Callable[[], None] = lambda: None,
    ) -> None:
        """Begin. ``tell`` is told where it can't be made; ``then`` is called in any case, for nobody to wait for."""
        self._program: subprocess.Popen | None = None
        self._is_over = False
        self._thread = threading.Thread(target=self._make, args=(texts, site, tell, then), name="search index")
        self._thread.start()

    def stop(self) -> None:
        """End it, wherever it is, and come back once nothing of it runs any more."""
        self._is_over = True
        if self._program is not None:
            self._program.terminate()
        self._thread.join()

    def _make(
        self, texts: Iterable[SearchText], site: Path, tell: Callable[[str], None], then: Callable[[], None]
    ) -> None:
        try:
            with TemporaryDirectory(prefix="lidoff-index-", dir=site.parent) as folder:
                write_search_index(texts, Path(folder), self._started)
                if (Path(folder) / FOLDER).is_dir() and not self._is_over:
                    os.replace(Path(folder) / FOLDER, site / FOLDER)
        except (ShellError, OSError) as fault:
            if not self._is_over:
                tell(str(fault))
        if not self._is_over:
            threading.Thread(target=then, name="after the search index", daemon=True).start()

    def _started(self, program: subprocess.Popen) -> None:
        self._program = program
        if self._is_over:
            program.terminate()


def write_search_index(
    texts: Iterable[SearchText], site: Path, started: Callable[[subprocess.Popen], None] = lambda program: None
) -> None:
    """Write the index below ``site``; nothing where there is no text. Raises ShellError where it can't be made.

    ``started`` is given the program that makes it, to end it where nobody waits for the index any more.
    """
    with TemporaryDirectory(prefix="lidoff-search-") as folder:
        if _write_pages(texts, folder) == 0:
            return
        output = (site / FOLDER).absolute()
        command = [str(get_executable()), "--site", folder, "--output-path", str(output), "--silent"]
        # in a session of its own, so that Ctrl-C in a terminal ends the preview and not the program halfway
        with subprocess.Popen(
            command, cwd=folder, stdout=PIPE, stderr=PIPE, text=True, errors="replace", start_new_session=True
        ) as program:
            started(program)
            said, complaint = program.communicate()
        if program.returncode != 0 or not (output / "pagefind.js").is_file():
            raise ShellError(
                f"found     no search index: {(complaint or said).strip() or f'exit {program.returncode}'}\n"
                f"expected  an index of the products\n"
                f"fix       install the package pagefind-bin again"
            )
    for pattern in _UNUSED:
        for file in output.glob(pattern):
            file.unlink()


def _write_pages(texts: Iterable[SearchText], folder: str) -> int:
    """A small page for each text, at its address; returns how many."""
    number = 0
    for number, text in enumerate(texts, 1):
        place = os.path.join(folder, *text.address.strip("/").split("/"))
        os.makedirs(place)
        with open(os.path.join(place, "index.html"), "w", encoding="utf-8", errors="xmlcharrefreplace") as handle:
            handle.write(_page(text))
    return number


def _page(text: SearchText) -> str:
    """Title, line and filters as the program reads them; the word of a filter stands in an attribute, to be no text."""
    filters = "".join(
        f'<i data-pagefind-filter="{escape(key)}[data-word]" data-word="{escape(word)}"></i>'
        for key, word in text.filters.items()
    )
    title = f'<h1 data-pagefind-meta="title">{escape(text.title)}</h1>'
    line = f'<p data-pagefind-meta="line">{escape(text.line)}</p>'
    body = f"{filters}{title}{line}<p>{escape(text.text)}</p>"
    return f'<!doctype html><html lang="en"><body data-pagefind-body>{body}</body></html>'
