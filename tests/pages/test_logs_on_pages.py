"""Charges, long runs and sweeps on a product's page: charts, words, and files of numbers alone."""

import csv
import dataclasses
import io
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from lidoff.bench.curves import COLUMNS
from lidoff.entry import Entry
from lidoff.figures.assumptions import read_assumptions
from lidoff.figures.derive import derive
from lidoff.figures.logs_beside import logs_beside
from lidoff.pages.context import make_context
from lidoff.pages.drawings.axis import round_values, scale_over
from lidoff.pages.sections import products
from lidoff.pages.views.charges import run_views
from lidoff.pages.website import render_product
from lidoff.publish.policy import breaches
from lidoff.record.load import load_text
from lidoff.settings import Settings

NO_BREAK = "\u00a0"
SLUG = "fernhollow/fh-65"
METERS = """
  - {id: usb1, quantity: voltage, pct_reading: 0.05, digits: 2, digit_size: 0.001}
  - {id: usb1, quantity: current, pct_reading: 0.1, digits: 3, digit_size: 0.001}
  - {id: pm2, quantity: power, pct_reading: 0.1, digits: 2, digit_size: 0.01}
"""
CHARGING = """
  - {device: a laptop, port: C1, log: logs/laptop.csv, columns: {time_s: t, voltage_v: v, current_a: i}, start_pct: 5, end_pct: 100, instrument: usb1}
"""
SWEEP = """
  - {port: C1, mains_v: 115, mains_hz: 60, set_v: 20, load_base_a: 3.25, measured_at: connector, warm_up_min: 30, log: logs/sweep.csv,
     columns: {load_pct: load, output_v: U, output_a: I, input_w: P}, input_instrument: pm2, output_instrument: pm2}
"""
POINTS = "load;U;I;P\n10;20.1;0.325;7.6\n25;20.05;0.8125;18.0\n50;20.03;1.625;35.3\n75;20.01;2.4375;52.8\n100;19.98;3.25;70.4\n"


def record(measured: Mapping[str, str]) -> str:
    rows = "".join(f"  {name}:{text.replace(chr(10), chr(10) + '  ').rstrip()}\n" for name, text in measured.items())
    return f"""
schema: 1
demo: true
status: published
product: {{brand: Fernhollow, model: FH-65, kind: wall-charger, rated_power_w: 65}}
samples: [{{id: s1, source: retail}}]
teardown: {{date: 2026-03-09, text_license: CC-BY-4.0}}
coverage: {{boards: main, parts: main}}
ports:
  - id: C1
    connector: usb-c
    protocols: [usb-pd-3.1]
    label:
      - {{kind: fixed, voltage_v: 5, current_a: 3}}
      - {{kind: fixed, voltage_v: 20, current_a: 3.25}}
measured:
{rows}instruments:{METERS}"""


@dataclasses.dataclass(frozen=True)
class Shown:
    """A product's page: its entry, its HTML, its words, its files beside it."""

    entry: Entry
    html: str
    text: str
    files: Mapping[str, bytes]


@pytest.fixture
def show(tmp_path: Path, parse: Callable[[str], Any]) -> Callable[..., Shown]:
    """The page of a product with such measured rows and such files."""

    def show(measured: Mapping[str, str], logs: Mapping[str, str]) -> Shown:
        folder = tmp_path / "entries" / SLUG
        for name, text in logs.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_text(text, encoding="utf-8")
        loaded = load_text(record(measured), f"entries/{SLUG}/record.yaml")
        assert loaded.record is not None, loaded.findings
        found = logs_beside(folder, loaded.record, read_assumptions())
        entry = Entry(loaded.path, SLUG, loaded.record, derive(loaded.record, read_assumptions(), found), (), found)
        context = make_context(
            [entry], Settings(tmp_path / "mkdocs.yml", site_name="Test", site_url="https://example.org/")
        )
        html = render_product(entry, context).body
        words = " ".join(" ".join(parse(html).itertext()).replace(NO_BREAK, " ").split())
        files = {file.path.removeprefix(f"products/{SLUG}/"): file.content for file in products.files(context)}
        return Shown(entry, html, words, files)

    return show


