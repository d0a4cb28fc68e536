"""A picture beside a record is not larger than a page can use."""

from collections.abc import Iterator

from lidoff.bench.picture_file import MOST_BYTES, MOST_MEGAPIXELS, MOST_PIXELS, PictureFacts
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.pictures_beside import pictures_beside
from lidoff.rule import Rule

RULE = Rule(
    id="picture-size",
    title=f"Pictures have at most {MOST_MEGAPIXELS} megapixels and {MOST_BYTES / 1e6:.0f} MB",
    severity="error",
    scope="record",
    why=(
        "Every picture stays in the repository for good, and whoever copies it copies them all. lidoff photo add keeps "
        "4 megapixels unless asked for more: enough for close-ups of single parts. A file that says it has more pixels "
        "is not opened at all, whatever its length."
    ),
    source="Lidoff's own decision",
)


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for pictures that are too large."""
    for field, facts in pictures_beside(subject):
        if facts.fault is None and facts.is_too_large:
            yield Notice(
                field=field,
                found=f"{facts.file}: {_size(facts)}",
                expected=f"at most {MOST_MEGAPIXELS} megapixels and {MOST_BYTES / 1e6:.0f} MB",
                fix="take it out, and add the original with lidoff photo add, which makes it smaller",
            )


def _size(facts: PictureFacts) -> str:
    """What is too large: the pixels, beside which a short file is worth a word, or the file."""
    length = f"{facts.size_bytes / 1e6:.2f} MB" if facts.size_bytes >= 1e5 else f"{facts.size_bytes / 1e3:.1f} kB"
    if facts.pixels <= MOST_PIXELS:
        return f"a file of {length}"
    return f"{facts.width} by {facts.height} pixels ({facts.pixels / 1e6:.1f} megapixels) in a file of {length}"


CHECK = RecordCheck(RULE, run)
