"""Style sheet and scripts of the pages, put together from their source files."""

from collections.abc import Iterator
from importlib.resources import files as resources

from lidoff.trends.palette import COLOURS
from lidoff.website import SiteFile

FORCED = {"chart-ground": "Canvas", "chart-grid": "GrayText", "chart-neutral": "GrayText"}


def files() -> Iterator[SiteFile]:
    """The files that every frame links, and the modules that the script loads."""
    folder = resources("lidoff.pages").joinpath("assets")
    styles = sorted(folder.joinpath("css").iterdir(), key=lambda file: file.name)
    sheets = [file.read_bytes() for file in styles]
    yield SiteFile("assets/lidoff.css", b"\n".join((*sheets, chart_colours().encode("utf-8"))))
    yield SiteFile("assets/lidoff.js", folder.joinpath("lidoff.js").read_bytes())
    for file in sorted(folder.joinpath("js").iterdir(), key=lambda file: file.name):
        yield SiteFile(f"assets/lidoff/{file.name}", file.read_bytes())


def chart_colours() -> str:
    """The colours of charts in the frame's light and dark scheme; readers who choose colours themselves get theirs."""
    lines = "".join(f"  --{name}: light-dark({light}, {dark});\n" for name, (light, dark) in COLOURS.items())
    forced = "".join(f"    --{name}: {FORCED.get(name, 'CanvasText')};\n" for name in COLOURS)
    return f".lf-chart {{\n{lines}}}\n@media (forced-colors: active) {{\n  .lf-chart {{\n{forced}  }}\n}}\n"
