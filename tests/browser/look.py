"""Take pictures of pages, for people who review how they look.

    .venv/bin/python tests/browser/look.py SITE PATH... [--to FOLDER]

SITE is the folder of a built site (such as .lidoff/site) or the address of a running preview. PATHs are addresses in it, with or
without the slash in front: ``/`` ``products/`` ``compare/?p=BRAND/MODEL&p=BRAND/MODEL``. Each gives five pictures of the whole page:
1280 and 390 pixels wide, light and dark, and as printed. They go to FOLDER, by default ``.lidoff/look``.
"""

import argparse
import re
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path
from typing import Any

from conftest import ROOT, served, watch
from playwright.sync_api import sync_playwright

ARGUMENTS = ("--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking")
PAPER_PX = 700  # A4 less margins, at 96 pixels an inch
WAYS = (
    ("1280-light", 1280, "light", "screen"),
    ("1280-dark", 1280, "dark", "screen"),
    ("390-light", 390, "light", "screen"),
    ("390-dark", 390, "dark", "screen"),
    ("print", PAPER_PX, "light", "print"),
)


@contextmanager
def browser() -> Iterator[Any]:
    """Debian's chromium, without a window."""
    program = shutil.which("chromium")
    if program is None:
        sys.exit("needs the program chromium (apt-get install chromium)")
    with sync_playwright() as playwright:
        yield playwright.chromium.launch(executable_path=program, args=list(ARGUMENTS))


def file_name(path: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", path.lower()).strip("-") or "home"


def take(chromium: Any, url: str, path: str, folder: Path) -> None:
    """All pictures of one page; what it complains of is printed."""
    page = chromium.new_page()
    complaints = watch(page, url)
    page.goto(url + path.removeprefix("/"))
    page.wait_for_timeout(300)
    for name, width, colours, media in WAYS:
        page.set_viewport_size({"width": width, "height": 900})
        page.emulate_media(media=media, color_scheme=colours)
        file = folder / f"{file_name(path)}-{name}.png"
        page.screenshot(path=file, full_page=True)
        print(file)
    page.close()
    for complaint in complaints:
        print(f"  {path}: {complaint}", file=sys.stderr)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("site", metavar="SITE")
    parser.add_argument("paths", metavar="PATH", nargs="+")
    parser.add_argument("--to", type=Path, default=ROOT / ".lidoff" / "look", metavar="FOLDER")
    given = parser.parse_args()
    given.to.mkdir(parents=True, exist_ok=True)
    is_running = given.site.startswith(("http://", "https://"))
    serving = nullcontext(f"{given.site.rstrip('/')}/") if is_running else served(Path(given.site).resolve())
    with serving as url, browser() as chromium:
        for path in given.paths:
            take(chromium, url, path, given.to)


if __name__ == "__main__":
    main()
