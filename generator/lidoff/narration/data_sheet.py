"""A product's page on paper: the print view of the built site, through Chromium, as one PDF."""

import functools
import http.server
import os
import shutil
import subprocess
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

PROGRAMS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
LONGEST_S = 120


class NoSheet(Exception):
    """The data sheet can't be made; the text says why and what to do."""


def write_sheet(site: Path, slug: str, target: Path) -> None:
    """Print the page of a product from a built site into one PDF with its pictures and fonts inside."""
    page = site / "products" / slug / "index.html"
    if not page.is_file():
        raise NoSheet(
            f"found     no page of {slug} in {site}\nexpected  a built site\n"
            "fix       run `lidoff site`, or name another with --site"
        )
    program = next((found for name in PROGRAMS if (found := shutil.which(name))), None)
    if program is None:
        raise NoSheet(
            f"found     none of {', '.join(PROGRAMS)}\nexpected  Chromium, which prints the page\n"
            "fix       install it (apt-get install chromium); everything else works without it"
        )
    with _served(site) as address, tempfile.TemporaryDirectory(prefix="lidoff-sheet-") as profile:
        _print(program, f"{address}/products/{slug}/", target.absolute(), profile)


def _print(program: str, address: str, target: Path, profile: str) -> None:
    target.unlink(missing_ok=True)
    words = [
        program, "--headless", "--disable-gpu", "--no-first-run", "--disable-background-networking",
        "--no-pdf-header-footer",
        f"--user-data-dir={profile}", f"--print-to-pdf={target}", address,
    ]  # fmt: skip
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        words.insert(1, "--no-sandbox")  # Chromium refuses to start as root with it
    try:
        done = subprocess.run(words, capture_output=True, text=True, timeout=LONGEST_S, check=False)
    except subprocess.TimeoutExpired as fault:
        raise NoSheet(f"found     no PDF after {LONGEST_S} s\nexpected  Chromium to print within that time") from fault
    if done.returncode or not target.is_file():
        raise NoSheet(f"found     {done.stderr.strip()[-300:] or 'no PDF'}\nexpected  Chromium to print the page")


class _Quiet(http.server.SimpleHTTPRequestHandler):
    """Serves the site without a word on the screen."""

    def log_message(self, *_: object) -> None:
        return


@contextmanager
def _served(site: Path) -> Iterator[str]:
    """The site at an address of this machine alone, on a free port."""
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(_Quiet, directory=str(site)))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()
