"""An article for a reader's own system: Markdown and an HTML fragment, with the photographs beside them."""

import shutil
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from lidoff.entry import Entry
from lidoff.figures.caution import caution
from lidoff.narration.bill import bill_of
from lidoff.narration.draft import Draft
from lidoff.narration.script import escaped
from lidoff.pages.numbers import SPACE
from lidoff.pages.views.ratings import ratings_text
from lidoff.record.model.picture import Photo

METADATA_RULE = "picture-metadata"
PARTS = ("article/part", "article/what", "article/ratings", "article/sure")


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of the article: its kind (title, heading, paragraph, item, picture or row) and its texts."""

    kind: str
    texts: tuple[str, ...]


def pieces_of(draft: Draft) -> tuple[Piece, ...]:
    """The article in order."""
    return tuple(_pieces(draft))


def _pieces(draft: Draft) -> Iterator[Piece]:
    record, language = draft.entry.record, draft.language
    yield Piece("title", (draft.entry.title,))
    if record.demo:
        yield Piece("paragraph", (language.text("draft/invented"),))
    question = ""
    for said in draft.sentences:
        if said.question != question:
            question = said.question
            yield Piece("heading", (language.text(f"question/{question}"),))
            yield from (Piece("picture", _picture(photo)) for photo in record.photos if _section(photo) == question)
        yield Piece("sentence", (said.text,))
    yield Piece("heading", (language.text("article/parts"),))
    yield Piece("head", tuple(language.text(key) for key in PARTS))
    for line in bill_of(record):
        part = line.part
        what = " ".join(word for word in (part.maker, part.part_number) if word)
        role = language.listed(language.word("role", role) for role in part.roles)
        count = f" ×{line.quantity}" if line.quantity > 1 else ""
        ratings = ratings_text(part.ratings).replace(SPACE, " ")
        yield Piece("row", (part.ref + count, f"{role}: {what}" if what else role, ratings, part.strength or ""))
    yield Piece("heading", (language.text("article/caution"),))
    yield from (Piece("item", (sentence,)) for sentence in caution(record, draft.entry.figures))


def _section(photo: Photo) -> str:
    """The question that a photograph helps to answer."""
    if photo.shows in ("body", "label"):
        return "promises"
    return "delivers" if photo.kind in ("thermal", "waveform") else "made"


def _picture(photo: Photo) -> tuple[str, str, str]:
    credit = ", ".join(word for word in (photo.credit, photo.license) if word)
    return photo.file, " ".join(photo.alt.split()), credit


def as_markdown(pieces: tuple[Piece, ...]) -> str:
    """The article as Markdown."""
    blocks: list[str] = []
    before = ""
    for piece in pieces:
        text = _markdown(piece)
        if (
            piece.kind == before
            and piece.kind in ("sentence", "row", "item")
            or (before, piece.kind) == ("head", "row")
        ):
            blocks[-1] += (" " if piece.kind == "sentence" else "\n") + text
        else:
            blocks.append(text)
        before = piece.kind
    return "\n\n".join(blocks) + "\n"


def _markdown(piece: Piece) -> str:
    first = escaped(piece.texts[0])
    match piece.kind:
        case "title":
            return f"# {first}"
        case "heading":
            return f"## {first}"
        case "item":
            return f"- {first}"
        case "picture":
            file, alt, credit = piece.texts
            return f"![{escaped(alt)}]({file})\n\n*{escaped(credit)}*" if credit else f"![{escaped(alt)}]({file})"
        case "head":
            return f"| {' | '.join(map(escaped, piece.texts))} |\n|{' --- |' * len(piece.texts)}"
        case "row":
            return f"| {' | '.join(map(escaped, piece.texts))} |"
    return first


def as_html(pieces: tuple[Piece, ...], language: str) -> str:
    """The article as an HTML fragment without styles or scripts; every text is escaped."""
    root = ET.Element("article", {"lang": language})
    before = ""
    holder = root
    for piece in pieces:
        if piece.kind in ("row", "item", "sentence"):
            if piece.kind != before and not (before == "head" and piece.kind == "row"):
                holder = ET.SubElement(root, {"item": "ul", "sentence": "p", "row": "table"}[piece.kind])
            _within(holder, piece)
        elif piece.kind == "head":
            holder = ET.SubElement(root, "table")
            row = ET.SubElement(ET.SubElement(holder, "thead"), "tr")
            for text in piece.texts:
                ET.SubElement(row, "th", {"scope": "col"}).text = text
            holder = ET.SubElement(holder, "tbody")
        else:
            _alone(root, piece)
        before = piece.kind
    ET.indent(root)
    return ET.tostring(root, encoding="unicode", method="html") + "\n"


def _within(holder: ET.Element, piece: Piece) -> None:
    if piece.kind == "sentence":
        holder.text = f"{holder.text} {piece.texts[0]}" if holder.text else piece.texts[0]
    elif piece.kind == "item":
        ET.SubElement(holder, "li").text = piece.texts[0]
    else:
        row = ET.SubElement(holder, "tr")
        ET.SubElement(row, "th", {"scope": "row"}).text = piece.texts[0]
        for text in piece.texts[1:]:
            ET.SubElement(row, "td").text = text


def _alone(root: ET.Element, piece: Piece) -> None:
    if piece.kind == "picture":
        file, alt, credit = piece.texts
        figure = ET.SubElement(root, "figure")
        ET.SubElement(figure, "img", {"src": file, "alt": alt})
        if credit:
            ET.SubElement(figure, "figcaption").text = credit
    else:
        ET.SubElement(root, {"title": "h1", "heading": "h2", "paragraph": "p"}[piece.kind]).text = piece.texts[0]


def copy_photos(entry: Entry, base: Path, out: Path) -> tuple[str, ...]:
    """Copy the photographs beside the article; returns one remark for each that is left out.

    None is copied while the record's pictures still carry data on the place or the camera.
    """
    if any(finding.rule == METADATA_RULE for finding in entry.findings):
        return ("no photograph was copied: some still carry data on place or camera; `lidoff check` says which",)
    remarks = []
    for photo in entry.record.photos:
        source, target = (base / entry.path).parent / photo.file, out / photo.file
        if not source.is_file():
            remarks.append(f"{photo.file} is not beside the record")
            continue
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(source, target)
    return tuple(remarks)
