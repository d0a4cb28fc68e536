"""What hid parts from view is stated, and a complete list does not claim what was hidden."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.record.model import Record
from lidoff.record.model.product import Coverage
from lidoff.rule import Rule

RULE = Rule(
    id="coverage-hidden",
    title="Coverage agrees with what hid parts from view",
    severity="warning",
    scope="record",
    why=(
        "What a unit lacks is judged only where everything was seen. A list of every part, or of all boards, that "
        "says in the same breath that something was hidden claims too much. Coated markings without a word on what "
        "hid them, and a list of every part from a fully potted unit, are notes: the compound may have been taken off."
    ),
    source="The definitions of Lidoff's vocabulary",
)

LEAVES_GAPS = frozenset({"potting", "shield", "heat-spreader", "not-opened"})
"""What hides whole parts; coating and glue hide markings only."""


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for coverage that claims more than was to be seen, or does not say what hid a marking."""
    coverage = subject.record.coverage
    if coverage is None:
        return
    hiding = [one for one in coverage.hidden_by if one in LEAVES_GAPS]
    if coverage.parts == "every" and hiding:
        yield _too_much("parts", "every part is said to be listed", coverage, hiding)
    elif coverage.boards == "all" and "not-opened" in hiding:
        yield _too_much("boards", "all boards are said to be examined", coverage, ["not-opened"])
    yield from _potted(subject.record, coverage)
    yield from _coated(subject.record, coverage)


def _too_much(key: str, claim: str, coverage: Coverage, hiding: list[str]) -> Notice:
    return Notice(
        field=f"coverage.{key}",
        found=f"{claim}, and parts were hidden by {' and '.join(hiding)}",
        expected="main or visible where something was hidden",
        fix=f"lower coverage.{key}, or take out of hidden_by what was removed",
        related=(("", "coverage.hidden_by"),),
        inputs=(getattr(coverage, key), coverage.hidden_by),
    )


def _potted(record: Record, coverage: Coverage) -> Iterator[Notice]:
    potting = record.construction.potting if record.construction is not None else None
    if coverage.parts == "every" and potting is not None and potting.extent == "full" and not coverage.hidden_by:
        yield Notice(
            field="coverage.parts",
            found="every part is said to be listed, in a unit that is potted throughout",
            expected="main or visible, unless the compound was taken off",
            fix="lower coverage.parts and add potting to hidden_by; leave it if all compound was taken off",
            severity="note",
            related=(("", "construction.potting.extent"),),
            inputs=(coverage.parts, potting.extent),
        )


def _coated(record: Record, coverage: Coverage) -> Iterator[Notice]:
    if coverage.hidden_by:
        return
    coated = [
        (place, part.ref)
        for place, part in enumerate(record.components)
        if part.marking is not None and part.marking.state == "coated"
    ]
    if coated:
        yield Notice(
            field=f"components[{coated[0][0]}].marking.state",
            found=f"coated markings on {', '.join(ref for _, ref in coated[:6])}, and nothing in coverage.hidden_by",
            expected="coating or glue in coverage.hidden_by",
            fix="add what hid them to coverage.hidden_by",
            severity="note",
            inputs=tuple(ref for _, ref in coated),
        )


CHECK = RecordCheck(RULE, run)
