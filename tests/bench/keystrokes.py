"""Counts what is typed in the worked example against the record that comes of it: python tests/bench/keystrokes.py

Counted are all characters that somebody types: commands, the label's lines, edits of the record with their indentation
and line ends, the table of parts with its tabs, and an allowance for each edit (finding the line) and each copied
block. Not counted: reading, measuring, photographing, thinking. Instruments' logs and pictures are files, not typing.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

EXAMPLE = Path(__file__).resolve().parents[1] / "worked_example"
WORDS_A_MINUTE = 40  # an ordinary typist (common practice, from memory)
SIGNS_A_WORD = 5  # a word of a typing test, its blank included (common practice, from memory)
EDIT_STROKES = 12  # to find a line in the editor: a search of a few letters, or the arrows
COPY_STROKES = 6  # to copy a block of the terminal and paste it into the editor
AIM_MINUTES = 45
MARKS = {"$": "command", "@": "edit", "&": "block"}


@dataclass(slots=True)
class Step:
    """One thing that is done: a command, an edit of a line of the record, or a block put into it."""

    kind: str
    text: str
    typed: list[str] = field(default_factory=list)

    @property
    def strokes(self) -> int:
        """Keys for this step, each line with its Enter."""
        own = sum(len(line) + 1 for line in self.typed)
        if self.kind == "edit":
            return EDIT_STROKES + own
        if self.kind == "block":
            return COPY_STROKES + len(self.text)
        return len(self.text) + 1 + own


def read_session(text: str) -> list[Step]:
    """The steps of a session as it is written down."""
    steps: list[Step] = []
    for line in text.splitlines():
        if line[:1] in MARKS:
            steps.append(Step(MARKS[line[0]], line[2:]))
        elif line[:1] in "><" and line:
            steps[-1].typed.append(line[2:])
        elif line and not line.startswith("#"):
            raise ValueError(f"not a line of a session: {line}")
    return steps


def groups(steps: list[Step], table: str) -> Iterator[tuple[str, int]]:
    """What was typed, by sort."""
    yield "commands and the label's lines", sum(step.strokes for step in steps if step.kind == "command")
    yield "edits of the record", sum(step.strokes for step in steps if step.kind == "edit")
    yield "blocks copied from earlier records", sum(step.strokes for step in steps if step.kind == "block")
    yield "the table of parts", len(table)


def record_signs(record: str) -> int:
    """The signs of a finished record, without comments and blank lines."""
    lines = [line for line in record.splitlines() if line.strip() and not line.lstrip().startswith("#")]
    return sum(len(line) + 1 for line in lines)


def minutes(strokes: int) -> float:
    """Time to type so much."""
    return strokes / (WORDS_A_MINUTE * SIGNS_A_WORD)


def report(record: str, parts: int) -> str:
    """The count in words; ``record`` is the finished record's text."""
    steps = read_session((EXAMPLE / "session.txt").read_text(encoding="utf-8"))
    counts = list(groups(steps, (EXAMPLE / "parts.tsv").read_text(encoding="utf-8")))
    total = sum(count for _, count in counts)
    signs = record_signs(record)
    lines = [f"{count:>6} {name}" for name, count in counts]
    return "\n".join([
        f"A page with {parts} parts", *lines, f"{total:>6} keystrokes typed",
        f"{signs:>6} signs in the finished record ({total / signs:.0%} of them typed)",
        f"{minutes(total):>6.0f} minutes at {WORDS_A_MINUTE} words of {SIGNS_A_WORD} signs a minute, an assumption; "
        f"the aim is under {AIM_MINUTES}",
        f"{2 * minutes(total):>6.0f} minutes at half that speed, as digits and signs may need",
    ])  # fmt: skip


if __name__ == "__main__":
    import sys
    import tempfile

    sys.path.insert(0, str(EXAMPLE.parent))
    from worked_example.play import play

    with tempfile.TemporaryDirectory() as folder:
        done = play(Path(folder))
        print(report(done.record, done.parts))
