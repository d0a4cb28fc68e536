"""Our pages and frames as files that mkdocs believes to find in its docs_dir."""

import re
from collections.abc import Iterable, Iterator
from functools import cache
from itertools import chain, product
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel

from lidoff.pages.asset_files import short_digest
from lidoff.publish.shell import ShellError, page_file, section_of
from lidoff.website import Page

DEEPEST = 4  # folders from the site's base to the deepest page
FRAME_FOLDER = "~frame"
THEME = Path(__file__).with_name("theme")
_OWN_ASSETS = "assets/frame/"
_THEME_STYLES = re.compile(r"assets/stylesheets/main\.[0-9a-f]+\.min\.css")


def split(pages: Iterable[Page]) -> tuple[tuple[Page, ...], Iterator[Page]]:
    """The builder's pages, which come first, and the rest, which are made only when they are asked for."""
    iterator, builder = iter(pages), []
    for page in iterator:
        if page.frame != "builder":
            return tuple(builder), chain([page], iterator)
        builder.append(page)
    return tuple(builder), iter(())


def source_uri(address: str) -> str:
    """The Markdown file that would become the page at this address."""
    return page_file(address).removesuffix("index.html") + "index.md"


def frame_keys(builder_pages: Iterable[Page]) -> tuple[tuple[str, int], ...]:
    """Section and depth of every frame: each section that the navigation can mark, and '' for all others."""
    sections = sorted({section_of(page.address) for page in builder_pages} - {""})
    depths = range(1, DEEPEST + 1)
    return (("", 0), *product([""], depths), *product(sections, depths[1:]))


def frame_file(key: tuple[str, int], config: MkDocsConfig) -> File:
    """The page whose rendering becomes the frame of this section and depth."""
    section, depth = key
    if depth == 0:
        # only the home page lies at the top: this frame is written elsewhere, but links as if it lay there
        file = generated(f"{FRAME_FOLDER}/top.md", config)
        file.url = "./"
        return file
    folders = [section] * bool(section) + [FRAME_FOLDER] * (depth - bool(section))
    return generated("/".join((*folders, "index.md")), config)


def generated(uri: str, config: MkDocsConfig) -> File:
    """A page without Markdown; its content is put in when mkdocs has rendered the nothing."""
    return File.generated(config, uri, content="", inclusion=InclusionLevel.NOT_IN_NAV)


def add_page(page: Page, files: Files, config: MkDocsConfig) -> str:
    """Add a page to mkdocs' files; raises ShellError where one of the hand-written pages has the same address."""
    uri = source_uri(page.address)
    file = generated(uri, config)
    rival = next((other.src_uri for other in files if other.dest_uri == file.dest_uri), None)
    if rival is not None:
        raise ShellError(f"found     two pages at {page.address}, one of them {rival}\nexpected  one page an address")
    files.append(file)
    return uri


def drop_unused(files: Files, theme_folders: Iterable[str]) -> None:
    """Leave out the theme's scripts, search and maps: the frame uses its style sheet alone, beside files of its own."""
    folders = set(theme_folders)
    for file in tuple(files):
        if file.src_dir not in folders:
            continue
        if file.src_uri.startswith(_OWN_ASSETS):
            file.dest_uri = frame_assets() + file.src_uri.removeprefix(_OWN_ASSETS)
        elif not _THEME_STYLES.fullmatch(file.src_uri):
            files.remove(file)


@cache
def frame_assets() -> str:
    """The folder of the frame's own files: its name holds their digest, so that a browser may keep them for good."""
    files = {file.name: file.read_bytes() for file in sorted((THEME / _OWN_ASSETS).iterdir())}
    return f"assets/frame-{short_digest(files)}/"


def theme_styles(theme_folders: Iterable[str]) -> str | None:
    """The address of the theme's style sheet, whose name changes with every version."""
    for folder in theme_folders:
        for path in sorted(Path(folder, "assets", "stylesheets").glob("main.*.min.css")):
            return f"assets/stylesheets/{path.name}"
    return None
