"""What it delivers: offers, sustained power, heat, efficiency, no-load power, ripple, interruptions, a real charge."""

from collections.abc import Iterator

from lidoff.figures.figure import Figure
from lidoff.figures.rows import measured, of_first_sample
from lidoff.narration.line import DETAIL, MAY, MUST, SHOULD, Line, Subject


def lines(subject: Subject) -> Iterator[Line]:
    """Everything that can be said of what was measured."""
    for part in (_offer, _soak, _efficiency, _standby, _ripple, _regulation, _interruption, _charge, _step):
        yield from part(subject)


def _offer(subject: Subject) -> Iterator[Line]:
    rated, voice = subject.entry.record.product.rated_power_w, subject.voice
    found = subject.entry.figures.present("pd_power_w")
    if not found:
        reason = subject.entry.figures.all("pd_power_w")[0].absent or ""
        yield Line("delivers/not-captured", SHOULD, {"reason": reason}, view="card:ports")
        return
    best = max(found, key=lambda one: one.value)
    values = {"port": best.of.port or "", "power": voice.figure(best)}
    if rated is None:
        yield Line("delivers/offer", MUST, values, view="card:ports")
        return
    ways = "same" if abs(best.value - rated) <= 0.01 * rated else "less" if best.value < rated else "more"
    yield Line(f"delivers/offer-{ways}", MUST, values | {"rated": voice.quantity(rated, "W")}, view="card:ports")


def _soak(subject: Subject) -> Iterator[Line]:
    voice, rows = subject.voice, of_first_sample(subject.entry.record, enumerate(measured(subject.entry.record).soak))
    rows = [row for _, row in rows if row.sustained_w is not None and row.after_min is not None]
    if not rows:
        yield Line("delivers/no-soak", SHOULD)
        return
    row = max(rows, key=lambda one: one.sustained_w)
    values = {"minutes": voice.quantity(row.after_min, "min"), "power": voice.quantity(row.sustained_w, "W")}
    if row.foldback_after_min is not None:
        values["until"] = voice.quantity(row.foldback_after_min, "min")
        yield Line("delivers/reduced", MUST, values, view="infrared")
    else:
        yield Line("delivers/kept", MUST, values, view="infrared")
    if row.surface_c is not None and row.ambient_c is not None:
        values = {
            "surface": voice.both(row.surface_c, "°C", "°F"),
            "air": voice.both(row.ambient_c, "°C", "°F"),
            "spot": row.hottest_spot or subject.language.text("delivers/some-spot"),
        }
        yield Line("delivers/heat", SHOULD, values, view="infrared")
    if row.mounting:
        yield Line("delivers/mounting", DETAIL, {"mounting": subject.language.word("mounting", row.mounting)})


def _efficiency(subject: Subject) -> Iterator[Line]:
    voice = subject.voice
    found = subject.entry.figures.present("average_efficiency_pct")
    if not found:
        reason = subject.entry.figures.all("average_efficiency_pct")[0].absent or ""
        yield Line("delivers/no-efficiency", SHOULD, {"reason": reason})
    else:
        best = max(found, key=lambda one: (one.of.output_v or 0, one.of.mains_v or 0))
        values = {"value": voice.figure(best), **_corner(subject, best)}
        limit = next((one for one in subject.entry.figures.present("efficiency_limit_pct") if one.of == best.of), None)
        if limit is None:
            yield Line("delivers/efficiency", MUST, values)
        else:
            points = abs(best.value - limit.value)
            way = "above" if best.value >= limit.value else "below"
            yield Line(f"delivers/efficiency-{way}", MUST, values | {"points": voice.number(round(points, 1))})
        yield from _spread(subject, found, best)
    losses = subject.entry.figures.present("loss_w")
    if losses:
        most = max(losses, key=lambda one: one.value)
        yield Line("delivers/loss", SHOULD, {"loss": voice.figure(most), **_corner(subject, most)})