def laptop(gap: bool = False, spike: float = 0.0) -> str:
    """60 W at 20 V for half an hour, then less; 5 V at first. A reading every 2 s."""
    rows = []
    for step in range(1500):
        volts = 5.0 if step < 10 else 20.0
        watts = 2.0 if step < 10 else 60.0 if step < 900 else 60.0 * (1 - (step - 900) / 700)
        if not (gap and 400 <= step < 430):
            rows.append(f"{2 * step},{volts},{(watts + (spike if step == 700 else 0)) / volts:.4f}")
    return "\n".join(["t,v,i", *rows]) + "\n"


def paths(html: str, strip: int) -> list[tuple[float, float]]:
    """The points of one strip of the chart of a log."""
    (group,) = re.findall(rf'<g class="lf-line lf-line--{strip}">(.*?)</g>', html.split("lf-plot")[-1], re.DOTALL)
    numbers = [float(number) for path in re.findall(r' d="M([^"]*)"', group) for number in path.split()]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def test_a_charge_is_drawn_and_told(show):
    shown = show({"charging": CHARGING}, {"logs/laptop.csv": laptop()})
    assert "A laptop at port C1, from 5 to 100 %" in shown.text
    assert "Largest power 60.0 ± 0.2 W median of 5 readings" in shown.text
    # ten readings: the first stands for one second, each other for two
    assert "Near 5 V 19 s 0.6 % 5.00 V Near 20 V 50 min 99.4 % 20.00 V" in shown.text
    assert (
        "logs/laptop.csv was read as ASCII text, commas between the columns, headings in line 1, time as elapsed time in s: 1500 rows, one every 2 s."
        in shown.text
    )
    assert [strip for strip in ("Voltage in V", "Current in A", "Power in W") if strip in shown.text] == [
        "Voltage in V",
        "Current in A",
        "Power in W",
    ]
    energy = shown.entry.figures.value("charge_energy_wh")
    assert f"Energy {energy:.1f} ± " in shown.text and "at the meter" in shown.text


def test_peaks_of_the_log_are_in_the_drawing(show):
    """A single reading among 1500 reaches the top that the scale gives it."""
    shown = show({"charging": CHARGING}, {"logs/laptop.csv": laptop(spike=25.0)})
    power = shown.entry.logs["measured.charging[0]"].charge.curves[2]
    assert power.high == pytest.approx(85, abs=0.01) and power.low == pytest.approx(2, abs=0.01)
    drawn = [y for _, y in paths(shown.html, 3)]
    strip = run_views(shown.entry)[0].chart.strips[2]
    scale = scale_over((power.low, power.high), strip.bottom, strip.top, 4, from_zero=True)
    assert min(drawn) == scale.at(power.high) and max(drawn) == scale.at(power.low)
    assert len(drawn) <= 2 * COLUMNS + 2


def test_a_gap_is_shaded_and_told(show):
    shown = show({"charging": CHARGING}, {"logs/laptop.csv": laptop(gap=True)})
    assert shown.html.count('class="lf-gap"') == 3
    assert "without 1 min 2 s that were not logged" in shown.text
    assert "Line 402: a gap of 62 s, longer than 5 usual intervals; nothing is counted for it." in shown.text
    assert "Where the line is broken and the ground shaded, nothing was logged." in shown.text
    assert shown.html.split("lf-line--3")[1].split("</g>")[0].count("<path") == 2


def test_the_policy_and_the_ids_hold(show):
    shown = show(
        {"charging": CHARGING + CHARGING.replace("laptop.csv", "second.csv"), "efficiency_sweeps": SWEEP},
        {"logs/laptop.csv": laptop(), "logs/second.csv": laptop(gap=True), "logs/sweep.csv": POINTS},
    )
    assert breaches(shown.html) == () and "style=" not in shown.html
    ids = re.findall(r' id="([^"]+)"', shown.html)
    assert len(ids) == len(set(ids))
    assert len(shown.html) < 100_000


