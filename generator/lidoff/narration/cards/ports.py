"""What the ports promise and offer: voltage to the right, current upwards, a panel a port."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil

from lidoff.engineering.usb_pd_objects import decode_source_object
from lidoff.engineering.usb_pd_supplies import FixedSupply
from lidoff.entry import Entry
from lidoff.narration.cards.sheet import (
    BOTTOM,
    FIRST,
    GRID,
    LEFT,
    PLATE,
    QUIET,
    RIGHT,
    SECOND,
    SMALL,
    TOP,
    Sheet,
    notes_of,
)
from lidoff.pages.vocabulary import label
from lidoff.record.model.label import Port

MOST_PORTS = 5
GAP = 40
POWERS_W = (15, 30, 60, 100, 140, 240)


@dataclass(frozen=True, slots=True)
class Plot:
    """One panel with its scales."""

    left: float
    right: float
    volts: float
    amps: float

    def x(self, volts: float) -> float:
        """Place of a voltage."""
        return self.left + (self.right - self.left) * volts / self.volts

    def y(self, amps: float) -> float:
        """Place of a current."""
        return BOTTOM - 130 - (BOTTOM - 130 - TOP - 60) * amps / self.amps


def ports_chart(entry: Entry) -> str | None:
    """None where no port has a printed or captured offer."""
    ports = [port for port in entry.record.ports if _printed(port) or _captured(port)]
    if not ports:
        return None
    points = [point for port in ports for point in (*_printed(port), *_captured(port))]
    volts, amps = (
        5.0 * ceil(max(volts for volts, _ in points) / 5 + 0.2),
        float(ceil(max(amps for _, amps in points) + 0.4)),
    )
    shown = ports[:MOST_PORTS]
    more = f"; {len(ports) - MOST_PORTS} more not drawn" if len(ports) > MOST_PORTS else ""
    sheet = Sheet(entry.title, f"What each port gives: printed and captured{more}", _described(ports), notes_of(entry))
    width = min((RIGHT - LEFT - GAP * (len(shown) - 1)) / len(shown), 1160)
    start = LEFT + (RIGHT - LEFT - width * len(shown) - GAP * (len(shown) - 1)) / 2
    for place, port in enumerate(shown):
        left = start + place * (width + GAP)
        _panel(sheet, port, left, width, volts, amps)
    sheet.box(LEFT, BOTTOM - 14, 22, 22, "none", SECOND, 0, 5)
    sheet.text(LEFT + 36, BOTTOM + 6, "printed on the label", SMALL)
    sheet.dot(LEFT + 360, BOTTOM - 3, 11, FIRST)
    sheet.text(LEFT + 386, BOTTOM + 6, "offered in USB Power Delivery, port used alone", SMALL)
    sheet.text(
        RIGHT, BOTTOM + 6, "volts to the right, amperes upwards, thin lines: equal power", SMALL, QUIET, anchor="end"
    )
    return sheet.svg


def _panel(sheet: Sheet, port: Port, left: float, width: float, volts: float, amps: float) -> None:
    plot = Plot(left + 64, left + width - 24, volts, amps)
    sheet.box(left, TOP, width, BOTTOM - TOP - 50, PLATE, GRID, 14, 2)
    sheet.text(left + 28, TOP + 44, f"{port.id}  {label('connector', port.connector)}", 32, weight="bold")
    step = 10 if volts > 22 and width < 700 else 5
    for mark in range(0, int(volts) + 1, step):
        sheet.line(plot.x(mark), plot.y(0), plot.x(mark), plot.y(amps), GRID, 1.5)
        sheet.text(plot.x(mark), plot.y(0) + 36, str(mark), SMALL, QUIET, anchor="middle")
    for mark in range(int(amps) + 1):
        sheet.line(plot.x(0), plot.y(mark), plot.x(volts), plot.y(mark), GRID, 1.5)
        sheet.text(plot.x(0) - 14, plot.y(mark) + 9, str(mark), SMALL, QUIET, anchor="end")
    _powers(sheet, plot)
    for low, high, current in _ranges(port):
        sheet.path(f"M{plot.x(low):.1f} {plot.y(current):.1f}H{plot.x(high):.1f}", SECOND, 5)
    for point in _printed(port):
        sheet.box(plot.x(point[0]) - 15, plot.y(point[1]) - 15, 30, 30, "none", SECOND, 0, 5)
    for point in _captured(port):
        sheet.dot(plot.x(point[0]), plot.y(point[1]), 9, FIRST)
    if not _captured(port):
        sheet.text(plot.right - 6, TOP + 44, "no message captured", 22, QUIET, anchor="end")


def _powers(sheet: Sheet, plot: Plot) -> None:
    """Lines of equal power, named where they enter the panel."""
    for power in POWERS_W:
        start, end = power / plot.amps, plot.volts
        if start >= end or power / end > plot.amps:
            continue
        steps = [start + (end - start) * step / 24 for step in range(25)]
        drawn = "L".join(f"{plot.x(volts):.1f} {plot.y(power / volts):.1f}" for volts in steps)
        sheet.path(f"M{drawn}", GRID, 2)
        sheet.text(plot.x(end) - 6, plot.y(power / end) - 8, f"{power} W", 20, QUIET, anchor="end")


def _printed(port: Port) -> list[tuple[float, float]]:
    return sorted(
        {
            (one.voltage_v, one.current_a)
            for one in port.label
            if one.voltage_v is not None and one.current_a is not None
        }
    )


def _ranges(port: Port) -> list[tuple[float, float, float]]:
    return [
        (one.voltage_min_v, one.voltage_max_v, one.current_a)
        for one in port.label
        if one.voltage_min_v is not None and one.voltage_max_v is not None and one.current_a is not None
    ]


def _captured(port: Port) -> list[tuple[float, float]]:
    """The fixed offers of the strongest message that was captured with this port alone."""
    messages = [_fixed(capture.words) for capture in port.advertised or () if capture.alone is not False]
    return max(messages, key=lambda points: max((volts * amps for volts, amps in points), default=0), default=[])


def _fixed(words: Iterable[str]) -> list[tuple[float, float]]:
    supplies = [decode_source_object(int(word, 16)).supply for word in words if int(word, 16)]
    return [(one.voltage, one.current) for one in supplies if isinstance(one, FixedSupply)]


def _described(ports: Iterable[Port]) -> str:
    said = []
    for port in ports:
        printed = ", ".join(f"{volts:g} V {amps:g} A" for volts, amps in _printed(port)) or "nothing"
        captured = ", ".join(f"{volts:g} V {amps:g} A" for volts, amps in _captured(port)) or "nothing"
        said.append(f"{port.id}: printed {printed}; offered {captured}.")
    return " ".join(said)
