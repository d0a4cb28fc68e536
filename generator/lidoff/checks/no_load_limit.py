"""No-load power against the published maximum."""

from collections.abc import Iterator

from lidoff.checks.amounts import recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.efficiency_limit import HEDGE
from lidoff.engineering.uncertainty import expanded_uncertainty
from lidoff.figures.efficiency import no_load_corner
from lidoff.figures.figure import Figure
from lidoff.figures.rows import measured, reading_uncertainty
from lidoff.figures.show import shown
from lidoff.record.model import Record
from lidoff.record.model.electrical import NoLoad
from lidoff.rule import Rule

RULE = Rule(
    id="no-load-limit",
    title="No-load power is not above the published maximum",
    severity="warning",
    scope="record",
    why=(
        "The power taken with nothing plugged in is set beside the maximum for its class and nameplate power, where "
        "the mains are those of a test procedure. Above by more than the expanded uncertainty of the instrument is a "
        "warning, within it the comparison is not decided. It is one unit on the reviewer's instruments and no "
        "compliance test."
    ),
    source=(
        "10 CFR 430.32(w)(1)(ii), level VI, figures seen second-hand; Regulation (EU) 2019/1782, Annex II point 1(a), "
        "and the European Commission's published answers on it for supplies that change their voltage"
    ),
    formula=r"P_0 - U > P_{0,max}",
)


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for no-load powers above their limit or too near to it to tell."""
    limits = {limit.of: limit for limit in subject.figures.present("no_load_limit_w")}
    for place, row in enumerate(measured(subject.record).no_load):
        limit = limits.get(no_load_corner(row))
        if limit is not None and row.state != "full-device":
            yield from _judged(subject.record, place, row, limit)


def _judged(record: Record, place: int, row: NoLoad, limit: Figure) -> Iterator[Notice]:
    standard = reading_uncertainty(record, row.instrument, "power", row.power_w)
    spread = None if standard is None else expanded_uncertainty(standard)
    excess = row.power_w - limit.value
    if excess <= 0 and (spread is None or -excess > spread):
        return
    is_above = spread is not None and excess > spread
    if spread is None:
        decided = "; not decided, because the accuracy of the instrument is not recorded"
    else:
        decided = "" if is_above else "; not decided, because that is within the uncertainty"
    yield Notice(
        field=f"measured.no_load[{place}].power_w",
        found=f"{recorded(row.power_w, 'W')} with nothing drawn at {recorded(row.mains_v, 'V')}{decided}",
        expected=f"{shown(limit).text} or less, the published maximum for this nameplate power; {HEDGE}",
        fix="check averaging time and instrument; if the value stands, leave it and explain in answered",
        severity=None if is_above else "note",
        inputs=(row.power_w, row.mains_v, limit.value, spread),
    )


CHECK = RecordCheck(RULE, run)
