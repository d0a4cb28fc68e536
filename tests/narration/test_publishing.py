"""The commands that write files: script, cards, article, data sheet, list of parts."""

import shutil
from collections.abc import Callable
from pathlib import Path

import html5lib
import pytest
from click.testing import CliRunner, Result

from lidoff.cli import main
from lidoff.entry import Entry
from lidoff.narration.article import METADATA_RULE, as_html, as_markdown, copy_photos, pieces_of
from lidoff.narration.data_sheet import NoSheet, write_sheet
from lidoff.narration.draft import make_draft, subject_of
from lidoff.narration.language import read_language
from lidoff.narration.line import Subject
from lidoff.settings import Settings

ROOT = Path(__file__).resolve().parents[2]


def lidoff(*words: str) -> Result:
    return CliRunner().invoke(main, [*words, "--config", str(ROOT / "mkdocs.yml")])


@pytest.fixture(scope="module")
def written(demo_entries: dict[str, Entry], demo_settings: Settings):
    def made(slug: str) -> tuple:
        every = tuple(demo_entries.values())
        subject = subject_of(demo_entries[slug], every, demo_settings.tiers_w, read_language(), in_digits=True)
        return pieces_of(make_draft(subject, "article"))

    return made


def test_an_article_is_the_same_in_both_forms(written) -> None:
    pieces = written("oxtermoor/ox-e30")
    page = html5lib.HTMLParser(namespaceHTMLElements=False).parseFragment(as_html(pieces, "en"))
    assert [one.text for one in page.iter("h2")] == [piece.texts[0] for piece in pieces if piece.kind == "heading"]
    assert [one.get("src") for one in page.iter("img")] == [
        piece.texts[0] for piece in pieces if piece.kind == "picture"
    ]
    assert len(list(page.iter("tr"))) == 1 + sum(piece.kind == "row" for piece in pieces)
    text = as_markdown(pieces)
    assert text.count("\n## ") == sum(piece.kind == "heading" for piece in pieces)
    assert "655\u00a0g, or 23.1\u00a0oz" in text


def test_an_article_escapes_what_would_be_markup(written, demo_entries: dict[str, Entry]) -> None:
    from lidoff.narration.article import Piece

    pieces = (Piece("title", ("<b>A|B</b>",)), Piece("head", ("x",)), Piece("row", ("<i>|</i>",)))
    assert "<b>" not in as_html(pieces, "en") and "&lt;b&gt;" in as_html(pieces, "en")
    assert "\\<b\\>A\\|B" in as_markdown(pieces)


def test_photographs_stay_away_while_they_carry_data_on_the_place(
    demo_entries: dict[str, Entry], demo_settings: Settings, tmp_path: Path
) -> None:
    from dataclasses import replace

    from lidoff.finding import Finding

    entry = demo_entries["oxtermoor/ox-e30"]
    finding = Finding(METADATA_RULE, "warning", entry.path, 1, 1, "photos[0].file", "a place", "none", "take it out")
    assert "no photograph" in copy_photos(replace(entry, findings=(finding,)), demo_settings.base, tmp_path)[0]
    assert not list(tmp_path.iterdir())
    assert copy_photos(entry, demo_settings.base, tmp_path) == ()
    assert len(list((tmp_path / "photos").iterdir())) == len(entry.record.photos)


def test_a_sheet_needs_a_built_site(tmp_path: Path) -> None:
    with pytest.raises(NoSheet, match="lidoff site"):
        write_sheet(tmp_path, "fernhollow/fh-65", tmp_path / "sheet.pdf")


