"""The closed solution of the bus valley against ngspice with near-ideal rectifiers."""

import os
import re
import shutil
import subprocess

import pytest

from lidoff.engineering.bulk_capacitor import bus_valley

CASES = [  # W, F, V, Hz
    (65, 82e-6, 90, 47),
    (65, 120e-6, 90, 47),
    (30, 47e-6, 115, 60),
    (30, 47e-6, 90, 47),
    (7.07, 13.6e-6, 90, 60),
    (18.75, 33e-6, 85, 60),
    (20, 30e-6, 100, 50),
    (45, 68e-6, 100, 50),
    (72, 100e-6, 115, 60),
    (110, 150e-6, 120, 60),
    (35, 27e-6, 230, 50),
    (68, 82e-6, 264, 63),
]

NETLIST = """bridge and bulk capacitor with constant power
V1 line neutral SIN(0 {peak} {frequency})
Rref neutral 0 1meg
D1 line bus near_ideal
D2 neutral bus near_ideal
D3 0 line near_ideal
D4 0 neutral near_ideal
C1 bus 0 {capacitance} IC={peak}
B1 bus 0 I={power}/max(V(bus),20)
.model near_ideal D(IS=1e-12 N=0.01 RS=1m)
.options reltol=1e-5
.tran {step} {end} 0 {step} uic
.meas tran valley MIN V(bus) FROM={start} TO={end}
.meas tran crest MAX V(bus) FROM={start} TO={end}
.end
"""


@pytest.fixture(scope="module")
def ngspice() -> str:
    program = shutil.which("ngspice")
    if program is None and os.environ.get("CI") == "true":
        pytest.fail("ngspice is not installed, and CI=true asks for it")
    if program is None:
        pytest.skip("ngspice is not installed")
    return program


@pytest.mark.ngspice
@pytest.mark.parametrize(("power", "capacitance", "voltage", "frequency"), CASES)
def test_ngspice_agrees_within_a_fifth_of_a_percent(ngspice, tmp_path, power, capacitance, voltage, frequency):
    expected = bus_valley(power, capacitance, voltage, frequency)
    period = 1 / frequency
    netlist = tmp_path / "bus.cir"
    netlist.write_text(
        NETLIST.format(
            peak=voltage * 2**0.5,
            frequency=frequency,
            capacitance=capacitance,
            power=power,
            step=period / 2000,
            start=2 * period,
            end=3 * period,
        )
    )
    command = [ngspice, "-b", str(netlist)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True, cwd=tmp_path)
    measured = dict(re.findall(r"^(valley|crest)\s*=\s*(\S+)", done.stdout, flags=re.MULTILINE))
    assert float(measured["valley"]) == pytest.approx(expected.valley_voltage, rel=0.002)
    assert float(measured["crest"]) == pytest.approx(expected.peak_voltage, rel=0.002)
