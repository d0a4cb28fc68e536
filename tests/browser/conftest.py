"""The demo, frozen, built once and served with its own headers; a browser that notices whatever a page complains of."""

import fcntl
import json
import os
import re
import shutil
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
import yaml

from lidoff.pipeline import prepare
from lidoff.publish.build import build_site
from lidoff.settings import read_settings

ROOT = Path(__file__).resolve().parents[2]
KEPT_PICTURES = ".lidoff/cache/pictures"
DEMO = ("mkdocs.yml", "entries", "generator/lidoff/prose")
# pages of one template; a page that fits none fails test_every_page_is_of_a_known_kind
KINDS = {
    "home": "/", "products": "/products/", "product": "/products/[^/]+/[^/]+/", "parts": "/parts/", "lookup": "/parts/lookup/",
    "part": "/parts/[^/]+/[^/]+/", "maker": "/makers/[^/]+/", "brand": "/brands/[^/]+/", "tier": "/tiers/[^/]+/",
    "topology": "/topologies/[^/]+/", "trends": "/trends/", "trend": "/trends/[^/]+/", "compare": "/compare/",
    "ready-made": "/compare/(tier|part|brand)/.+/", "life-size": "/scale/",
    "life-size-set": "/scale/(tier|brand)/.+/", "methods": "/methods/", "method": "/methods/[^/]+/",
    "checks": "/checks/", "check": "/checks/[^/]+/", "fields": "/fields/", "vocabulary": "/vocabulary/", "search": "/search/",
    "data": "/data/", "designs": "/designs/", "prose": "/(safety|about|contributing|photographing)/",
}  # fmt: skip
# the script of a page is loaded after the page and has then done its work
READY = """() => [["table[data-table]:not(.lf-comparison)", ".lf-sort"], ["[data-comparison]", "[data-comparison] > *"], ["[data-life-size]", "[data-life-size] > *"],
  [":is([data-lookup], [data-search])", "main form[role=search]:not([hidden])"], [".lf-page", ".lf-tray"]]
  .every(([part, made]) => !document.querySelector(part) || document.querySelector(made))"""
STANDARD_MEDIA = {"color_scheme": "light", "reduced_motion": "no-preference", "forced_colors": "none"}
LEFT = "net::ERR_ABORTED"  # the test itself has left the page meanwhile
TOLD = """addEventListener("securitypolicyviolation", (event) =>
  console.error("policy", event.violatedDirective, event.blockedURI, event.sample));"""


def copy_demo(folder: Path) -> Path:
    """Everything that the demo site is made from, so that nobody's edit reaches a build under way."""
    for part in DEMO:
        copy = shutil.copytree if (ROOT / part).is_dir() else shutil.copy
        (folder / part).parent.mkdir(parents=True, exist_ok=True)
        copy(ROOT / part, folder / part)
    if (ROOT / KEPT_PICTURES).is_dir():
        # kept by content, so that a copy saves time and can change nothing
        shutil.copytree(ROOT / KEPT_PICTURES, folder / KEPT_PICTURES, ignore=shutil.ignore_patterns("new-*"))
    return folder


def build(base: Path) -> None:
    """Build the site of a knowledge base as ``lidoff site --strict`` does."""
    settings = read_settings(base / "mkdocs.yml")
    result = build_site(settings, prepare(settings), strict=True)
    assert result.is_good, "\n".join(result.messages)


class _Handler(SimpleHTTPRequestHandler):
    """Serves a site as a static host would: with the headers of its file ``_headers`` and its page for unknown addresses."""

    protocol_version = "HTTP/1.1"

    def __init__(self, *arguments: Any, headers: Mapping[str, str], **options: Any) -> None:
        self.given = headers
        super().__init__(*arguments, **options)

    def end_headers(self) -> None:
        for name, value in self.given.items():
            self.send_header(name, value)
        super().end_headers()

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        content = Path(self.directory, "404.html").read_bytes()
        self.send_response(code)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

    def log_message(self, format: str, *arguments: object) -> None:
        """Say nothing."""


def headers_of(site: Path) -> dict[str, str]:
    """What the file ``_headers`` asks a host to send with every answer."""
    everywhere, _, _ = (site / "_headers").read_text(encoding="utf-8").partition("\n\n")
    first, *lines = everywhere.splitlines()
    assert first == "/*"
    return dict(line.strip().split(": ", 1) for line in lines)


@contextmanager
def served(site: Path) -> Iterator[str]:
    """The address at which the site is served on this machine."""
    handler = partial(_Handler, directory=str(site), headers=headers_of(site))
    with ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


@dataclass(frozen=True)
class Site:
    """A site that is being served."""

    base: Path
    folder: Path
    url: str
    records: Mapping[str, Mapping[str, Any]]

    @property
    def addresses(self) -> list[str]:
        return json.loads((self.folder / "data" / "addresses.json").read_text(encoding="utf-8"))["addresses"]

    def of_kind(self, kind: str) -> list[str]:
        """The pages of a kind, the largest first: they hold the most that can go wrong."""
        pages = [one for one in self.addresses if re.fullmatch(KINDS[kind], one)]
        return sorted(pages, key=lambda one: -(self.folder / one[1:] / "index.html").stat().st_size)

    def title(self, slug: str) -> str:
        product = self.records[slug]["product"]
        return f"{product['brand']} {product['model']}"


