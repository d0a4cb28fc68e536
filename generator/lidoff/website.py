"""What the page stage hands to the publishing stage: fragments of HTML and files, and nothing of any site builder."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal


@dataclass(frozen=True, slots=True)
class Page:
    """A page without its frame.

    ``address`` starts and ends with a slash and is relative to the site's base (``/products/b/m/``). ``body`` is an HTML
    fragment that is already safe and holds its own ``<h1>``; links to other pages of the site are relative to this page.
    ``frame`` says who draws the frame: ``builder`` for the few pages that the site builder renders itself, ``stamped``
    for the thousands that are set into a frame rendered once. ``edit_path`` is the source file, relative to the folder of
    mkdocs.yml. ``image`` is the path of a picture that stands for the page where it is linked to, ``image_alt`` says
    what it shows.
    """

    address: str
    title: str
    description: str
    body: str
    frame: Literal["builder", "stamped"] = "stamped"
    edit_path: str | None = None
    image: str | None = None
    image_alt: str = ""


@dataclass(frozen=True, slots=True)
class SiteFile:
    """A file of the site that is not a page; ``path`` is relative to the site's base and uses forward slashes."""

    path: str
    content: bytes


@dataclass(frozen=True, slots=True)
class PictureFile:
    """A file of the site that an encoder makes from a picture beside a record; the ending of ``path`` says its format.

    ``source`` must hold what has the digest ``sha256``. ``box`` is left, top, right and bottom of the piece to cut out,
    in pixels of the upright picture, None for all of it; ``size`` is width and height of what is made, in pixels.
    """

    path: str
    source: str
    sha256: str
    size: tuple[int, int]
    box: tuple[int, int, int, int] | None = None


@dataclass(frozen=True, slots=True)
class SearchText:
    """What the text search knows of a page: plain text, of which ``line`` is shown, and words to filter by."""

    address: str
    title: str
    line: str
    text: str
    filters: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Piece:
    """A stamped page with the files that belong to it, which are made when they are asked for.

    ``inputs`` is a digest of all that ``make`` rests on beside the code: pieces of one address and equal inputs are equal
    to the byte, so that what an earlier build made of them still holds. It is empty where nobody knows.
    """

    address: str
    make: Callable[[], tuple[Page, tuple[SiteFile, ...]]]
    inputs: str = ""


@dataclass(frozen=True, slots=True)
class Bundle:
    """Files that are made together, of which all paths begin with ``start``; ``inputs`` as with a piece."""

    start: str
    make: Callable[[], Iterable[SiteFile]]
    inputs: str = ""


@dataclass(frozen=True, slots=True)
class Website:
    """All that one build publishes.

    The pages with the frame ``builder`` come first among ``pages``: the site builder needs them before it starts. The
    thousands of others are ``pieces``, so that they are never held at once and can be made side by side. ``moved`` are
    addresses that pages had before, each with the address of today. ``assets`` is the folder of the files ``lidoff.css``
    and ``lidoff.js``, which every page loads. ``products`` is how many it shows.
    """

    pages: Iterable[Page]
    files: Iterable[SiteFile]
    texts: Iterable[SearchText] = ()
    pictures: Iterable[PictureFile] = ()
    pieces: Iterable[Piece] = ()
    bundles: Iterable[Bundle] = ()
    moved: Mapping[str, str] = field(default_factory=dict)
    assets: str = "assets"
    products: int = 0
