"""What a build leaves behind: when all is well, when a record is wrong, when it is killed, when mkdocs drives it."""

import os
import random
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest

from lidoff.publish.build import build_preview, build_site
from lidoff.publish.mkdocs_files import frame_assets
from lidoff.website import Page, SiteFile

MKDOCS = (sys.executable, "-m", "mkdocs")


def mkdocs(folder: Path, *arguments: str) -> subprocess.CompletedProcess:
    environment = os.environ | {"NO_MKDOCS_2_WARNING": "1"}
    return subprocess.run([*MKDOCS, *arguments], cwd=folder, capture_output=True, text=True, env=environment)


def test_good_build_publishes_every_page(project):
    result = build_site(project.settings, project.source, strict=True)
    assert result.is_good
    assert (result.messages, result.pages) == ((), 6)
    pages = ("index.html", "products/index.html", "products/fernhollow/fh-65/index.html", "safety/index.html")
    files = ("404.html", "sitemap.xml", "_headers", "data/addresses.json", "assets/lidoff.css", "assets/lidoff.js")
    for path in (*pages, *files):
        assert (project.site / path).is_file()
    assert not list(project.site.resolve().rglob("~frame"))


def test_nothing_of_the_theme_is_shipped_but_its_style_sheet(project):
    assert build_site(project.settings, project.source).is_good
    folder = project.site.resolve() / "assets"
    assets = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.*"))
    frame = frame_assets().removeprefix("assets/")
    own = [f"{frame}{name}" for name in ("frame.css", "frame.js", "lid.svg", "signs.woff2")]
    assert assets[:-1] == [*own, "lidoff.css", "lidoff.js"]
    assert assets[-1].startswith("stylesheets/main.")


def test_record_error_leaves_the_last_good_site(project, digest_of):
    assert build_site(project.settings, project.source).is_good
    before = digest_of(project.site.resolve())
    link = os.readlink(project.site)
    result = build_site(project.settings, project.with_error().source)
    assert not result.is_good
    assert result.is_records_fault
    assert "fh-65/record.yaml:14:20: error[record-number] ports[0].label[1].voltage_max_v" in result.messages[0]
    assert (os.readlink(project.site), digest_of(project.site.resolve())) == (link, before)
    assert not (project.folder / ".lidoff" / "staging").exists()


def test_warnings_and_notes_of_records_do_not_stop_a_strict_build(project):
    (error,) = project.with_error().source.findings
    findings = (replace(error, severity="warning"), replace(error, severity="note"))
    result = build_site(project.settings, replace(project.source, findings=findings), strict=True)
    assert result.is_good
    assert result.messages == ()


def test_broken_link_stops_a_strict_build_only(project, digest_of):
    assert build_site(project.settings, project.source, strict=True).is_good
    before = digest_of(project.site.resolve())
    with open(project.folder / "docs" / "safety.md", "a", encoding="utf-8") as safety:
        safety.write("\n[gone](gone.md)\n")
    result = build_site(project.settings, project.source, strict=True)
    assert not result.is_good
    assert not result.is_records_fault
    assert digest_of(project.site.resolve()) == before
    assert build_site(project.settings, project.source).is_good
    assert digest_of(project.site.resolve()) != before


def test_broken_link_stops_a_quiet_strict_build_too(project):
    with open(project.folder / "docs" / "safety.md", "a", encoding="utf-8") as safety:
        safety.write("\n[gone](gone.md)\n")
    assert mkdocs(project.folder, "build", "--strict", "--quiet").returncode == 1
    assert not project.site.exists()


@pytest.mark.parametrize(
    ("pages", "files", "message"),
    [
        ((Page("/x/", "X", "", "<h1>X</h1>"),) * 2, (), "x/index.html twice in one site"),
        ((Page("/safety/", "S", "", "<h1>S</h1>"),), (), "safety/index.html twice in one site"),
        ((), (SiteFile("404.html", b""),), "404.html twice in one site"),
        ((), (SiteFile("../x", b""),), "the file path '../x'"),
        ((), (SiteFile("/etc/x", b""),), "the file path '/etc/x'"),
    ],
)
def test_two_pages_at_one_address_fail_the_build(project, pages, files, message):
    source = replace(project.with_pages(*pages).source, files=project.source.files + files)
    result = build_site(project.settings, source)
    assert not result.is_good
    assert any(message in line for line in result.messages)
    assert not project.site.exists()


