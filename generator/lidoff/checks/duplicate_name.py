"""A short name may be given once."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.rule import Rule

RULE = Rule(
    id="duplicate-name",
    title="Each port, board, sample, instrument and part has a name of its own",
    severity="error",
    scope="record",
    why=(
        "Other lines of the record refer to these names. Where two things share one, a reader cannot tell which of them "
        "was measured. Equal parts may share a line through `quantity`. An instrument may stand once for each quantity that "
        "it measures, with the accuracy of each."
    ),
    source="Lidoff's own decision",
)

LISTS = {"ports": "id", "boards": "id", "samples": "id", "instruments": "id", "components": "ref", "magnetics": "ref"}


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for the second and every further use of a name in one list."""
    for name_of_list, key in LISTS.items():
        first: dict[tuple[str, str | None], int] = {}
        for position, item in enumerate(getattr(subject.record, name_of_list)):
            name = getattr(item, key)
            # one instrument measures several quantities, each with an accuracy of its own
            one = name, getattr(item, "quantity", None) if name_of_list == "instruments" else None
            if one in first:
                earlier = f"{name_of_list}[{first[one]}].{key}"
                yield Notice(
                    field=f"{name_of_list}[{position}].{key}",
                    found=f"{name}, which {earlier} has already",
                    expected=f"a name of its own in {name_of_list}",
                    fix="rename one of them, or merge the two lines",
                    related=(("", earlier),),
                )
            else:
                first[one] = position


CHECK = RecordCheck(RULE, run)
