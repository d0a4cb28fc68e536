"""The benchmark of product pages makes the pages that the site publishes, and only those."""

import sys
from pathlib import Path

from lidoff.pipeline import prepare
from lidoff.settings import read_settings

HERE = Path(__file__).parent
RECORD = "entries/fernhollow/fh-65/record.yaml"
sys.path[:0] = [str(HERE)]
import bench_site  # noqa: E402


def test_it_makes_a_page_a_product(tmp_path: Path) -> None:
    (tmp_path / RECORD).parent.mkdir(parents=True)
    (tmp_path / RECORD).write_bytes((HERE.parents[1] / RECORD).read_bytes())
    (tmp_path / "mkdocs.yml").write_text("site_name: One\nsite_url: https://example.org/\nplugins: [lidoff]\n")
    settings = read_settings(tmp_path / "mkdocs.yml")
    (entry,) = prepare(settings).collection.entries  # its pictures are not there, which the page says
    ((page, files),) = [piece.make() for piece in bench_site.page_pieces([entry], settings)]
    assert (page.address, page.title, files) == ("/products/fernhollow/fh-65/", entry.title, ())
    assert page.body.count("<table") > 5


def test_the_alarm_goes_by_what_a_page_holds() -> None:
    assert bench_site.alarm(6.0, 42.0).startswith("BUDGET EXCEEDED: 6.00 ms for 42 kB; 4.50 ms are allowed")
    assert bench_site.alarm(4.5, 42.0).startswith("within the budget")
    assert bench_site.alarm(1.6, 14.0).startswith("BUDGET EXCEEDED")
