"""One certificate number stands for one manufacturer."""

import re
from collections.abc import Iterator, Sequence

from lidoff.checks.check import CollectionCheck, Gist, Notice
from lidoff.checks.names import bare
from lidoff.rule import Rule

RULE = Rule(
    id="certificate-reused",
    title="A certificate number is printed by one manufacturer",
    severity="note",
    scope="collection",
    why=(
        "A licence or file number belongs to one holder. Where labels that name different manufacturers bear the same "
        "number, the holder may supply both, a number may be misread, or one label borrows it. It tells readers that "
        "two products may be of one origin, and is no verdict."
    ),
    source="Common practice, no source",
)

SHORTEST = 5
"""Shorter numbers are too often part of a number or a class."""
LEGAL_FORMS = frozenset(
    ["co", "company", "corp", "corporation", "gmbh", "inc", "limited", "llc", "ltd", "plc", "sa", "srl"]
)
_WORDS = re.compile(r"\w+")

Holder = tuple[Gist, int]


def run(subjects: Sequence[Gist]) -> Iterator[tuple[str, Notice]]:
    """Notices for numbers that an earlier record gives for another manufacturer."""
    holders: dict[str, dict[str, Holder]] = {}
    for subject in subjects:
        label = subject.record.label
        if label is None or label.manufacturer is None:
            continue
        name = core_name(label.manufacturer)
        for place, certificate in enumerate(label.certificates):
            number = bare(certificate.number)
            if len(number) < SHORTEST:
                continue
            others = holders.setdefault(number, {})
            other = next((holder for known, holder in others.items() if not _same(known, name)), None)
            if other is not None:
                yield subject.path, _notice(subject, place, certificate.number, other)
            others.setdefault(name, (subject, place))


def core_name(manufacturer: str) -> str:
    """A manufacturer's name without its legal form.

    Examples
    --------
    >>> core_name("Pell Lane Electronics Co., Ltd.") == core_name("PELL LANE ELECTRONICS")
    True
    """
    return "".join(word for word in _WORDS.findall(manufacturer.casefold()) if word not in LEGAL_FORMS)


def _same(one: str, other: str) -> bool:
    return one.startswith(other) or other.startswith(one)


def _notice(subject: Gist, place: int, number: str, other: Holder) -> Notice:
    there = other[0].record.label
    mine, theirs = (label.manufacturer if label is not None else "" for label in (subject.record.label, there))
    return Notice(
        field=f"label.certificates[{place}].number",
        found=f"{number}, with {mine} as the manufacturer",
        expected=f"one manufacturer for a number; {other[0].slug} has it with {theirs}",
        fix="read both labels again; if they stand, leave them",
        related=((other[0].path, f"label.certificates[{other[1]}].number"),),
        inputs=(number, mine, theirs),
    )


CHECK = CollectionCheck(RULE, run)
