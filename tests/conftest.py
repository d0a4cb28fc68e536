"""Fixtures that several folders of tests share."""

import hashlib
import importlib.util
import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import settings

settings.register_profile(
    "same-everywhere", deadline=None, derandomize=True
)  # no clock, the same examples in every run
settings.load_profile("same-everywhere")

SAMPLE = Path(__file__).parent / "record" / "sample.yaml"
NPM = Path(__file__).parent / "record" / "editor"


@pytest.fixture(scope="session")
def sample_text() -> str:
    """The text of one complete valid record, invented, that uses most sections."""
    return SAMPLE.read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def hostile() -> ModuleType:
    """The texts that try to be more than text, and what places them in records: ``tests/hostile/placing.py``."""
    spec = importlib.util.spec_from_file_location("hostile_placing", Path(__file__).parent / "hostile" / "placing.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def knowledge_base(tmp_path: Path, sample_text: str) -> Path:
    """A small knowledge base on the disk: mkdocs.yml and the sample record in its folder."""
    from PIL import Image

    config = "site_name: Test base\nsite_url: https://example.org/\nplugins:\n  - lidoff\n"
    (tmp_path / "mkdocs.yml").write_text(config, encoding="utf-8")
    folder = tmp_path / "entries" / "fernhollow" / "fh-65"
    (folder / "photos").mkdir(parents=True)
    (folder / "logs").mkdir()
    Image.linear_gradient("L").save(folder / "photos" / "board-top.jpg")
    (folder / "logs" / "phone.csv").write_text("t,v,i\n0,20.0,3.0\n60,20.0,2.9\n", encoding="utf-8")
    (folder / "record.yaml").write_text(sample_text, encoding="utf-8")
    return tmp_path


PICTURES = """\
photos:
  # taken on one day
  - {file: photos/board-top.jpg, kind: photo, shows: board, board: main, side: top, alt: "The top side of the board.",
     callouts: [{ref: T1, box: [0.42, 0.31, 0.20, 0.28]}]}   # the transformer alone so far
  - file: photos/board-bottom.jpg
    kind: photo
    board: main
    side: bottom
    alt: "The bottom side of the board, with a card beside it."
    callouts:
      - {ref: Q1, box: [0.1, 0.1, 0.1, 0.1]}   # under the shield
      # these two are hard to tell apart
      - {ref: C1, box: [0.3, 0.1, 0.1, 0.1]}
      - {ref: U1, box: [0.5, 0.1, 0.1, 0.1]}
"""


@pytest.fixture
def marked_entry(tmp_path: Path, sample_text: str) -> Path:
    """The folder of an entry with two pictures of 1200 by 900 pixels: a board of 600 by 400, and one beside a card of 428 by 270."""
    from PIL import Image, ImageDraw

    folder = tmp_path / "entries" / "fernhollow" / "fh-65"
    (folder / "photos").mkdir(parents=True)
    for name, shapes in {
        "board-top.jpg": {
            (100, 100, 700, 500): "#1a5c40",
            (150, 150, 250, 230): "#202022",
            (400, 200, 600, 420): "#46403a",
        },
        "board-bottom.jpg": {(100, 100, 700, 500): "#1a5c40", (700, 550, 1128, 820): "#f0f0fa"},
    }.items():
        image = Image.new("RGB", (1200, 900), "#d6d0c4")
        for edges, colour in shapes.items():
            ImageDraw.Draw(image).rectangle(edges, fill=colour)
        image.save(folder / "photos" / name, quality=90)
    head, tail = sample_text.split("photos:\n")[0], sample_text.split("answered:")[1]
    (folder / "record.yaml").write_text(f"{head}{PICTURES}answered:{tail}", encoding="utf-8")
    return folder


@pytest.fixture(scope="session")
def chromium() -> Iterator[object]:
    """Debian's chromium, driven by playwright; without it the test is skipped, but fails where CI=true."""
    program = shutil.which("chromium")
    if program is None:
        give_up = pytest.fail if os.environ.get("CI") == "true" else pytest.skip
        give_up("needs the program chromium (apt-get install chromium)")
    from playwright.sync_api import sync_playwright

    arguments = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=arguments)
        yield browser
        browser.close()


@pytest.fixture
def open_page(chromium) -> Iterator[Callable[..., object]]:
    """Opens an address; the page's ``problems`` are what its console complains of and what it asks of other hosts."""
    contexts = []

    def open_page(url: str, width: int = 1280, colours: str = "light", **options: object) -> object:
        context = chromium.new_context(viewport={"width": width, "height": 900}, color_scheme=colours, **options)
        contexts.append(context)
        page = context.new_page()
        page.problems = []
        page.on("console", lambda said: page.problems.append(said.text) if said.type in ("error", "warning") else None)
        page.on("pageerror", lambda error: page.problems.append(str(error)))
        own = url.split("/")[2]
        page.on("request", lambda sent: page.problems.append(sent.url) if sent.url.split("/")[2] != own else None)
        page.goto(url)
        return page

    yield open_page
    for context in contexts:
        context.close()


@pytest.fixture(scope="session")
def node_modules(pytestconfig: pytest.Config) -> Path:
    """The npm packages that records are held against, installed once under their lock; their scripts never run.

    Without node and npm the test is skipped, but fails where CI=true.
    """
    give_up = pytest.fail if os.environ.get("CI") == "true" else pytest.skip
    if not (shutil.which("node") and shutil.which("npm")):
        give_up("needs the programs node and npm (apt-get install nodejs npm)")
    lock = hashlib.sha256((NPM / "package-lock.json").read_bytes()).hexdigest()[:12]
    kept = pytestconfig.cache.mkdir(f"npm-{lock}")
    if not (kept / "node_modules").is_dir():
        with tempfile.TemporaryDirectory(dir=kept) as fresh:
            shutil.copytree(NPM, fresh, dirs_exist_ok=True)
            installed = subprocess.run(["npm", "ci"], cwd=fresh, capture_output=True, text=True, check=False)
            if installed.returncode:
                give_up(f"npm ci: {installed.stderr.strip()[-300:]}")
            if not (kept / "node_modules").is_dir():  # else another worker was faster
                os.rename(Path(fresh, "node_modules"), kept / "node_modules")
    return kept / "node_modules"


def pytest_addoption(parser: pytest.Parser) -> None:
    """``--refresh-expected`` writes expected messages anew; read the difference before you keep it."""
    parser.addoption("--refresh-expected", action="store_true", help="write the expected messages of bad records anew")
