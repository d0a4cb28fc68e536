"""``lidoff script ENTRY``: a first draft of a narration, or its captions."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from lidoff.narration.draft import Draft

QUESTIONS = ("promises", "delivers", "made", "compares", "sure")
FAILED, WRONG_USAGE = 1, 2


@click.command()
@click.argument("entry")
@click.option(
    "--length", type=click.Choice(["60s", "3min", "8min"]), default="3min", show_default=True, help="Time to fill."
)
@click.option("--order", default=",".join(QUESTIONS), show_default=True, help="The questions to answer, in this order.")
@click.option(
    "--words-a-minute", type=click.IntRange(60, 260), default=150, show_default=True, help="Pace of the voice."
)
@click.option("--language", default="en", show_default=True, help="The message catalogue to speak from.")
@click.option("--captions", type=click.Choice(["vtt", "srt"]), help="Print captions instead, as WebVTT or SubRip.")
@click.option(
    "--cues",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="CSV with the columns sentence,start_s,end_s of a recorded take.",
)
@click.option("--out", type=click.Path(dir_okay=False, path_type=Path), help="Write to this file instead.")
@click.option(
    "--config",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The mkdocs.yml of the knowledge base.",
)
def command(
    entry: str,
    length: str,
    order: str,
    words_a_minute: int,
    language: str,
    captions: str | None,
    cues: Path | None,
    out: Path | None,
    config: Path | None,
) -> None:
    """Write the draft of a narration for ENTRY, as brand/model or as the path of its record or folder.

    It comes as Markdown: the spoken text by the questions of a reader, with all numbers in words and in both systems of
    units, a shot list, and the caution. What is uncertain is said with its reason. Every sentence rests on the record;
    read it, change it, and let `lidoff proof` look at the result.
    """
    from lidoff.narration.language import MissingMessage, UnknownLanguage
    from lidoff.narration.opened import NotFound

    if cues is not None and captions is None:
        raise click.UsageError("--cues gives the times of captions; add --captions vtt or --captions srt")
    try:
        draft = _draft(entry, length, _order(order), words_a_minute, language, config)
        text = _text(draft, captions, cues)
    except (NotFound, UnknownLanguage, MissingMessage) as fault:
        click.echo(str(fault), err=True)
        sys.exit(WRONG_USAGE)
    if out is None:
        click.echo(text, nl=False)
    else:
        out.write_text(text, encoding="utf-8", newline="\n")


def _order(text: str) -> tuple[str, ...]:
    order = tuple(word.strip() for word in text.split(","))
    if not order or len(set(order)) < len(order) or not set(order) <= set(QUESTIONS):
        raise click.UsageError(
            f"--order\nfound     {text}\nexpected  some of {', '.join(QUESTIONS)}, each once, with commas between them"
        )
    return order


def _draft(
    entry: str, length: str, order: tuple[str, ...], words_a_minute: int, language: str, config: Path | None
) -> "Draft":
    from lidoff.narration.draft import make_draft, subject_of
    from lidoff.narration.language import read_language
    from lidoff.narration.opened import open_entry

    spoken = read_language(language)
    opened = open_entry(entry, config)
    subject = subject_of(opened.entry, opened.entries, opened.settings.tiers_w, spoken)
    return make_draft(subject, length, order, words_a_minute)


def _text(draft: "Draft", captions: str | None, cues: Path | None) -> str:
    if captions is None:
        from lidoff.narration.script import as_markdown

        return as_markdown(draft)
    from lidoff.narration.captions import as_srt, as_vtt, captions_of
    from lidoff.narration.cues import CueFault, read_cues

    try:
        spans = (
            None if cues is None else read_cues(cues.read_text(encoding="utf-8"), cues.as_posix(), len(draft.sentences))
        )
    except CueFault as fault:
        click.echo(str(fault), err=True)
        sys.exit(FAILED)
    made = captions_of([said.text for said in draft.sentences], draft.words_a_minute, spans)
    for remark in made.remarks:
        click.echo(remark, err=True)
    return as_vtt(made.captions) if captions == "vtt" else as_srt(made.captions)