def published(base: Path) -> dict[str, Mapping[str, Any]]:
    """The published records by their product path, read by PyYAML alone."""
    files = sorted((base / "entries").glob("*/*/record.yaml"))
    records = {
        "/".join(file.parts[-3:-1]): yaml.load(file.read_text(encoding="utf-8"), yaml.CSafeLoader) for file in files
    }
    return {slug: record for slug, record in records.items() if record["status"] == "published"}


@contextmanager
def open_site(base: Path) -> Iterator[Site]:
    """Serve the site that was built from a knowledge base."""
    folder = base / ".lidoff" / "site"
    with served(folder) as url:
        yield Site(base, folder, url, published(base))


@pytest.fixture(scope="session")
def built_once(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str, Callable[[Path], object]], Path]:
    """Writes a knowledge base and builds its site, once for all processes that run the tests."""
    own = tmp_path_factory.getbasetemp()
    shared = own.parent if "PYTEST_XDIST_WORKER" in os.environ else own

    def built_once(name: str, write: Callable[[Path], object]) -> Path:
        base = shared / name
        with open(shared / f"{name}.lock", "w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            if not (base / ".lidoff" / "site").exists():
                shutil.rmtree(base, ignore_errors=True)
                write(base)
                build(base)
        return base

    return built_once


@pytest.fixture(scope="session")
def site(built_once: Callable[..., Path]) -> Iterator[Site]:
    with open_site(built_once("shown", copy_demo)) as site:
        yield site


@pytest.fixture(scope="session")
def kinds() -> Mapping[str, str]:
    """The kinds of pages, each with the form of its addresses."""
    return KINDS


@pytest.fixture(scope="session")
def serve() -> Callable[[Path], Any]:
    return open_site


@pytest.fixture(scope="session")
def write_demo() -> Callable[[Path], Path]:
    return copy_demo


def watch(page: Any, url: str) -> list[str]:
    """A list that gets whatever the page says, fails to do, pops up, or asks of hosts other than that of ``page.own``."""
    complaints: list[str] = []
    page.own, note = host_of(url), complaints.append
    page.on("console", lambda said: note(f"console {said.type}: {said.text}"))
    page.on("pageerror", lambda fault: note(f"script error: {fault}"))
    page.on(
        "requestfailed",
        lambda sent: note(f"failed request: {sent.url} {sent.failure}") if sent.failure != LEFT else None,
    )
    page.on("response", lambda answer: note(f"answer {answer.status}: {answer.url}") if answer.status >= 400 else None)

    def on_request(sent: Any) -> None:
        if not sent.url.startswith(("data:", "blob:")) and host_of(sent.url) != page.own:
            note(f"request to another host: {sent.url}")

    def on_dialog(dialog: Any) -> None:
        note(f"dialog: {dialog.message}")
        dialog.dismiss()

    page.on("request", on_request)
    page.on("dialog", on_dialog)
    return complaints


def host_of(url: str) -> str:
    return url.split("/")[2]


class Windows:
    """Windows of the browser that are used again: opening one costs more than everything that a test does in it."""

    def __init__(self, chromium: Any) -> None:
        self._chromium = chromium
        self._free: dict[tuple, list[Any]] = {}

    def take(self, url: str, width: int, media: Mapping[str, str], options: Mapping[str, Any]) -> Any:
        """A window with nothing in it and nothing kept from earlier."""
        key = tuple(sorted(options.items()))
        free = self._free.setdefault(key, [])
        page = free.pop() if free else self._opened(url, options)
        page.key, page.own = key, host_of(url)
        page.set_viewport_size({"width": width, "height": 900})
        page.emulate_media(media="null", **STANDARD_MEDIA | media)
        return page

    def give_back(self, page: Any) -> list[str]:
        """What the page complained of meanwhile; afterwards the window is as new."""
        complaints = [f"{page.url}: {one}" for one in page.complaints]
        address = page.url
        page.goto("about:blank")  # first, since a page of the preview may be loading again at any moment
        if address.startswith("http"):
            origin = "/".join(address.split("/")[:3])
            session = page.context.new_cdp_session(page)
            session.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": "local_storage"})
            session.detach()
        page.complaints.clear()
        self._free[page.key].append(page)
        return complaints

    def _opened(self, url: str, options: Mapping[str, Any]) -> Any:
        context = self._chromium.new_context(**options)
        context.add_init_script(TOLD)
        page = context.new_page()
        page.complaints, page.ready = watch(page, url), READY
        return page


@pytest.fixture(scope="session")
def windows(chromium: Any) -> Windows:
    return Windows(chromium)


@pytest.fixture
def visit(windows: Windows, request: pytest.FixtureRequest) -> Iterator[Callable[..., Any]]:
    """Opens a page, of the demo's site unless another is named. A test whose pages complain of anything fails."""
    pages = []

    def visit(path: str = "", width: int = 1280, colours: str = "light", url: str = "", **options: Any) -> Any:
        url = url or request.getfixturevalue("site").url
        media = {name: options.pop(name) for name in STANDARD_MEDIA if name in options}
        page = windows.take(url, width, {"color_scheme": colours} | media, options)
        pages.append(page)
        page.goto(url + path.removeprefix("/"))
        if options.get("java_script_enabled", True):
            page.wait_for_function(READY)
        return page

    yield visit
    assert [one for page in pages for one in windows.give_back(page)] == []
