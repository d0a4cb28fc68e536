"""A tiny knowledge base in a temporary folder, published without any stage before publishing: its pages are made up."""

import datetime
import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path

import pytest

from lidoff.finding import Finding
from lidoff.settings import Settings, read_settings
from lidoff.website import Page, SiteFile, Website

MKDOCS_YML = """
site_name: Lidoff
site_url: {site_url}
repo_url: https://git.example/base
edit_uri: edit/main/docs/
docs_dir: docs
site_dir: .lidoff/site
theme: {{name: material, font: false}}
hooks: [hook.py]
plugins:
  - lidoff: {{entries: entries}}
nav:
  - Home: index.md
  - Products: products/index.md
  - Trends: trends/index.md
  - Safety: safety.md
markdown_extensions:
  - tables: {{use_align_attribute: true}}
"""

SAFETY_MD = """# Before you open a charger

Read [the products](products/index.md).

| Part | Holds a charge |
|---|---|
| bulk capacitor | yes |
"""

# lets `mkdocs` run as a program of its own on these invented pages
HOOK = """
import importlib.util, sys
from lidoff.publish.plugin import prepared
from mkdocs.plugins import event_priority

spec = importlib.util.spec_from_file_location("invented_base", {conftest!r})
invented = sys.modules.setdefault("invented_base", importlib.util.module_from_spec(spec))
spec.loader.exec_module(invented)

@event_priority(100)
def on_config(config):
    plugin = config.plugins["lidoff"]
    if plugin.source_of is prepared:
        plugin.source_of = lambda settings, is_preview: invented.source_on_disk(settings.base)
"""


@dataclass
class InventedSource:
    """A source of invented pages, in place of checked records."""

    pages: tuple[Page, ...]
    files: tuple[SiteFile, ...]
    findings: tuple[Finding, ...] = ()
    newest: datetime.date | None = datetime.date(2026, 3, 9)

    def website(self) -> Website:
        return Website(iter(self.pages), iter(self.files))


RECORD = "entries/fernhollow/fh-65/record.yaml"
BUILDER_PAGES = (
    Page("/", "Opened chargers", "Start", "<h1>Opened chargers</h1>", "builder"),
    Page("/products/", "Products", "All products", "<h1>Products</h1>", "builder"),
    Page("/trends/", "Trends", "All tables", "<h1>Trends</h1>", "builder"),
)
STAMPED_PAGES = (
    Page("/products/fernhollow/fh-65/", "Fernhollow FH-65", "65 W", "<h1>FH-65</h1>", edit_path=RECORD),
    Page("/makers/quillstone/", "Quillstone", "Parts of this maker", "<h1>Quillstone</h1>"),
)
PAGE_FILES = (
    SiteFile("assets/lidoff.css", b"table { width: 100% }\n"),
    SiteFile("assets/lidoff.js", b"'use strict';\n"),
)
RECORD_ERROR = Finding(
    "record-number",
    "error",
    RECORD,
    14,
    20,
    "ports[0].label[1].voltage_max_v",
    '"16" (text)',
    "a number of volts, 3 to 50",
    "remove the quotes: voltage_max_v: 16",
)


@dataclass(frozen=True)
class Project:
    """A knowledge base on disk."""

    folder: Path
    settings: Settings
    source: InventedSource = field(default_factory=lambda: InventedSource(BUILDER_PAGES + STAMPED_PAGES, PAGE_FILES))

    @property
    def site(self) -> Path:
        return self.folder / ".lidoff" / "site"

    def with_pages(self, *pages: Page) -> "Project":
        return replace(self, source=replace(self.source, pages=BUILDER_PAGES + pages))

    def with_theme(self, main: str) -> "Project":
        """With a main.html of its own."""
        (self.folder / "own").mkdir()
        (self.folder / "own" / "main.html").write_text(main, encoding="utf-8")
        return self.with_config("font: false", "font: false, custom_dir: own")

    def with_config(self, old: str, new: str) -> "Project":
        """With one line of mkdocs.yml changed."""
        config = self.folder / "mkdocs.yml"
        text = config.read_text(encoding="utf-8")
        assert old in text
        config.write_text(text.replace(old, new), encoding="utf-8")
        return self

    def with_error(self) -> "Project":
        return replace(self, source=replace(self.source, findings=(RECORD_ERROR,)))


def written(folder: Path, site_url: str = "https://base.example/") -> Project:
    (folder / "docs").mkdir(parents=True)
    (folder / "entries").mkdir()
    (folder / "mkdocs.yml").write_text(MKDOCS_YML.format(site_url=site_url), encoding="utf-8")
    (folder / "docs" / "safety.md").write_text(SAFETY_MD, encoding="utf-8")
    (folder / "hook.py").write_text(HOOK.format(conftest=str(Path(__file__))), encoding="utf-8")
    return Project(folder, read_settings(folder / "mkdocs.yml"))


def source_on_disk(folder: Path) -> InventedSource:
    """The invented source, with an error for as long as a file ``broken`` lies in the folder."""
    findings = (RECORD_ERROR,) if (folder / "broken").exists() else ()
    return InventedSource(BUILDER_PAGES + STAMPED_PAGES, PAGE_FILES, findings)


@pytest.fixture
def project(tmp_path: Path) -> Project:
    return written(tmp_path / "base")


@pytest.fixture
def make_project(tmp_path: Path) -> Callable[..., Project]:
    return lambda name="base", **options: written(tmp_path / name, **options)


@pytest.fixture(scope="session")
def write_project() -> Callable[..., Project]:
    return written


def tree_digest(folder: Path) -> str:
    """One digest over the names and bytes of all files but those of the search index, whose program promises no such thing."""
    digest = hashlib.sha256()
    index = folder / "pagefind"
    for path in sorted(folder.rglob("*")):
        if path.is_file() and not path.is_relative_to(index):
            digest.update(f"{path.relative_to(folder).as_posix()}\0{path.stat().st_size}\0".encode())
            digest.update(path.read_bytes())
    return digest.hexdigest()


@pytest.fixture
def digest_of() -> Callable[[Path], str]:
    return tree_digest
