"""What a reader's browser loads and waits for on a built site, served by nginx on this machine. By hand.

    .venv/bin/python tests/bench/bench_readers.py SITE [--times 5]

SITE is the folder of a built site. Each row is a fresh browser profile that does one thing: bytes as they were sent (compressed),
requests, and the median seconds until the page can be used or the answer is there: as this machine is, and as on a slow phone
(processor four times slower, 10 Mbit/s, 50 ms from question to answer). Needs Debian's nginx and chromium.
"""

import argparse
import json
import shutil
import statistics
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from time import monotonic
from typing import Any

from playwright.sync_api import sync_playwright
from serving import missing, nginx

sys.path.append(str(Path(__file__).parents[1] / "browser"))
from conftest import READY

PHONE = {"offline": False, "latency": 50, "downloadThroughput": 1_250_000, "uploadThroughput": 1_250_000}
PHONE_SLOWER = 4
WAIT_MS = 180_000
TOTAL = "() => document.querySelector('main [role=status]')?.textContent"


@dataclass(frozen=True)
class Visit:
    """What one visit took."""

    sent_bytes: int
    requests: int
    waited_s: float


def opened(page: Any, address: str) -> None:
    """Go to a page and come back when its script has done its work."""
    page.goto(address, timeout=WAIT_MS)
    page.wait_for_function(READY, timeout=WAIT_MS)


def filtered(page: Any, address: str) -> None:
    """Choose among all products those that offer PPS."""
    opened(page, address)
    page.wait_for_function(f"() => / rows$/.test(({TOTAL})())", timeout=WAIT_MS)
    before = page.evaluate(TOTAL)
    page.locator("main label").filter(has_text="Protocol seen").locator("select").select_option("PPS")
    page.wait_for_function(f"(before) => ({TOTAL})() !== before", arg=before, timeout=WAIT_MS)


def compared(page: Any, address: str) -> None:
    opened(page, address)
    page.locator("table.lf-comparison").wait_for(timeout=WAIT_MS)


def asked(field: str, words: str, found: str) -> Callable[[Any, str], None]:
    """Type words into a field and wait for the first of what is found."""

    def ask(page: Any, address: str) -> None:
        opened(page, address)
        page.get_by_label(field).fill(words)
        page.locator(found).first.wait_for(timeout=WAIT_MS)

    return ask


def one_visit(browser: Any, does: Callable[[Any, str], None], address: str, is_phone: bool) -> Visit:
    """Do one thing in a profile that has kept nothing."""
    context = browser.new_context(viewport={"width": 390 if is_phone else 1280, "height": 900})
    page = context.new_page()
    session = context.new_cdp_session(page)
    sizes: list[int] = []
    session.on("Network.loadingFinished", lambda one: sizes.append(int(one["encodedDataLength"])))
    session.send("Network.enable")
    if is_phone:
        session.send("Network.emulateNetworkConditions", PHONE)
        session.send("Emulation.setCPUThrottlingRate", {"rate": PHONE_SLOWER})
    started = monotonic()
    does(page, address)
    waited = monotonic() - started
    context.close()
    return Visit(sum(sizes), len(sizes), waited)


def tasks(site: Path) -> Sequence[tuple[str, str, Callable[[Any, str], None]]]:
    """What a reader does, where, and how."""
    addresses = json.loads((site / "data" / "addresses.json").read_text(encoding="utf-8"))["addresses"]
    products = [one for one in addresses if one.startswith("/products/") and one.count("/") == 4]
    four = products[:: max(1, len(products) // 4)][:4]
    chosen = "&".join(f"p={one.removeprefix('/products/').rstrip('/')}" for one in four)
    return (
        ("home page", "/", opened),
        ("product page", four[1], opened),
        ("list of products, filtered", "/products/", filtered),
        ("comparison of four", f"/compare/?{chosen}", compared),
        ("search for two words", "/search/", asked("Words", "flyback gan", "[data-results] li > a")),
        ("lookup of a print", "/parts/lookup/", asked("Print or part number", "0R1", "[data-results] tbody tr")),
        ("trend table", "/trends/technology-by-tier/", opened),
    )


def measured(browser: Any, site: Path, url: str, times: int) -> list[str]:
    """A row of the table for each task."""
    rows = []
    for name, address, does in tasks(site):
        here = [one_visit(browser, does, url + address, is_phone=False) for _ in range(times)]
        phone = [one_visit(browser, does, url + address, is_phone=True) for _ in range(times)]
        waits = [statistics.median(one.waited_s for one in visits) for visits in (here, phone)]
        kilobytes = statistics.median(one.sent_bytes for one in here) / 1000
        rows.append(f"| {name} | {kilobytes:.0f} | {here[0].requests} | {waits[0]:.1f} | {waits[1]:.1f} |")
    return rows


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("site", type=Path)
    parser.add_argument("--times", type=int, default=5)
    given = parser.parse_args()
    if absent := missing("nginx", "chromium"):
        print(f"needs {' and '.join(absent)} (apt-get install {' '.join(absent)}): nothing was measured")
        return 1
    with (
        tempfile.TemporaryDirectory() as folder,
        nginx(given.site, Path(folder)) as url,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        print("| | kB | requests | s | s, slow phone |\n|---|---|---|---|---|")
        print("\n".join(measured(browser, given.site, url, given.times)))
        browser.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
