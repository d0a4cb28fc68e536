"""List the links of a built site that leave it, follow each once, and fail if one is gone.

    python3 .github/outward_links.py FOLDER [--list]

Standard library only. ``--list`` prints the links and follows none.
"""

import sys
import urllib.error
import urllib.request
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from html.parser import HTMLParser
from pathlib import Path

TIMEOUT_S = 20
AT_ONCE = 8


class _Links(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "a":
            self.found += [value for name, value in attrs if name == "href" and value and value.startswith("http")]


def outward_links(site: Path) -> dict[str, str]:
    """Every address outside the site that an anchor names, with the first page that names it."""
    first_page: dict[str, str] = {}
    for page in sorted(site.rglob("*.html")):
        parser = _Links()
        parser.feed(page.read_text(encoding="utf-8"))
        for link in parser.found:
            first_page.setdefault(link.split("#")[0], page.relative_to(site).as_posix())
    return first_page


def fault_of(link: str) -> str | None:
    """Why a link can't be read, or None where it can."""
    request = urllib.request.Request(link, headers={"User-Agent": "lidoff-link-audit"})
    try:
        with urllib.request.urlopen(request, timeout=TIMEOUT_S):
            return None
    except urllib.error.HTTPError as fault:
        return f"answers {fault.code}"
    except (OSError, ValueError) as fault:
        return str(fault)


def report(site: Path, follow: bool) -> Iterator[str]:
    """One line a link that leads nowhere, or without following one line a link."""
    links = outward_links(site)
    if not follow:
        yield from (f"{link} (on {page})" for link, page in links.items())
        return
    with ThreadPoolExecutor(AT_ONCE) as pool:
        for (link, page), fault in zip(links.items(), pool.map(fault_of, links), strict=True):
            if fault:
                yield f"- {link}: {fault} (first on {page})"


def main(arguments: list[str]) -> int:
    """Print what is wrong; 1 where a link leads nowhere, 2 on wrong usage."""
    folders = [argument for argument in arguments if argument != "--list"]
    if len(folders) != 1 or not Path(folders[0]).is_dir():
        print(__doc__, file=sys.stderr)
        return 2
    follow = "--list" not in arguments
    lines = list(report(Path(folders[0]), follow))
    print("\n".join(lines) if lines else "Every link that leaves the site was answered.")
    return 1 if follow and lines else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
