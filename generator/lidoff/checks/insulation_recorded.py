"""An unwound transformer says what insulates its windings from each other."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.record.model.construction import Magnetic
from lidoff.rule import Rule

RULE = Rule(
    id="insulation-recorded",
    title="An unwound transformer says what insulates its windings",
    severity="note",
    scope="record",
    why=(
        "Between primary and secondary, transformers of this kind have triple-insulated wire, margin tape, separate "
        "chambers or, when planar, the base material of a board. Where a transformer was unwound and none of these is "
        "recorded, either it was not looked for or it is worth telling readers. Layer tape and sleeves alone do not "
        "show it. It is said of the unit that was seen and is no verdict on its insulation."
    ),
    source="IEC 62368-1, 5.4 on solid insulation and wound components, in outline (from memory)",
)

SEPARATES = frozenset({"triple-insulated-wire", "margin-tape", "bobbin-flange", "board-prepreg"})
INSULATED_WIRES = frozenset({"triple-insulated", "triple-insulated-litz", "planar"})


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for transformers that were unwound without a word on their insulation."""
    transformers = {part.ref for part in subject.record.components if "transformer" in part.roles}
    for place, magnetic in enumerate(subject.record.magnetics):
        if magnetic.ref in transformers and _was_unwound(magnetic) and not _is_separated(magnetic):
            recorded = magnetic.insulation
            seen = f"only {' and '.join(recorded)}" if recorded else "none, though it was looked for"
            said = "not recorded" if recorded is None else seen
            yield Notice(
                field=f"magnetics[{place}].insulation",
                found=f"insulation between the windings of {magnetic.ref}: {said}",
                expected="triple-insulated wire, margin tape, separate chambers or board material",
                fix="record what was seen; where it was looked for and none was seen, say so in the note",
                inputs=(recorded,),
            )


def _was_unwound(magnetic: Magnetic) -> bool:
    """Whether somebody saw the inside: it was unwound, or its insulation was looked for."""
    return magnetic.insulation is not None or any(winding.turns_by == "unwound" for winding in magnetic.windings)


def _is_separated(magnetic: Magnetic) -> bool:
    by_wire = any(winding.wire in INSULATED_WIRES for winding in magnetic.windings)
    return by_wire or not SEPARATES.isdisjoint(magnetic.insulation or ())


CHECK = RecordCheck(RULE, run)
