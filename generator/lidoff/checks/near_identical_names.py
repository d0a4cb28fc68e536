"""One name is spelt in one way in all records."""

from collections.abc import Iterator, Sequence

from lidoff.checks.check import CollectionCheck, Gist, Notice
from lidoff.checks.drafts import weight
from lidoff.checks.names import bare, one_letter_apart
from lidoff.checks.parts_in_use import PartLine, part_lines
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

FIELDS = {
    "brand": "product.brand",
    "manufacturer": "label.manufacturer",
    "maker": "components[{}].maker",
    "part number": "components[{}].part_number",
}
"""Where a name of each kind stands; parts by their place in the list."""

Uses = Sequence[tuple[Gist, int] | PartLine]
Spellings = dict[str, Uses]
"""Every use of a name: the record, the place in its list of parts, and for a part number what stands there."""


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
    brands: dict[str, list[tuple[Gist, int]]] = {}
    manufacturers: dict[str, list[tuple[Gist, int]]] = {}
    makers: dict[str, list[tuple[Gist, int]]] = {}
    for subject in subjects:
        record = subject.record
        brands.setdefault(record.product.brand, []).append((subject, 0))
        if record.label is not None and record.label.manufacturer is not None:
            manufacturers.setdefault(record.label.manufacturer, []).append((subject, 0))
        for place, part in enumerate(record.components):
            if part.maker is not None:
                makers.setdefault(part.maker, []).append((subject, place))
    return {"brand": brands, "manufacturer": manufacturers, "maker": makers, "part number": _numbers(subjects)}


def _numbers(subjects: Sequence[Gist]) -> Spellings:
    """Every part number with its maker's bare name; uses are in the order of the records."""
    order = {subject.path: number for number, subject in enumerate(subjects)}
    found: Spellings = {}
    for (maker, number), lines in part_lines(subjects).items():
        name = f"{bare(maker)} {number}"
        others = found.get(name)
        if others is not None:
            lines = sorted((*others, *lines), key=lambda line: (order[line[0].path], line[1]))
        found[name] = lines
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
    return max(names, key=lambda name: weight(use[0] for use in spellings[name]))


def _records(uses: Uses) -> int:
    return len({use[0].path for use in uses})


def _notices(
    kind: str, name: str, usual: str, spellings: Spellings, severity: Severity | None
) -> Iterator[tuple[str, Notice]]:
    """One notice for each record that uses the rarer spelling."""
    witness, witness_place = spellings[usual][0][:2]
    short, short_usual = (text.partition(" ")[2] if kind == "part number" else text for text in (name, usual))
    told: set[str] = set()
    for subject, place, *_ in spellings[name]:
        if subject.path in told:
            continue
        told.add(subject.path)
        yield (
            subject.path,
            Notice(
                field=FIELDS[kind].format(place),
                found=f"{kind} {short}, used {_times(spellings[name])}",
                expected=f"{short_usual}, used {_times(spellings[usual])}, as in {witness.slug}",
                fix=f"write {short_usual} if it is meant; else leave it",
                severity=severity,
                related=((witness.path, FIELDS[kind].format(witness_place)),),
                inputs=(name, usual),
            ),
        )


def _times(uses: Uses) -> str:
    return "once" if len(uses) == 1 else f"{len(uses)} times"


CHECK = CollectionCheck(RULE, run)
