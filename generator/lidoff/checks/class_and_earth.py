"""Protection class, earth contact, class mark and capacitors to earth go together."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.record.model import Record
from lidoff.rule import Rule

RULE = Rule(
    id="class-and-earth",
    title="Protection class, earth contact and Y capacitors to earth go together",
    severity="warning",
    scope="record",
    why=(
        "Protection class I needs an earth contact, so it does not go with a plug or inlet of two poles, nor with the "
        "mark of class II. A capacitor from the mains side to protective earth needs an earth: in a unit of class II "
        "without functional earth there is none to connect it to, and it most likely goes to the output side."
    ),
    source=(
        "IEC 61140, 7.3 and 7.4 on classes I and II; IEC 60417, symbols 5172 and 6092 (all from memory); poles of the "
        "plugs as the vocabulary states them"
    ),
)

WITHOUT_EARTH = frozenset({"nema-1-15", "cee-7-16", "cee-7-17", "iec-60320-c8"})
CLASS_II_MARKS = ("class-ii", "functional-earth-class-ii")


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for a class that contradicts plug, marks or capacitors."""
    record = subject.record
    if record.product.protection_class == "i":
        yield from _class_i(record)
    elif record.product.protection_class == "ii" and _has_no_earth(record):
        yield from _class_ii(record)


def _class_i(record: Record) -> Iterator[Notice]:
    """One notice with all that speaks against class I: most likely the class itself is wrong."""
    plug = record.product.plug
    against: list[tuple[str, str, str]] = []
    if plug is not None and plug.system in WITHOUT_EARTH:
        against.append(("product.plug.system", plug.system, f"{plug.system}, which has no earth contact"))
    for place, mark in enumerate((record.label.marks if record.label is not None else None) or ()):
        if mark in CLASS_II_MARKS:
            against.append((f"label.marks[{place}]", mark, f"the mark {mark}"))
    if against:
        yield Notice(
            field="product.protection_class",
            found=f"class I with {', and '.join(words for _, _, words in against)}",
            expected="class II, or an earth contact and no mark of class II",
            fix="look at the class mark of the label and at the plug again",
            related=tuple(("", field) for field, _, _ in against),
            inputs=("i", *(value for _, value, _ in against)),
        )


def _class_ii(record: Record) -> Iterator[Notice]:
    for place, part in enumerate(record.components):
        if "y-capacitor" in part.roles and part.across == "primary-earth":
            yield Notice(
                field=f"components[{place}].across",
                found=f"{part.ref} goes from the mains side to protective earth, in a unit of class II",
                expected="primary-secondary in class II, or the mark functional-earth-class-ii, or class I",
                fix="follow the track of the capacitor again, then correct across, the marks or the class",
                related=(("", "product.protection_class"),),
                inputs=("ii", part.ref, part.across),
            )


def _has_no_earth(record: Record) -> bool:
    """Whether the plug has no earth contact, or the marks were read and none is of functional earth."""
    plug = record.product.plug
    marks = record.label.marks if record.label is not None else None
    if "functional-earth-class-ii" in (marks or ()):
        return False
    return marks is not None or (plug is not None and plug.system in WITHOUT_EARTH)


CHECK = RecordCheck(RULE, run)
