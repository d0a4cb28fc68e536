"""One log file and the row of the record that names it -> what it says."""

from dataclasses import replace
from pathlib import Path

from lidoff.bench.charge_log import charge_log
from lidoff.bench.log_columns import Wanted, run_columns, sweep_columns
from lidoff.bench.log_power import Flow, flow_of
from lidoff.bench.log_report import LogReport, Unreadable
from lidoff.bench.log_samples import Samples, make_samples
from lidoff.bench.log_table import DECIMALS, SEPARATORS, Table, read_table
from lidoff.bench.log_text import read_text
from lidoff.bench.log_time import TimeAxis, time_axis
from lidoff.bench.logs import GAP_RATIO, LogResult, LogRow
from lidoff.bench.soak_log import soak_log
from lidoff.bench.sweep_log import swept_points
from lidoff.bench.voltage_stays import FIXED_V
from lidoff.record.model import Record
from lidoff.record.model.electrical import Charging, EfficiencySweep


def read_log(path: Path, at: str, row: LogRow, record: Record, gap_ratio: float, peak_window: int) -> LogResult:
    """What the file of one row says; a file that can't be read is a fault, never an exception."""
    try:
        text, encoding = read_text(path)
        if isinstance(row, EfficiencySweep):
            return _sweep(text, encoding, at, row)
        wanted = run_columns(row.columns or {})
        samples, report = _samples(text, encoding, wanted, gap_ratio)
        if isinstance(row, Charging):
            flow = flow_of(samples, wanted)
            fixed_v = (*FIXED_V, *labelled_voltages(record, row.port))
            return LogResult(row.log, _with(report, flow), charge=charge_log(flow, peak_window, fixed_v))
        flow = flow_of(samples, wanted) if {"power", "voltage"} & samples.values.keys() else None
        return LogResult(row.log, _with(report, flow), soak=soak_log(samples, flow, peak_window))
    except Unreadable as unreadable:
        return LogResult(row.log, fault=unreadable.fault)


def read_samples(path: Path, row: LogRow) -> Samples:
    """The readings of a charge or a long run themselves, whatever counts as a gap; raises Unreadable."""
    text, encoding = read_text(path)
    return _samples(text, encoding, run_columns(row.columns or {}), GAP_RATIO)[0]


def labelled_voltages(record: Record, port_id: str | None) -> tuple[float, ...]:
    """The fixed voltages that the label gives a port, or all ports where the row names none."""
    return tuple(
        offer.voltage_v
        for port in record.ports
        if port_id in (None, port.id)
        for offer in port.label
        if offer.kind == "fixed" and offer.voltage_v is not None
    )


def _samples(text: str, encoding: str, wanted: tuple[Wanted, ...], gap_ratio: float) -> tuple[Samples, LogReport]:
    table = read_table(text, wanted)
    axis = time_axis(table, wanted)
    samples = make_samples(table, axis, gap_ratio)
    return samples, _report(table, encoding, axis, samples)


def _sweep(text: str, encoding: str, at: str, row: EfficiencySweep) -> LogResult:
    table = read_table(text, sweep_columns(row.columns))
    points, oddities = swept_points(row, at, table)
    report = _report(table, encoding)
    return LogResult(row.log, replace(report, oddities=(*report.oddities, *oddities)), points=points)


def _report(table: Table, encoding: str, axis: TimeAxis | None = None, samples: Samples | None = None) -> LogReport:
    oddities = (*table.oddities, *(axis.oddities if axis else ()), *(samples.oddities if samples else ()))
    return LogReport(
        rows=len(table.lines),
        encoding=encoding,
        separator=SEPARATORS[table.header.separator],
        decimal=DECIMALS[table.decimal],
        header_line=table.header.line,
        time_form=axis.form if axis else "",
        interval_s=samples.interval_s if samples else None,
        oddities=oddities,
    )


def _with(report: LogReport, flow: Flow | None) -> LogReport:
    """The report with what the power was found odd for."""
    if flow is None:
        return report
    known = set(report.oddities)
    return replace(report, oddities=(*report.oddities, *(odd for odd in flow.samples.oddities if odd not in known)))
