"""``lidoff cards ENTRY [OTHER]``: still pictures for a video, an article, a data sheet, the list of parts."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from lidoff.entry import Entry
    from lidoff.narration.opened import Opened

FAILED, WRONG_USAGE = 1, 2
SHOP = ".lidoff"


@click.command()
@click.argument("entry")
@click.argument("other", required=False)
@click.option(
    "--out", type=click.Path(file_okay=False, path_type=Path), help="Folder to write to; else .lidoff/cards/ENTRY."
)
@click.option(
    "--article", is_flag=True, help="Write an article with its photographs instead: article.md and article.html."
)
@click.option(
    "--sheet", is_flag=True, help="Write a data sheet instead: the product's page of the built site as sheet.pdf."
)
@click.option(
    "--site", type=click.Path(file_okay=False, path_type=Path), help="The built site for --sheet; else .lidoff/site."
)
@click.option("--parts", is_flag=True, help="Write the list of parts by function instead: parts.csv.")
@click.option(
    "--prices",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Your price book for --parts: CSV with maker,part_number,role,low,high,currency,date.",
)
@click.option(
    "--seed", type=click.IntRange(0), default=1, show_default=True, help="Start of the random numbers for --prices."
)
@click.option("--language", default="en", show_default=True, help="The message catalogue of the article.")
@click.option(
    "--config",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The mkdocs.yml of the knowledge base.",
)
def command(
    entry: str,
    other: str | None,
    out: Path | None,
    article: bool,
    sheet: bool,
    site: Path | None,
    parts: bool,
    prices: Path | None,
    seed: int,
    language: str,
    config: Path | None,
) -> None:
    """Make what is published beside the site of ENTRY, as brand/model or as the path of its record or folder.

    Without an option: cards of 1920 by 1080 as SVG and PNG (plate, ports, size, density, chain, parts; with OTHER a
    comparison, pair), and link, 1200 by 630, to be shown where the page is linked to. A card whose data is not recorded is left out and named. Files of the same names are replaced.
    """
    from lidoff.narration.language import MissingMessage, UnknownLanguage
    from lidoff.narration.opened import NotFound, open_entry, open_pair

    if article + sheet + parts > 1:
        raise click.UsageError("--article, --sheet and --parts each make something of their own; choose one")
    if other is not None and (article or sheet or parts):
        raise click.UsageError("a second product belongs to the cards alone")
    if prices is not None and not parts:
        raise click.UsageError("--prices goes with --parts")
    try:
        opened, second = open_pair(entry, other, config) if other else (open_entry(entry, config), None)
        folder = out or opened.settings.base / SHOP / "cards" / opened.entry.slug
        folder.mkdir(parents=True, exist_ok=True)
        if article:
            write_article(opened, folder, language)
        elif sheet:
            write_data_sheet(opened, folder, site)
        elif parts:
            write_parts(opened, folder, prices, seed)
        else:
            write_cards(opened, second, folder)
    except (NotFound, UnknownLanguage, MissingMessage) as fault:
        click.echo(str(fault), err=True)
        sys.exit(WRONG_USAGE)


def write_cards(opened: "Opened", other: "Entry | None", folder: Path) -> None:
    """Every card as SVG and PNG."""
    from lidoff.narration.cards.make import as_png, cards_of

    published = tuple(one for one in opened.entries if not one.is_draft)
    drawn, missing = cards_of(opened.entry, other, published, opened.settings.tiers_w)
    for name, svg in drawn.items():
        (folder / f"{name}.svg").write_text(svg, encoding="utf-8", newline="\n")
        (folder / f"{name}.png").write_bytes(as_png(svg))
    if missing:
        click.echo(f"Not drawn, since the record does not say enough: {', '.join(missing)}.", err=True)
    click.echo(f"{len(drawn)} cards in {folder}")


def write_article(opened: "Opened", folder: Path, language: str) -> None:
    """Markdown, HTML and the photographs."""
    from lidoff.narration.article import as_html, as_markdown, copy_photos, pieces_of
    from lidoff.narration.draft import make_draft, subject_of
    from lidoff.narration.language import read_language

    words = read_language(language)
    subject = subject_of(opened.entry, opened.entries, opened.settings.tiers_w, words, in_digits=True)
    pieces = pieces_of(make_draft(subject, "article"))
    (folder / "article.md").write_text(as_markdown(pieces), encoding="utf-8", newline="\n")
    (folder / "article.html").write_text(as_html(pieces, language), encoding="utf-8", newline="\n")
    for remark in copy_photos(opened.entry, opened.settings.base, folder):
        click.echo(remark, err=True)
    click.echo(f"article.md and article.html in {folder}")


def write_data_sheet(opened: "Opened", folder: Path, site: Path | None) -> None:
    """The product's page of the built site as PDF."""
    from lidoff.narration.data_sheet import NoSheet, write_sheet

    try:
        write_sheet(site or opened.settings.base / SHOP / "site", opened.entry.slug, folder / "sheet.pdf")
    except NoSheet as fault:
        click.echo(str(fault), err=True)
        sys.exit(WRONG_USAGE)
    click.echo(f"sheet.pdf in {folder}")


def write_parts(opened: "Opened", folder: Path, prices: Path | None, seed: int) -> None:
    """The list of parts, and with a price book the range of their cost."""
    from lidoff.narration.bill import as_csv, bill_of
    from lidoff.narration.language import read_language
    from lidoff.narration.prices import PriceFault, cost_range, cost_text, read_prices

    lines = bill_of(opened.entry.record)
    try:
        book = () if prices is None else read_prices(prices.read_text(encoding="utf-8"), prices.as_posix())
    except PriceFault as fault:
        click.echo(str(fault), err=True)
        sys.exit(FAILED)
    (folder / "parts.csv").write_text(as_csv(lines, read_language()), encoding="utf-8", newline="\n")
    click.echo(f"parts.csv with {len(lines)} lines in {folder}")
    if book:
        click.echo(cost_text(cost_range(lines, book, seed)), nl=False)
