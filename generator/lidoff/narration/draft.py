"""The draft of a narration: what to say of an entry in so much time, and in which order."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.narration.language import Language
from lidoff.narration.line import DETAIL, MAY, MUST, SHOULD, Line, Subject
from lidoff.narration.plans import compares, delivers, made, promises, sure
from lidoff.narration.speech import Voice

QUESTIONS = {
    "promises": promises.lines,
    "delivers": delivers.lines,
    "made": made.lines,
    "compares": compares.lines,
    "sure": sure.lines,
}
LENGTHS_S = {"60s": 60, "3min": 180, "8min": 480, "article": 960}
DEEPEST = {"60s": SHOULD, "3min": MAY, "8min": DETAIL, "article": MAY}
WORDS_A_MINUTE = 150  # a calm voice; common practice, no source


@dataclass(frozen=True, slots=True)
class Said:
    """One sentence as it is spoken, and the line it comes from."""

    text: str
    line: Line
    question: str

    @property
    def words(self) -> int:
        """How many words it has."""
        return len(self.text.split())


@dataclass(frozen=True, slots=True)
class Draft:
    """The chosen sentences in order; ``left_out`` is how many others there was no time for."""

    entry: Entry
    language: Language
    sentences: tuple[Said, ...]
    left_out: int
    seconds_wanted: int
    words_a_minute: int

    @property
    def words(self) -> int:
        """How many words are spoken."""
        return sum(one.words for one in self.sentences)

    def seconds(self, words: int | None = None) -> float:
        """Time for so many words, or for all."""
        return (self.words if words is None else words) * 60 / self.words_a_minute

    @property
    def spoken(self) -> str:
        """All that is spoken, in one text."""
        return " ".join(one.text for one in self.sentences)


def make_draft(
    subject: Subject,
    length: str = "3min",
    order: Sequence[str] = tuple(QUESTIONS),
    words_a_minute: int = WORDS_A_MINUTE,
) -> Draft:
    """Every line that applies, as long as time allows; what matters less is left out first."""
    deepest = DEEPEST[length]
    lines = [(question, line) for question in order for line in QUESTIONS[question](subject)]
    said = _said(subject, [(question, line) for question, line in lines if line.level <= deepest])
    seconds = LENGTHS_S[length]
    kept = _kept(said, seconds * words_a_minute // 60)
    return Draft(
        entry=subject.entry,
        language=subject.language,
        sentences=tuple(said[place] for place in kept),
        left_out=len(lines) - len(kept),
        seconds_wanted=seconds,
        words_a_minute=words_a_minute,
    )


def _said(subject: Subject, lines: Sequence[tuple[str, Line]]) -> list[Said]:
    """The lines in words; a plan that comes again takes its next wording."""
    turns: Counter[str] = Counter()
    said = []
    for question, line in lines:
        text = subject.language.sentence(line.key, subject.entry.slug, line.values, turns[line.key])
        turns[line.key] += 1
        said.append(Said(text, line, question))
    return said


def _kept(said: Sequence[Said], words: int) -> list[int]:
    """Places of the sentences that fit: by level, in order; the caution always, and the first one of each question."""
    first = {one.question: place for place, one in reversed(list(enumerate(said)))}
    fixed = [place for place, one in enumerate(said) if one.line.key.startswith("made/caution")]
    places = [*fixed, *sorted(first.values())]
    places += sorted(range(len(said)), key=lambda place: (said[place].line.level, place))
    kept: list[int] = []
    left = words
    for place in dict.fromkeys(places):
        must = place in fixed or said[place].line.level == MUST and place in first.values()
        if said[place].words <= left or must:
            kept.append(place)
            left -= said[place].words
    return sorted(kept)


def subject_of(
    entry: Entry, entries: Sequence[Entry], tiers_w: Sequence[float], language: Language, in_digits: bool = False
) -> Subject:
    """An entry among all that are published; ``in_digits`` for a text that is read and not spoken."""
    fellows = tuple(one for one in entries if not one.is_draft)
    return Subject(entry, fellows, tuple(tiers_w), Voice(language, in_digits))