def test_the_published_file_holds_numbers_alone(show):
    """Headings and remarks of the instrument's file may be formulas to a spreadsheet; none is copied."""
    columns = CHARGING.replace("voltage_v: v", 'voltage_v: "=HYPERLINK(A1)"')
    log = "@SUM(A1)\n" + laptop().replace("t,v,i", "t,=HYPERLINK(A1),i,note").replace(",20.0,", ",20.0,", 1)
    log = "\n".join(line + (",=cmd|' /C calc'!A0" if line[:1].isdigit() else "") for line in log.splitlines())
    shown = show({"charging": columns}, {"logs/laptop.csv": log})
    lines = list(csv.reader(io.StringIO(shown.files["logs/laptop.csv"].decode("ascii"))))
    assert lines[0] == ["time_s", "voltage_v", "current_a", "power_w"] and len(lines) == 1501
    assert all(re.fullmatch(r"-?[\d.]+(e-?\d+)?", cell) for line in lines[1:] for cell in line)
    assert float(lines[-1][0]) == 2998 and float(lines[100][3]) == pytest.approx(60)
    assert 'href="logs/laptop.csv" download' in shown.html


def test_text_of_a_file_is_text_on_the_page(show):
    columns = CHARGING.replace("voltage_v: v", 'voltage_v: "<img src=x onerror=alert(1)>"')
    log = (
        laptop()
        .replace("t,v,i", "t,<img src=x onerror=alert(1)>,i")
        .replace("\n2,5.0,", "\n2,<script>alert(1)</script>,")
    )
    shown = show({"charging": columns}, {"logs/laptop.csv": log})
    assert 'under "<img src=x onerror=alert(1)>", left out' in shown.text
    assert (
        "<img src=x" not in shown.html
        and "<script" not in shown.html.replace('<script type="application/ld+json">', "")
        and breaches(shown.html) == ()
    )


def test_two_rows_of_one_file_have_a_file_each(show):
    shown = show({"charging": CHARGING + CHARGING}, {"logs/laptop.csv": laptop()})
    assert set(shown.files) == {"logs/laptop.csv", "logs/laptop_2.csv"}
    assert 'href="logs/laptop_2.csv"' in shown.html


def test_a_log_that_can_not_be_read_is_said_and_not_published(show):
    shown = show({"charging": CHARGING}, {"logs/laptop.csv": "nothing\n"})
    assert "logs/laptop.csv could not be read: no line of headings in line 1." in shown.text
    assert shown.files == {} and "<svg" not in shown.html.split('id="runs"')[1]


def test_an_adjusted_voltage_is_told(show):
    rows = [f"{5 * k},{8.2 + 0.02 * (k // 10):.3f},2.5" for k in range(800)]
    shown = show({"charging": CHARGING}, {"logs/laptop.csv": "\n".join(["t,v,i", *rows])})
    assert (
        "The device adjusts its voltage between 8.20 and 9.78 V, as with a programmable or an adjustable supply: 80 steady levels, mostly 20 mV apart."
        in shown.text
    )


def test_a_long_run_is_drawn_and_told(show):
    soak = "\n  - {ports: {C1: 65}, mains_v: 230, mains_hz: 50, log: logs/soak.csv, columns: {time_min: t, power_w: p, surface_c: hot, ambient_c: air}}\n"
    rows = [f"{k},{65 if k < 60 else 45},{25 + 46 * min(k, 60) / 60:.1f},25" for k in range(91)]
    shown = show({"soak": soak}, {"logs/soak.csv": "\n".join(["t,p,hot,air", *rows])})
    assert "A long run: C1 65 W" in shown.text
    assert "Output at the end 45.0 W" in shown.text and "Output reduced after 1 h" in shown.text
    assert "Hottest surface at the end 71.0 °C" in shown.text and "Above the air 46.0 K" in shown.text