def _spread(subject: Subject, found: tuple[Figure, ...], best: Figure) -> Iterator[Line]:
    others = [one for one in found if one is not best]
    if others:
        least = min(others, key=lambda one: one.value)
        if least.value < best.value:
            yield Line(
                "delivers/efficiency-least", MAY, {"value": subject.voice.figure(least), **_corner(subject, least)}
            )


def _corner(subject: Subject, figure: Figure) -> dict[str, str]:
    voice, of = subject.voice, figure.of
    return {
        "mains": voice.quantity(of.mains_v, "V") if of.mains_v else subject.language.text("delivers/some-mains"),
        "output": voice.quantity(of.output_v, "V") if of.output_v else subject.language.text("delivers/some-output"),
    }


def _standby(subject: Subject) -> Iterator[Line]:
    record, voice = subject.entry.record, subject.voice
    rows = [row for _, row in of_first_sample(record, enumerate(measured(record).no_load))]
    if not rows:
        yield Line("delivers/no-standby", MAY)
        return
    row = max(rows, key=lambda one: one.power_w)
    values = {"power": voice.quantity(round(row.power_w * 1000, 6), "mW"), "mains": voice.quantity(row.mains_v, "V")}
    yield Line("delivers/standby", SHOULD, values)


def _ripple(subject: Subject) -> Iterator[Line]:
    record, voice = subject.entry.record, subject.voice
    rows = [row for _, row in of_first_sample(record, enumerate(measured(record).ripple)) if row.pk_pk_mv is not None]
    for place, row in enumerate(sorted(rows, key=lambda one: -one.pk_pk_mv)):
        values = {
            "ripple": voice.quantity(row.pk_pk_mv, "mV"),
            "voltage": voice.quantity(row.output_v, "V"),
            "current": voice.quantity(row.load_a, "A"),
            "port": row.port,
        }
        if row.bandwidth_mhz is None:
            yield Line("delivers/ripple-open", SHOULD if place == 0 else DETAIL, values)
        else:
            width = {"bandwidth": voice.quantity(row.bandwidth_mhz, "MHz")}
            yield Line(
                "delivers/ripple" if place == 0 else "delivers/ripple-more",
                MAY if place == 0 else DETAIL,
                values | width,
            )


def _regulation(subject: Subject) -> Iterator[Line]:
    record, voice = subject.entry.record, subject.voice
    rows = [row for _, row in of_first_sample(record, enumerate(measured(record).regulation))]
    if rows:
        row = max(rows, key=lambda one: abs(one.measured_v / one.set_v - 1))
        values = {"set": voice.quantity(row.set_v, "V"), "found": voice.quantity(row.measured_v, "V"), "port": row.port}
        yield Line("delivers/regulation", MAY, values | {"load": voice.quantity(row.load_a, "A")})


def _interruption(subject: Subject) -> Iterator[Line]:
    found, voice = subject.entry.figures.present("longest_interruption_ms"), subject.voice
    if not found:
        if len(subject.entry.record.ports) > 1:
            yield Line("delivers/not-watched", MAY)
        return
    longest = max(found, key=lambda one: one.value)
    values = {"time": voice.figure(longest), "port": longest.of.port or ""}
    yield Line("delivers/interrupted" if longest.value else "delivers/uninterrupted", SHOULD, values)


def _charge(subject: Subject) -> Iterator[Line]:
    record, peaks = subject.entry.record, subject.entry.figures.present("charge_peak_w")
    if peaks and measured(record).charging:
        row = measured(record).charging[0]
        values = {"peak": subject.voice.figure(peaks[0])}
        if row.device:
            yield Line("delivers/charge-device", MAY, values | {"device": row.device})
        else:
            yield Line("delivers/charge", MAY, values)


def _step(subject: Subject) -> Iterator[Line]:
    voice = subject.voice
    for row in measured(subject.entry.record).load_step[:1]:
        if row.undershoot_mv is not None:
            values = {
                "start": voice.quantity(row.start_a, "A"),
                "end": voice.quantity(row.end_a, "A"),
                "dip": voice.quantity(row.undershoot_mv, "mV"),
                "share": voice.quantity(round(row.undershoot_mv / row.set_v / 10, 1), "%"),
            }
            yield Line("delivers/step", DETAIL, values)
