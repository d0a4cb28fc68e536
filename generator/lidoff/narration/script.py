"""The draft as Markdown: the spoken text by questions, the shot list, the caution."""

from collections.abc import Iterator

from lidoff.figures.caution import caution
from lidoff.narration.draft import Draft
from lidoff.narration.shots import Shot, shots

ESCAPED = "\\`*_{}[]<>#|"


def as_markdown(draft: Draft) -> str:
    """The whole file, for people who speak and film."""
    return "\n".join(_lines(draft)) + "\n"


def clock(seconds: float) -> str:
    """Minutes and seconds.

    Examples
    --------
    >>> clock(0), clock(75.4)
    ('0:00', '1:15')
    """
    return f"{int(seconds) // 60}:{int(seconds) % 60:02}"


def escaped(text: str) -> str:
    """Text whose signs Markdown would take for its own."""
    return "".join(f"\\{sign}" if sign in ESCAPED else sign for sign in text)


def _lines(draft: Draft) -> Iterator[str]:
    language, record = draft.language, draft.entry.record
    yield from (f"# {escaped(draft.entry.title)}", "")
    if record.demo:
        yield from (f"> {language.text('draft/invented')}", "")
    spoken = clock(draft.seconds())
    yield language.text("draft/time", time=spoken, pace=str(draft.words_a_minute), words=str(draft.words))
    yield from _fit(draft)
    yield from ("", f"## {language.text('draft/spoken')}")
    question = ""
    for said in draft.sentences:
        if said.question != question:
            question = said.question
            yield from ("", f"### {language.text(f'question/{question}')}", "")
        yield escaped(said.text)
    yield from ("", f"## {language.text('draft/shots')}", "")
    yield from _table(draft)
    yield from ("", f"## {language.text('draft/caution')}", "")
    yield from (f"- {escaped(sentence)}" for sentence in caution(record, draft.entry.figures))


def _fit(draft: Draft) -> Iterator[str]:
    language = draft.language
    wanted = draft.seconds_wanted * draft.words_a_minute // 60
    if draft.left_out:
        yield language.text("draft/cut", count=str(draft.left_out))
    elif draft.words < 0.9 * wanted:
        yield language.text("draft/short", words=str(draft.words), wanted=str(wanted))


def _table(draft: Draft) -> Iterator[str]:
    yield f"| {draft.language.text('draft/columns')} |"
    yield "| --- | --- | --- | --- | --- |"
    for number, shot in enumerate(shots(draft), 1):
        yield f"| {' | '.join(_row(draft, number, shot))} |"


def _row(draft: Draft, number: int, shot: Shot) -> tuple[str, ...]:
    callouts = ", ".join(shot.callouts) or draft.language.text("draft/none")
    return str(number), clock(shot.start), escaped(shot.picture), escaped(callouts), escaped(shot.frame)