def test_a_sweep_is_drawn_with_its_minimum(show):
    shown = show({"efficiency_sweeps": SWEEP}, {"logs/sweep.csv": POINTS})
    assert "Efficiency of port C1 at 115 V 60 Hz mains" in shown.text and "20 V, 100 % is 3.25 A" in shown.text
    average = shown.entry.figures.value("average_efficiency_pct")
    assert (
        f"published minima for the average of four loads: 88.00 % at 20 V, where {average:.2f} % was measured."
        in shown.text
    )
    assert shown.html.count("lf-minimum") == 1
    assert "Sweep at port C1: 5 points, one by one" in shown.text
    lines = list(csv.reader(io.StringIO(shown.files["logs/sweep.csv"].decode("ascii"))))
    assert lines[0] == [
        "mains_v",
        "mains_hz",
        "set_v",
        "load_pct",
        "load_base_a",
        "output_v",
        "output_a",
        "input_w",
        "warm_up_min",
    ]
    assert [float(cell) for cell in lines[1]] == [115, 60, 20, 10, 3.25, 20.1, 0.325, 7.6, 30]


def test_the_point_at_a_tenth_of_the_load_stands_beside_the_average(show):
    shown = show({"efficiency_sweeps": SWEEP}, {"logs/sweep.csv": POINTS})
    (average,) = shown.entry.figures.present("average_efficiency_pct")
    # by hand: 20.1 V and 0.325 A out of 7.6 W
    assert re.search(rf"C1, 20 V out, 115 V 60 Hz mains {average.value:.2f} ± \d\.\d+ % 86\.0 ± \d\.\d %", shown.text)
    assert "nothing is judged by it here" in shown.text


def test_what_is_not_judged_has_no_minimum(show):
    shown = show(
        {"efficiency_sweeps": SWEEP.replace("measured_at: connector", "measured_at: cable-end")},
        {"logs/sweep.csv": POINTS},
    )
    assert (
        "lf-minimum" not in shown.html
        and "Not judged: the output was not measured at the product's own connector." in shown.text
    )


def test_points_carry_their_uncertainty(show):
    shown = show({"efficiency_sweeps": SWEEP}, {"logs/sweep.csv": POINTS})
    # by hand, full load: 2 (0.1 % of 70.4 W + 20 mW) / root 3 = 0.104 W
    assert "70.40 ± 0.10 W" in shown.text
    assert re.search(r"92\.2 ± 0\.2 %", shown.text)
    assert "± is the expanded uncertainty (k = 2) from the stated accuracy of the instruments alone" in shown.text


def test_ripple_says_whether_it_can_be_compared(show):
    ripple = """
  - {port: C1, output_v: 20, load_a: 3.25, pk_pk_mv: 80, bandwidth_mhz: 20, ceramic_nf: 100, electrolytic_uf: 10}
  - {port: C1, output_v: 9, load_a: 3, pk_pk_mv: 40}
"""
    shown = show({"ripple": ripple}, {})
    assert "10 µF yes" in shown.text and "not comparable: bandwidth and decoupling not recorded" in shown.text


@pytest.mark.parametrize(
    ("low", "high", "most", "values"),
    [
        (0, 20, 4, ["0", "5", "10", "15", "20"]),
        (70, 95, 6, ["70", "75", "80", "85", "90", "95"]),
        (0, 0.6, 4, ["0.0", "0.2", "0.4", "0.6"]),
    ],
)
def test_axes_have_round_marks(low, high, most, values):
    assert [text for _, text in round_values(low, high, most)] == values


def test_a_scale_holds_all_values():
    scale = scale_over((3.1, 61.8), 100, 20, 4, from_zero=True)
    assert (scale.low, scale.high) == (0, 80) and scale.at(0) == 100 and scale.at(80) == 20
