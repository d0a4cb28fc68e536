"""Captions, read back by webvtt-py and srt."""

import io
from collections.abc import Callable

import pytest
import srt
import webvtt
from hypothesis import given
from hypothesis import strategies as st

from lidoff.narration.captions import LINE_SIGNS, LINES, READ_AT_MOST, READ_EASILY, as_srt, as_vtt, captions_of, cut_up
from lidoff.narration.cues import CueFault, read_cues
from lidoff.narration.draft import make_draft
from lidoff.narration.line import Subject

SENTENCES = st.lists(st.text("abc defg hij,.", min_size=1, max_size=300).filter(str.strip), min_size=1, max_size=5)


@pytest.mark.parametrize("slug", ["fernhollow/fh-65", "marlscombe/mc-120", "oxtermoor/ox-e30"])
def test_other_parsers_read_what_was_said(subject: Callable[[str], Subject], slug: str) -> None:
    draft = make_draft(subject(slug), "8min")
    made = captions_of([one.text for one in draft.sentences], draft.words_a_minute)
    by_webvtt = webvtt.from_buffer(io.BytesIO(as_vtt(made.captions).encode()))
    by_srt = list(srt.parse(as_srt(made.captions), ignore_errors=False))
    for read in ([one.text for one in by_webvtt], [one.content for one in by_srt]):
        assert " ".join(" ".join(read).split()) == draft.spoken
        assert all(len(text.split("\n")) <= LINES and max(map(len, text.split("\n"))) <= LINE_SIGNS for text in read)
    for ours, first, second in zip(made.captions, by_webvtt, by_srt, strict=True):
        assert round(first.start_in_seconds * 1000) // 1000 == ours.start_ms // 1000
        assert second.end.total_seconds() * 1000 == pytest.approx(ours.end_ms)
    assert not made.remarks


@given(SENTENCES, st.integers(60, 260))
def test_captions_from_words_can_be_read(sentences: list[str], pace: int) -> None:
    made = captions_of(sentences, pace).captions
    assert all(one.speed <= READ_EASILY + 1e-9 for one in made)
    assert all(earlier.end_ms == later.start_ms for earlier, later in zip(made, made[1:], strict=False))
    assert " ".join(" ".join(one.lines) for one in made).split() == " ".join(sentences).split()


def test_a_long_sentence_is_cut_evenly() -> None:
    pieces = cut_up("word " * 30)
    lengths = [len(" ".join(lines)) for lines in pieces]
    assert len(pieces) == 2
    assert max(lengths) - min(lengths) <= 10


def test_a_take_that_is_too_fast_is_told(subject: Callable[[str], Subject]) -> None:
    sentences = ["This sentence has exactly sixty signs when you count them all.", "Short one."]
    slow = captions_of(sentences, 150, [(0.0, 4.0), (4.0, 6.0)])
    fast = captions_of(sentences, 150, [(0.0, 2.0), (2.0, 4.0)])
    assert not slow.remarks
    assert len(fast.remarks) == 1
    assert "caption 1" in fast.remarks[0]
    assert fast.captions[0].speed > READ_AT_MOST


def test_a_caption_stays_into_the_pause_where_it_must() -> None:
    made = captions_of(
        ["This sentence has exactly sixty signs when you count them all."] * 2, 150, [(0.0, 2.0), (10.0, 20.0)]
    )
    assert made.captions[0].speed <= READ_EASILY + 0.01
    assert made.captions[0].end_ms < 10_000


def test_the_times_of_a_take_are_read() -> None:
    assert read_cues("sentence,start_s,end_s\n1,0.5,3\n2,3,7.25\n", "take.csv", 2) == [(0.5, 3.0), (3.0, 7.25)]


def test_every_fault_of_the_times_is_told_at_once() -> None:
    text = "sentence,start_s,end_s\n1,0,x\n3,5,4\n2,1\n9,-1,nan\n"
    with pytest.raises(CueFault) as caught:
        read_cues(text, "take.csv", 4)
    said = str(caught.value)
    for place in (
        "take.csv:2:3",
        "take.csv:3:1",
        "take.csv:3:3",
        "take.csv:4:1",
        "take.csv:5:1",
        "take.csv:5:2",
        "take.csv:5:3",
    ):
        assert place in said, place
    assert "4, as the draft has" in said


def test_a_caption_escapes_what_webvtt_takes_for_markup() -> None:
    made = captions_of(["A < B & C --> D"], 150)
    assert (
        webvtt.from_buffer(io.BytesIO(as_vtt(made.captions).encode()))[0].text.replace("&lt;", "<").startswith("A < B")
    )