def test_builder_page_at_the_address_of_a_written_one_fails_the_build(project):
    page = Page("/safety/", "Safety", "", "<h1>S</h1>", "builder")
    result = build_site(project.settings, replace(project.source, pages=(page,)))
    assert any("two pages at /safety/, one of them safety.md" in line for line in result.messages)


def test_builder_page_after_stamped_ones_fails_the_build(project):
    late = Page("/late/", "Late", "", "<h1>Late</h1>", "builder")
    result = build_site(project.settings, project.with_pages(Page("/x/", "X", "", "<h1>X</h1>"), late).source)
    assert any("the builder's page /late/ after stamped ones" in line for line in result.messages)


def test_missing_page_style_sheet_is_a_warning(project):
    result = build_site(project.settings, replace(project.source, files=()))
    assert result.messages == tuple(
        f"lidoff: every page loads assets/lidoff.{kind}, but the site has no such file" for kind in ("css", "js")
    )


def test_pages_are_made_one_at_a_time(project):
    made = []

    def pages():
        yield from project.source.pages[:3]
        for number in range(20):
            made.append(number)
            yield Page(f"/x/{number}/", "X", "", "<h1>X</h1>")

    seen = []
    source = replace(project.source, pages=pages())
    assert build_site(project.settings, source, progress=lambda written: seen.append((written, len(made)))).is_good
    assert seen == [(number, number) for number in range(1, 21)]


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("site_url: https://base.example/", "", "no site_url in mkdocs.yml"),
        ("name: material", "name: readthedocs", "theme readthedocs"),
        ("site_dir: .lidoff/site", "use_directory_urls: false", "use_directory_urls: false"),
        ("entries: entries", "entrys: entries", "rename it to entries"),
        ("entries: entries", "preview_port: 80", "a whole number from 1024 to 65535"),
        ("  - lidoff: {entries: entries}", "  []", "the plugin lidoff 0 times in mkdocs.yml"),
    ],
)
def test_settings_that_cannot_work_are_named(project, old, new, message):
    project.with_config("hooks: [hook.py]\n", "").with_config(old, new)
    result = build_site(project.settings, project.source)
    assert not result.is_good
    assert any(message in line for line in result.messages), result.messages


@pytest.mark.parametrize("place", ["docs/linked.md", "entries/linked", "docs/inner/linked.md"])
def test_symbolic_link_in_the_sources_is_an_error(project, place):
    link = project.folder / place
    link.parent.mkdir(exist_ok=True)
    link.symlink_to("/etc/hostname")
    result = build_site(project.settings, project.source)
    assert any(f"{link} is a symbolic link" in line for line in result.messages)


def test_out_folder_is_used_and_guarded(project):
    out = project.folder / "elsewhere" / "out"
    assert build_site(project.settings, project.source, out=out).is_good
    assert (out / "index.html").is_file()
    assert build_site(project.settings, project.source, out=out).is_good
    result = build_site(project.settings, project.source, out=project.folder / "docs")
    assert not result.is_good
    assert (project.folder / "docs" / "safety.md").is_file()


def test_preview_build_goes_on_without_the_broken_records_and_publishes_nothing(project):
    source = project.with_error().source
    result = build_preview(project.settings, source, project.folder / "preview")
    assert result.is_good
    assert result.frames is not None
    assert "error[record-number]" in result.messages[0]
    written = (project.folder / "preview" / "safety" / "index.html").read_text(encoding="utf-8")
    pages = {page.address: page for page in source.website().pages}
    # all but what is written by hand is made when it is asked for
    assert not (project.folder / "preview" / "index.html").exists()
    for html in (written, *(result.frames.stamp(pages[one]) for one in ("/", "/makers/quillstone/"))):
        # the policy comes with the preview's answers; mkdocs' own server needs a script in the page
        assert "Content-Security-Policy" not in html and "<h1" in html
    assert not project.site.exists()


