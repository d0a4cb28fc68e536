"""Names of proprietary protocols against the list of the knowledge base."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.record.nearest import closest
from lidoff.rule import Rule

RULE = Rule(
    id="known-protocol",
    title="Proprietary protocols go by their names in the list",
    severity="warning",
    scope="record",
    why=(
        "Tables count a protocol by its name, so that two spellings of one are two protocols. The names of this "
        "knowledge base, with their aliases, are in entries/other-protocols.yaml. An alias where the name belongs is "
        "a note; so is any name while there is no list, and a name printed on a label that is no alias yet."
    ),
    source="Lidoff's own decision",
)

SIMILAR = 0.6


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for names that are no name or alias of the list."""
    for place, port in enumerate(subject.record.ports):
        for number, name in enumerate(port.other_protocols):
            yield from _of_name(f"ports[{place}].other_protocols[{number}]", name, subject)
        for number, offer in enumerate(port.label):
            if offer.protocol is not None and offer.protocol not in subject.other_protocols.name_of:
                yield _unknown(f"ports[{place}].label[{number}].protocol", offer.protocol, subject, is_printed=True)


def _of_name(field: str, name: str, subject: Subject) -> Iterator[Notice]:
    known = subject.other_protocols.name_of.get(name)
    if known is None:
        yield _unknown(field, name, subject)
    elif known != name:
        yield Notice(
            field=field,
            found=f"{name}, an alias of {known}",
            expected="the name by which tables count it",
            fix=f"write {known}",
            severity="note",
            inputs=(name, known),
        )


def _unknown(field: str, name: str, subject: Subject, is_printed: bool = False) -> Notice:
    known = subject.other_protocols.name_of
    near = closest(name, known, SIMILAR)
    add = "add it to entries/other-protocols.yaml"
    if is_printed:
        fix = f"add it as an alias of {known[near]}" if near else f"{add}, or as an alias"
    else:
        fix = f"write {known[near]}, or {add}" if near else add
    return Notice(
        field=field,
        found=name,
        expected="a name or an alias of entries/other-protocols.yaml" + ("" if known else ", which lists none"),
        fix=fix,
        severity="note" if is_printed or not known else None,
        inputs=(name,),
    )


CHECK = RecordCheck(RULE, run)
