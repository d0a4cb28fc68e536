"""The text search in the built site: its index, the header's field, and what happens where no index can be made."""

import gzip
import json
import re
import shutil
import threading
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.publish import search
from lidoff.publish.build import build_preview, build_site
from lidoff.publish.shell import ShellError
from lidoff.website import Page, SearchText, Website

HOSTILE = '</p><script>alert(1)</script> "&lt;" data-pagefind-ignore ]]>'
SEARCH_PAGE = Page("/search/", "Search", "", "<h1>Search</h1>", "builder")
TEXTS = (
    SearchText(
        "/products/fernhollow/fh-65/",
        "Fernhollow FH-65",
        "Wall charger, 65 W",
        "Flyback with GaN",
        {"tier": "46–67 W", "year": "2024"},
    ),
    SearchText(
        "/products/wexmoor/wx-60/",
        f"Wexmoor {HOSTILE}",
        f"Line {HOSTILE}",
        f"Text {HOSTILE}",
        {"topology": "a: b, [c], </p><b>\"d'"},
    ),
)


def fragments(folder: Path) -> dict[str, dict]:
    """What the index holds of each page: gzip, then a word of the program's own, then JSON."""
    found = {}
    for path in (folder / "pagefind" / "fragment").iterdir():
        content = json.loads(gzip.decompress(path.read_bytes()).removeprefix(b"pagefind_dcd"))
        found[content["url"]] = content
    return found


def searched(project, texts: Iterable[SearchText] = TEXTS):
    """The project with a search page and texts."""

    class Source(type(project.source)):
        def website(self) -> Website:
            return Website(iter(self.pages), iter(self.files), iter(texts))

    source = project.source
    return replace(project, source=Source((SEARCH_PAGE, *source.pages), source.files))


def test_index_holds_title_line_words_and_filters_as_they_are(tmp_path):
    search.write_search_index(TEXTS, tmp_path)
    found = fragments(tmp_path)
    assert set(found) == {text.address for text in TEXTS}
    for text in TEXTS:
        held = found[text.address]
        assert held["meta"] == {"title": text.title, "line": text.line}
        assert held["filters"] == {key: [word] for key, word in text.filters.items()}
    assert "Flyback with GaN" in found[TEXTS[0].address]["content"]
    assert "alert" in found[TEXTS[1].address]["content"], "text stays text"


def test_index_brings_no_dress_of_its_own(tmp_path):
    search.write_search_index(TEXTS, tmp_path)
    files = {path.name for path in (tmp_path / "pagefind").iterdir() if path.is_file()}
    assert {name for name in files if name.endswith((".js", ".css"))} == {"pagefind.js"}


def test_no_text_no_index(tmp_path):
    search.write_search_index((), tmp_path)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("program", ["/bin/false", "/bin/true"])
def test_program_that_fails_or_does_nothing_is_told(tmp_path, monkeypatch, program):
    monkeypatch.setattr(search, "get_executable", lambda: Path(program))
    with pytest.raises(ShellError, match="no search index"):
        search.write_search_index(TEXTS, tmp_path)


def test_failed_index_leaves_the_last_good_site(project, monkeypatch):
    fewer, project = searched(project, TEXTS[:1]), searched(project)
    assert build_site(project.settings, project.source).is_good
    before = project.site.resolve()
    monkeypatch.setattr(search, "get_executable", lambda: Path("/bin/false"))
    result = build_site(project.settings, fewer.source)
    assert not result.is_good and any("no search index" in message for message in result.messages)
    assert project.site.resolve() == before and (before / "pagefind" / "pagefind.js").is_file()


def test_index_of_the_same_texts_is_taken_again(project, monkeypatch):
    project = searched(project)
    assert build_site(project.settings, project.source).is_good
    before = {path.name: path.stat().st_ino for path in (project.site / "pagefind").rglob("*") if path.is_file()}
    monkeypatch.setattr(search, "get_executable", lambda: Path("/bin/false"))
    assert build_site(project.settings, project.source).is_good
    after = {path.name: path.stat().st_ino for path in (project.site / "pagefind").rglob("*") if path.is_file()}
    assert before == after and len(fragments(project.site)) == len(TEXTS)


@pytest.mark.parametrize("spoil", [lambda path: path.unlink(), lambda path: path.write_bytes(b"other")])
def test_index_that_was_damaged_is_made_anew(project, spoil):
    project = searched(project)
    assert build_site(project.settings, project.source).is_good
    spoil(project.site.resolve() / "pagefind" / "pagefind.js")
    assert build_site(project.settings, project.source).is_good
    assert len(fragments(project.site)) == len(TEXTS)
    assert (project.site / "pagefind" / "pagefind.js").read_bytes() != b"other"


def test_index_of_other_texts_is_made_anew(project):
    for texts in (TEXTS, TEXTS[:1], (replace(TEXTS[0], title="Renamed"),)):
        changed = searched(project, texts)
        assert build_site(changed.settings, changed.source).is_good
        assert {one["meta"]["title"] for one in fragments(project.site).values()} == {text.title for text in texts}


def test_published_site_has_an_index_and_a_preview_has_none(project, tmp_path):
    project = searched(project)
    assert build_site(project.settings, project.source).is_good
    assert len(fragments(project.site)) == len(TEXTS)
    assert build_preview(project.settings, project.source, tmp_path / "preview").is_good
    assert not (tmp_path / "preview" / "pagefind").exists()


def test_field_in_the_header_leads_to_the_search_page_from_every_depth(project):
    project = searched(project)
    assert build_site(project.settings, project.source).is_good
    pages = sorted(project.site.resolve().rglob("*.html"))
    for page in pages:
        html = page.read_text(encoding="utf-8")
        (form,) = re.findall(r'<form class="frame-search"[^>]*>', html)
        action = re.search(r'action="([^"]*)"', form)[1]
        assert 'method="get"' in form and form.endswith(" hidden>"), "it can do nothing without script"
        assert '<input type="search" name="q" aria-label="' in html
        folder = page.parent if page.name != "404.html" else None
        if folder is None:
            assert action == "/search/"
        else:
            assert (folder / action / "index.html").resolve() == project.site.resolve() / "search" / "index.html"
    assert len(pages) == 8


def test_site_without_a_search_page_has_no_field(project):
    assert build_site(project.settings, project.source).is_good
    assert "frame-search" not in (project.site / "index.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("program", ["", "false"])
def test_what_is_to_follow_the_index_of_a_preview_follows_it_in_any_case(tmp_path, monkeypatch, program):
    if program:
        monkeypatch.setattr(search, "get_executable", lambda: shutil.which(program))
    (tmp_path / "site").mkdir()
    told, followed = [], threading.Event()
    indexing = search.Indexing(TEXTS, tmp_path / "site", told.append, followed.set)
    assert followed.wait(20)
    assert bool(told) == bool(program) and (tmp_path / "site" / search.FOLDER).is_dir() != bool(program)
    indexing.stop()


def test_nothing_follows_an_index_that_was_stopped(tmp_path):
    (tmp_path / "site").mkdir()
    begun, let_go, followed = threading.Event(), threading.Event(), threading.Event()

    def texts():
        begun.set()
        let_go.wait(20)
        yield from TEXTS

    indexing = search.Indexing(texts(), tmp_path / "site", lambda text: None, followed.set)
    assert begun.wait(20)
    threading.Timer(0.2, let_go.set).start()
    indexing.stop()
    assert not followed.is_set() and not (tmp_path / "site" / search.FOLDER).exists()
