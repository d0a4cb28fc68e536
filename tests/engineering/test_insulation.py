"""Typical spacings: the rows with their own basis, interpolation, rounding up, and the ends of each range."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.insulation import altitude_factor, basic_creepage, reinforced_creepage, typical_spacings

# insulation, peak and r.m.s. voltage, clearance and creepage in mm, basis; CB-1 and CB-2: CB test reports 50250100 001
# and 50261218 001 (IEC 60950-1), CB-3: CQASZ20210400194S (IEC 62368-1), CUI: a maker's note on spacings
ROWS = [
    ("reinforced", 420, 250, 4.0, 5.0, "seen"),  # CB-1, CB-2
    ("reinforced", 420, 250, 3.4, None, "seen"),  # CUI
    ("reinforced", 428, 250, 4.2, 5.0, "seen"),  # CB report, tables 2.10.3/2.10.4
    ("reinforced", 530, 281, 4.4, 5.8, "seen"),  # CB report, tables 2.10.3/2.10.4
    ("reinforced", None, 320, None, 6.4, "from-memory"),
    ("reinforced", None, 400, None, 8.0, "from-memory"),
    ("reinforced", None, 240, 3.0, 5.0, "seen"),  # CB-3
    ("functional", None, 250, 1.5, 2.5, "seen"),  # CB-1, CB-2
    ("functional", None, 250, None, 3.0, "seen"),  # CB-3
    ("basic", None, 250, 2.0, None, "seen"),  # CUI
]


def test_the_table_holds_these_rows():
    def millimetres(distance):
        return None if distance is None else round(distance * 1000, 6)

    found = [
        (
            row.insulation,
            row.voltage_peak,
            row.voltage_rms,
            millimetres(row.clearance),
            millimetres(row.creepage),
            row.basis,
        )
        for row in typical_spacings()
    ]
    assert found == ROWS


@pytest.mark.parametrize("row", typical_spacings(), ids=lambda row: row.condition)
def test_every_row_has_a_distance_a_document_and_a_source(row):
    assert row.clearance or row.creepage
    assert row.document.startswith("IEC 6")
    assert (row.source == "from memory") == (row.basis == "from-memory")


def test_conditions_are_told_apart():
    names = [row.condition for row in typical_spacings()]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("voltage", "millimetres"),
    [
        (200.0, 2.0),
        (210.0, 2.1),
        (250.0, 2.5),
        (250.1, 2.6),
        (259.9, 2.6),
        (260.0, 2.6),
        (281.0, 2.9),
        (320.0, 3.2),
        (321.0, 3.3),
        (400.0, 4.0),
    ],
)
def test_creepage_is_interpolated_and_rounded_up(voltage, millimetres):
    assert basic_creepage(voltage) == pytest.approx(millimetres / 1000, abs=1e-12)


@given(st.floats(200.0, 400.0))
def test_creepage_is_never_below_the_straight_line_and_less_than_a_step_above(voltage):
    distance = basic_creepage(voltage)
    assert voltage * 1e-5 - 1e-12 <= distance < voltage * 1e-5 + 0.1e-3 + 1e-12
    assert reinforced_creepage(voltage) == 2 * distance


@pytest.mark.parametrize("voltage", [199.9, 400.1, float("nan")])
def test_a_voltage_outside_the_table_is_refused(voltage):
    with pytest.raises(ValueError, match="working_voltage: found .*, expected 200 V to 400 V"):
        reinforced_creepage(voltage)


@pytest.mark.parametrize(
    ("altitude", "factor"),
    [
        (0.0, 1.0),
        (2000.0, 1.0),
        (2500.0, 1.07),
        (3000.0, 1.14),
        (3500.0, 1.215),
        (4000.0, 1.29),
        (4500.0, 1.385),
        (5000.0, 1.48),
    ],
)
def test_altitude(altitude, factor):
    """IEC 60664-1, table A.2, from memory; halves by hand."""
    assert altitude_factor(altitude) == pytest.approx(factor)


@pytest.mark.parametrize(("altitude", "text"), [(-1.0, "found -1.0"), (5000.1, "expected up to 5000 m")])
def test_an_altitude_outside_the_table_is_refused(altitude, text):
    with pytest.raises(ValueError, match=text):
        altitude_factor(altitude)
