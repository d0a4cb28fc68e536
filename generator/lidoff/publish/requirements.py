"""What must hold before a build starts: settings that the site can't do without, no symbolic links in its sources."""

import os
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig

from lidoff.publish.mkdocs_files import theme_styles


class Unfit(Exception):
    """The site can't be built from this; the text says what was found, what was expected and how to mend it."""


def require(config: MkDocsConfig, entries: Path) -> None:
    """Raise Unfit at the first thing that keeps the site from being built."""
    if not config.site_url:
        raise Unfit(
            "found     no site_url in mkdocs.yml\n"
            "expected  the address where the site will stand: its sitemap and its permanent links need it\n"
            "fix       add a line such as  site_url: https://example.org/chargers/"
        )
    if not config.use_directory_urls:
        raise Unfit(
            "found     use_directory_urls: false\n"
            "expected  true: published addresses never change\n"
            "fix       remove the line"
        )
    if theme_styles(config.theme.dirs) is None:
        raise Unfit(f"found     theme {config.theme.name}\nexpected  material\nfix       theme: {{name: material}}")
    for folder in (Path(config.docs_dir), entries):
        refuse_links(folder)


def refuse_links(folder: Path) -> None:
    """Raise Unfit for the first symbolic link: mkdocs and copies would follow it out of the folder."""
    link = _first_link(str(folder))
    if link is not None:
        raise Unfit(
            f"found     {link} is a symbolic link\n"
            f"expected  real files and folders only: a link could publish files from elsewhere\n"
            f"fix       put the file itself there"
        )


def _first_link(folder: str) -> str | None:
    if os.path.islink(folder):
        return folder
    if not os.path.isdir(folder):
        return None
    with os.scandir(folder) as entries:
        for entry in sorted(entries, key=lambda entry: entry.name):
            if entry.is_symlink():
                return entry.path
            inner = _first_link(entry.path) if entry.is_dir() else None
            if inner is not None:
                return inner
    return None
