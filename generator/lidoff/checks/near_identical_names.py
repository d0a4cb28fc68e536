"""One name is spelt in one way in all records."""

from collections.abc import Iterator, Sequence

from lidoff.checks.check import CollectionCheck, Gist, Notice
from lidoff.checks.drafts import weight
from lidoff.checks.names import bare, one_letter_apart
from lidoff.finding import Severity
from lidoff.rule import Rule

RULE = Rule(
    id="near-identical-names",
    title="Makers, brands and part numbers are spelt in one way",
    severity="warning",
    scope="collection",
    why=(
        "Two spellings of one maker are two makers to every table, and two spellings of a part number two parts. "
        "Names that differ only by case, spaces, hyphens and other signs are a warning, except for what a label says "
        "of its manufacturer, where print is print. Names of eight letters or more that differ by one letter are a "
        "note, where one is used once and the other five times as often or more; part numbers are left out there, "
        "since one letter is another part. The spelling that is used most is taken as the usual one."
    ),
    source="Lidoff's own decision",
)

LONG_NAME = 8
OFTEN = 5

Uses = list[tuple[Gist, str]]
Spellings = dict[str, Uses]
"""Every use of a name: the record and the field."""


def run(subjects: Sequence[Gist]) -> Iterator[tuple[str, Notice]]:
    """Notices for the rarer spellings of a name."""
    spellings = _spellings(subjects)
    numbers = spellings.pop("part number")
    yield from _by_signs("part number", numbers, None)
    for kind, found in spellings.items():
        yield from _by_signs(kind, found, "note" if kind == "manufacturer" else None)
        yield from _by_letter(kind, found)


def _spellings(subjects: Sequence[Gist]) -> dict[str, Spellings]:
    """Every spelling, by what is named. A part number counts together with its maker's bare name."""
    found: dict[str, Spellings] = {kind: {} for kind in ("brand", "manufacturer", "maker", "part number")}
    for subject in subjects:
        record = subject.record
        found["brand"].setdefault(record.product.brand, []).append((subject, "product.brand"))
        if record.label is not None and record.label.manufacturer is not None:
            found["manufacturer"].setdefault(record.label.manufacturer, []).append((subject, "label.manufacturer"))
        for place, part in enumerate(record.components):
            if part.maker is not None:
                found["maker"].setdefault(part.maker, []).append((subject, f"components[{place}].maker"))
                if part.part_number is not None:
                    name = f"{bare(part.maker)} {part.part_number}"
                    found["part number"].setdefault(name, []).append((subject, f"components[{place}].part_number"))
    return found


def _by_signs(kind: str, spellings: Spellings, severity: Severity | None) -> Iterator[tuple[str, Notice]]:
    same: dict[str, list[str]] = {}
    for name in spellings:
        same.setdefault(bare(name), []).append(name)
    for names in same.values():
        if len(names) > 1:
            usual = _usual(names, spellings)
            for name in names:
                if name != usual:
                    yield from _notices(kind, name, usual, spellings, severity)


def _by_letter(kind: str, spellings: Spellings) -> Iterator[tuple[str, Notice]]:
    by_bare: dict[str, list[str]] = {}
    for name in spellings:
        by_bare.setdefault(bare(name), []).append(name)
    for pair in one_letter_apart(by_bare, LONG_NAME):
        rare, often = sorted(pair, key=lambda one: sum(len(spellings[name]) for name in by_bare[one]))
        usual = _usual(by_bare[often], spellings)
        for name in by_bare[rare]:
            if _records(spellings[name]) == 1 and len(spellings[usual]) >= OFTEN * len(spellings[name]):
                yield from _notices(kind, name, usual, spellings, "note")


def _usual(names: Sequence[str], spellings: Spellings) -> str:
    """The spelling that is used most, the first one of equals."""
    return max(names, key=lambda name: weight(subject for subject, _ in spellings[name]))


def _records(uses: Uses) -> int:
    return len({subject.path for subject, _ in uses})


def _notices(
    kind: str, name: str, usual: str, spellings: Spellings, severity: Severity | None
) -> Iterator[tuple[str, Notice]]:
    """One notice for each record that uses the rarer spelling."""
    witness, witness_field = spellings[usual][0]
    short, short_usual = (text.partition(" ")[2] if kind == "part number" else text for text in (name, usual))
    told: set[str] = set()
    for subject, field in spellings[name]:
        if subject.path in told:
            continue
        told.add(subject.path)
        yield subject.path, Notice(
            field=field,
            found=f"{kind} {short}, used {_times(spellings[name])}",
            expected=f"{short_usual}, used {_times(spellings[usual])}, as in {witness.slug}",
            fix=f"write {short_usual} if it is meant; else leave it",
            severity=severity,
            related=((witness.path, witness_field),),
            inputs=(name, usual),
        )


def _times(uses: Uses) -> str:
    return "once" if len(uses) == 1 else f"{len(uses)} times"


CHECK = CollectionCheck(RULE, run)