def test_mkdocs_build_is_the_same_path(project, digest_of):
    assert build_site(project.settings, project.source).is_good
    ours = digest_of(project.site.resolve())
    done = mkdocs(project.folder, "build", "--strict")
    assert done.returncode == 0, done.stderr
    assert os.readlink(project.site).endswith("000002")
    assert digest_of(project.site.resolve()) == ours
    (project.folder / "broken").touch()
    done = mkdocs(project.folder, "build")
    assert done.returncode == 1
    assert "error[record-number]" in done.stderr
    assert "the last good site is as it was" in done.stdout + done.stderr
    assert digest_of(project.site.resolve()) == ours


def test_mkdocs_build_honours_its_site_dir(project):
    done = mkdocs(project.folder, "build", "-d", str(project.folder / "out"))
    assert done.returncode == 0, done.stderr
    assert (project.folder / "out" / "products" / "fernhollow" / "fh-65" / "index.html").is_file()
    assert "two renames" in done.stderr
    assert not project.site.exists()


@pytest.mark.parametrize("options", [[], ["--clean"]])
def test_mkdocs_serve_shows_findings_and_recovers(project, options):
    (project.folder / "broken").touch()
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [*MKDOCS, "serve", *options, "-a", f"127.0.0.1:{port}"]
    # a job in the background is started deaf to Ctrl-C, and so would be the server
    hearing = partial(signal.signal, signal.SIGINT, signal.default_int_handler)
    server = subprocess.Popen(
        command, cwd=project.folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, preexec_fn=hearing
    )
    product = f"http://127.0.0.1:{port}/products/fernhollow/fh-65/"
    try:
        broken = _fetch_until(product, lambda text: True)
        assert "remove the quotes" in broken
        assert "Content-Security-Policy" not in broken
        (project.folder / "broken").unlink()
        (project.folder / "entries" / "touched.yaml").touch()
        mended = _fetch_until(product, lambda text: "remove the quotes" not in text)
        assert "<h1>FH-65</h1>" in mended
        assert server.poll() is None
    finally:
        server.send_signal(signal.SIGINT)
        server.wait(10)
    assert not project.site.exists()


def _fetch_until(url: str, is_wanted: Callable[[str], bool]) -> str:
    seen = "nothing"
    for _ in range(100):
        try:
            with urllib.request.urlopen(url, timeout=5) as answer:
                seen = answer.read().decode("utf-8")
            if is_wanted(seen):
                return seen
        except OSError as fault:
            seen = str(fault)  # not listening yet
        time.sleep(0.1)
    raise AssertionError(f"{url} never showed what was wanted; last seen: {seen[:200]}")


SLOW_BUILD = """
import pathlib, runpy, sys
sys.path.insert(0, str(pathlib.Path(sys.argv[1])))
invented = runpy.run_path(sys.argv[2], run_name="invented")
from lidoff.publish.build import build_site
from lidoff.settings import read_settings
from lidoff.website import Page
pages = invented["BUILDER_PAGES"]
pages += tuple(Page(f"/x/{n}/", f"X {n}", "", f"<h1>{n}</h1>" + "x" * 2000) for n in range(1500))
base = pathlib.Path(sys.argv[1])
source = invented["InventedSource"](pages, invented["PAGE_FILES"])
print("begun", flush=True)
sys.exit(not build_site(read_settings(base / "mkdocs.yml"), source).is_good)
"""


@pytest.mark.parametrize("rounds", [3, pytest.param(40, marks=pytest.mark.long)])
def test_killed_build_leaves_a_whole_site_and_does_not_block_the_next(project, digest_of, rounds):
    command = [sys.executable, "-c", SLOW_BUILD, str(project.folder), str(Path(__file__).with_name("conftest.py"))]
    started = time.monotonic()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    duration = time.monotonic() - started
    whole = digest_of(project.site.resolve())
    chance = random.Random(20260309)
    for _ in range(rounds):
        build = subprocess.Popen(command, stdout=subprocess.PIPE)
        build.stdout.readline()
        time.sleep(chance.uniform(0, duration))
        build.kill()
        build.communicate()
        assert digest_of(project.site.resolve()) == whole
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    assert digest_of(project.site.resolve()) == whole
    assert len(list((project.folder / ".lidoff" / "builds").iterdir())) <= 2
