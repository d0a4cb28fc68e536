"""Style sheet and scripts of the pages, put together from their source files."""

import hashlib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files as resources

from lidoff.trends.palette import COLOURS
from lidoff.website import SiteFile

FORCED = {"chart-ground": "Canvas", "chart-grid": "GrayText", "chart-neutral": "GrayText"}


def files() -> Iterator[SiteFile]:
    """The files that every frame links, and the modules that the script loads."""
    for name, content in _contents().items():
        yield SiteFile(f"{folder()}/{name}", content)


@cache
def folder() -> str:
    """Where they lie: the name holds a digest of all of them, so that a browser may keep them for good."""
    return f"assets/{short_digest(_contents())}"


def short_digest(files: Mapping[str, bytes]) -> str:
    """Twelve digits that any edit of one of these files changes."""
    seal = hashlib.sha256()
    for name, content in files.items():
        seal.update(f"{name} {len(content)}\n".encode() + content)
    return seal.hexdigest()[:12]


def _contents() -> dict[str, bytes]:
    source = resources("lidoff.pages").joinpath("assets")
    styles = sorted(source.joinpath("css").iterdir(), key=lambda file: file.name)
    sheets = [file.read_bytes() for file in styles]
    modules = sorted(source.joinpath("js").iterdir(), key=lambda file: file.name)
    return {
        "lidoff.css": b"\n".join((*sheets, chart_colours().encode("utf-8"))),
        "lidoff.js": source.joinpath("lidoff.js").read_bytes(),
        **{f"lidoff/{file.name}": file.read_bytes() for file in modules},
    }


def chart_colours() -> str:
    """The colours of charts in the frame's light and dark scheme; readers who choose colours themselves get theirs."""
    lines = "".join(f"  --{name}: light-dark({light}, {dark});\n" for name, (light, dark) in COLOURS.items())
    forced = "".join(f"    --{name}: {FORCED.get(name, 'CanvasText')};\n" for name in COLOURS)
    return f".lf-chart {{\n{lines}}}\n@media (forced-colors: active) {{\n  .lf-chart {{\n{forced}  }}\n}}\n"