def test_a_sheet_says_what_is_missing_without_chromium(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    page = tmp_path / "products" / "a" / "b" / "index.html"
    page.parent.mkdir(parents=True)
    page.write_text("<p>x", encoding="utf-8")
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(NoSheet, match="apt-get install chromium"):
        write_sheet(tmp_path, "a/b", tmp_path / "sheet.pdf")


@pytest.mark.browser
def test_a_sheet_is_a_pdf_of_the_page(tmp_path: Path, chromium: object) -> None:
    from pypdf import PdfReader

    assert shutil.which("chromium")
    page = tmp_path / "products" / "a" / "b" / "index.html"
    page.parent.mkdir(parents=True)
    page.write_text("<!doctype html><meta charset=utf-8><title>AB</title><h1>Data sheet of A B</h1>", encoding="utf-8")
    write_sheet(tmp_path, "a/b", tmp_path / "sheet.pdf")
    assert "Data sheet of A B" in PdfReader(tmp_path / "sheet.pdf").pages[0].extract_text()


def test_the_commands_write_what_they_say(tmp_path: Path) -> None:
    result = lidoff("cards", "fernhollow/fh-65", "ostermere/om-65", "--out", str(tmp_path / "cards"))
    assert result.exit_code == 0, result.output
    assert {path.name for path in (tmp_path / "cards").iterdir()} == {
        f"{name}.{end}"
        for name in ("plate", "ports", "size", "density", "chain", "parts", "link", "pair")
        for end in ("svg", "png")
    }
    result = lidoff("cards", str(ROOT / "entries/fernhollow/fh-65"), "--parts", "--out", str(tmp_path / "parts"))
    assert result.exit_code == 0 and (tmp_path / "parts" / "parts.csv").is_file()


def test_the_price_range_names_its_seed(tmp_path: Path) -> None:
    book = tmp_path / "book.csv"
    book.write_text("maker,part_number,role,low,high,currency,date\n,,fuse,0.05,0.1,EUR,2026-01-01\n", encoding="utf-8")
    words = (
        "cards",
        "fernhollow/fh-65",
        "--parts",
        "--prices",
        str(book),
        "--seed",
        "7",
        "--out",
        str(tmp_path / "out"),
    )
    result = lidoff(*words)
    assert result.exit_code == 0 and "seed 7" in result.stdout and "5 % of the trials" in result.stdout
    book.write_text("maker\n", encoding="utf-8")
    assert lidoff(*words).exit_code == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("script", "fernhollow/fh-65", "--order", "promises,promises"), "each once"),
        (("script", "fernhollow/fh-65", "--cues", str(ROOT / "mkdocs.yml")), "--captions"),
        (("script", "fernhollow/fh-65", "--language", "xx"), "xx.po"),
        (("script", "fernhollow/fh-56"), "did you mean fernhollow/fh-65"),
        (("cards", "fernhollow/fh-65", "--sheet", "--parts"), "choose one"),
        (("cards", "fernhollow/fh-65", "--prices", str(ROOT / "mkdocs.yml")), "--parts"),
        (("cards", "fernhollow/fh-65", "ostermere/om-65", "--parts"), "cards alone"),
    ],
)
def test_wrong_use_is_told_with_code_2(words: tuple[str, ...], said: str) -> None:
    result = lidoff(*words)
    assert result.exit_code == 2
    assert said in result.stderr


def test_captions_of_a_take_follow_its_times(tmp_path: Path, subject: Callable[[str], Subject]) -> None:
    count = len(make_draft(subject("fernhollow/fh-65"), "60s").sentences)
    times = tmp_path / "take.csv"
    rows = "".join(f"{place},{place * 10},{place * 10 + 9}\n" for place in range(1, count + 1))
    times.write_text(f"sentence,start_s,end_s\n{rows}", encoding="utf-8")
    words = ("script", "fernhollow/fh-65", "--length", "60s", "--captions", "srt", "--cues", str(times))
    result = lidoff(*words)
    assert result.exit_code == 0
    assert result.stdout.startswith("1\n00:00:10,000 --> ")
    times.write_text("sentence,start_s,end_s\n1,2,1\n", encoding="utf-8")
    broken = lidoff(*words)
    assert broken.exit_code == 1 and f"{times.as_posix()}:2:3" in broken.stderr
