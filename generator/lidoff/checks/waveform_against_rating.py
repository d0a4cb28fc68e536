"""A measured peak voltage beside the rating of the part that it was measured on."""

from collections.abc import Iterator

from lidoff.checks.amounts import percent, recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.ratings import severity_of
from lidoff.figures.bus import Part
from lidoff.figures.rows import measured
from lidoff.record.model.measured import Waveform
from lidoff.rule import Rule

RULE = Rule(
    id="waveform-against-rating",
    title="Measured peak voltages are within the ratings of their parts",
    severity="warning",
    scope="record",
    why=(
        "A peak above the rating is either a part at its limit or a fault of measurement: the ground lead of a probe "
        "adds ringing, and a probe may be out of adjustment. The rating for transients is used where it is recorded; "
        "a peak above the continuous rating alone, or in the last 10 %, is worth a note."
    ),
    source="ratings of the recorded parts; the note in the last 10 %: common practice, no source",
    formula=r"V_{peak} > V_{rated}",
)


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for peaks near or above a rating."""
    rows = measured(subject.record).waveforms
    parts = {part.ref: (place, part) for place, part in enumerate(subject.record.components)} if rows else {}
    for place, row in enumerate(rows):
        if row.ref in parts and row.peak_v > 0:
            yield from _beside(place, row, parts[row.ref])


def _beside(place: int, row: Waveform, numbered: Part) -> Iterator[Notice]:
    where, part = numbered
    is_gate = row.node is not None and row.node.lower().startswith("gate")
    keys = ("gate_v",) if is_gate else ("voltage_transient_v", "voltage_v")
    known = [(key, value) for key in keys if (value := getattr(part.ratings, key, None)) is not None]
    if not known:
        return
    key, highest = known[0]
    continuous = known[-1][1]
    severity = severity_of(highest, row.peak_v) or ("note" if row.peak_v > continuous else None)
    if severity is None:
        return
    kind = "transient rating" if len(known) > 1 else "rating"
    beyond = ""
    if row.peak_v > continuous != highest:
        beyond = f", and above the {recorded(continuous, 'V')} it is rated for all the time"
    yield Notice(
        field=f"measured.waveforms[{place}].peak_v",
        found=f"{recorded(row.peak_v, 'V')} on {row.ref}, {percent(row.peak_v / highest)} of its {kind}{beyond}",
        expected=f"a peak below the {kind} of {recorded(highest, 'V')}",
        fix="check the notes on the probe and the part's identification; if the peak stands, explain it in answered",
        severity=severity,
        related=(("", f"components[{where}].ratings.{key}"),),
        inputs=(row.peak_v, row.mains_v, row.output_v, highest, continuous),
    )


CHECK = RecordCheck(RULE, run)
