"""A picture's file is what its name's ending says."""

from collections.abc import Iterator
from pathlib import PurePosixPath

from lidoff.bench.picture_file import ENDINGS, NAMES
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.pictures_beside import pictures_beside
from lidoff.rule import Rule

RULE = Rule(
    id="picture-ending",
    title="A picture's file is what its ending says",
    severity="error",
    scope="record",
    why=(
        "Servers, editors and viewers go by the ending. A file under a wrong one opens in some of them and not in "
        "others, and most often it is not the file that was meant."
    ),
    source="Lidoff's own decision",
)


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for pictures under the ending of another format."""
    for field, facts in pictures_beside(subject):
        ending = PurePosixPath(facts.file).suffix
        if facts.fault is None and facts.format and ENDINGS.get(ending.lower()) != facts.format:
            right = ".jpg" if facts.format == "jpeg" else f".{facts.format}"
            better = facts.file.removesuffix(ending) + right
            fix = f"rename it to {better}" if better not in subject.files else f"give it a free name in {right}"
            yield Notice(
                field=field,
                found=f"{facts.file}: {NAMES[facts.format]}",
                expected=f"a name that ends in {right}",
                fix=f"{fix}, or put the file there that was meant",
            )


CHECK = RecordCheck(RULE, run)
