"""A charger with nothing plugged in takes some tenths of a watt; more is mostly milliwatts entered as watts."""

from collections.abc import Iterator

from lidoff.checks.amounts import recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.figures.rows import measured
from lidoff.rule import Rule

RULE = Rule(
    id="no-load-plausible",
    title="No-load power is of the order that a charger can have",
    severity="warning",
    scope="record",
    why=(
        "Published maxima lie between 0.1 W and 0.5 W, an old supply with a mains transformer takes 1 W or 2 W, a lamp "
        "or a display some tenths of a watt more. Above 3 W a value is mostly one in milliwatts, or something drew "
        "power. It holds where no published maximum can be named, too; rows with a full device plugged in are left out."
    ),
    source="10 CFR 430.32(w)(1)(ii), for the maxima, seen second-hand; the bound of 3 W: common practice, no source",
    formula=r"P_0 > 3\,\mathrm{W}",
)

HIGHEST_W = 3.0


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for no-load powers that no charger has."""
    for place, row in enumerate(measured(subject.record).no_load):
        if row.power_w > HIGHEST_W and row.state != "full-device":
            yield Notice(
                field=f"measured.no_load[{place}].power_w",
                found=f"{recorded(row.power_w, 'W')} with nothing drawn",
                expected=f"{recorded(HIGHEST_W, 'W')} or less, most often below 0.5 W",
                fix="check the unit: 60 mW is written 0.06; where a device was plugged in, say so under state",
                inputs=(row.power_w, row.state),
            )


CHECK = RecordCheck(RULE, run)
