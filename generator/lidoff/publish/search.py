"""The index of the text search, made by Pagefind from a short page a product, never from the site's own pages."""

import os
import subprocess
import threading
from collections.abc import Callable, Iterable, Sequence
from html import escape
from pathlib import Path
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


def index_meanwhile(texts: Iterable[SearchText], site: Path, tell: Callable[[str], None]) -> threading.Thread:
    """Make the index of a preview while its pages are looked at; it is there whole or not at all.

    ``tell`` is told where it can't be made. Wait for the thread before the site's folder goes.
    """

    def make() -> None:
        try:
            with TemporaryDirectory(prefix="lidoff-index-", dir=site.parent) as folder:
                write_search_index(texts, Path(folder))
                if (Path(folder) / FOLDER).is_dir():
                    os.replace(Path(folder) / FOLDER, site / FOLDER)
        except ShellError as fault:
            tell(str(fault))

    thread = threading.Thread(target=make, name="search index")
    thread.start()
    return thread


def write_search_index(texts: Iterable[SearchText], site: Path) -> None:
    """Write the index below ``site``; nothing where there is no text. Raises ShellError where it can't be made."""
    with TemporaryDirectory(prefix="lidoff-search-") as folder:
        if _write_pages(texts, folder) == 0:
            return
        output = (site / FOLDER).absolute()
        command = [str(get_executable()), "--site", folder, "--output-path", str(output), "--silent"]
        # in a session of its own, so that Ctrl-C in a terminal ends the preview and not the program halfway
        done = subprocess.run(
            command, cwd=folder, capture_output=True, text=True, errors="replace", check=False, start_new_session=True
        )
        if done.returncode != 0 or not (output / "pagefind.js").is_file():
            raise ShellError(
                f"found     no search index: {(done.stderr or done.stdout).strip() or f'exit {done.returncode}'}\n"
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
