"""Two pictures of one record show two things."""

from collections.abc import Iterator
from itertools import combinations

from lidoff.bench.picture_likeness import difference
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.rule import Rule

RULE = Rule(
    id="picture-likeness",
    title="Two pictures of a record that look the same differ on purpose",
    severity="note",
    scope="record",
    why=(
        "A picture that was saved a second time, made smaller or a little brighter shows nothing new and is loaded by "
        "every reader all the same. Before and after potting, or with and without a shield, is well worth two "
        "pictures: captions that say so end this note."
    ),
    formula=(
        "at most 6 of 64 bits differ: the lowest 8 by 8 coefficients of the cosine transform of 32 by 32 greys, each "
        "against their median"
    ),
    source="C. Zauner, perceptual image hashes (2010), from memory; the bound is common practice, no source",
)

MOST_BITS = 6


def run(subject: Subject) -> Iterator[Notice]:
    """A note for each picture that looks like one before it."""
    told: set[int] = set()
    for (first, one), (second, other) in combinations(enumerate(subject.record.photos), 2):
        known, facts = subject.pictures.get(one.file), subject.pictures.get(other.file)
        if second in told or known is None or facts is None or not known.fingerprint or not facts.fingerprint:
            continue
        explained = one.caption is not None and other.caption is not None and one.caption != other.caption
        same_file = known.sha256 == facts.sha256
        if explained or same_file or one.kind != other.kind:
            continue
        if difference(known.fingerprint, facts.fingerprint) <= MOST_BITS:
            told.add(second)
            yield Notice(
                field=f"photos[{second}].file",
                found=f"{other.file}, which looks like {one.file}",
                expected="pictures that show different things, such as before and after potting",
                fix="say in both captions what differs, or leave one of them out",
                related=(("", f"photos[{first}].file"),),
            )


CHECK = RecordCheck(RULE, run)
