"""A table of parts: headings, designators, values with their units, and what is not understood, at its place."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.bench.parts_table.designators import NoDesignators, designators
from lidoff.bench.parts_table.headings import NAMES, column_kind
from lidoff.bench.parts_table.rating_text import read_ratings
from lidoff.bench.parts_table.rating_words import SAID, UNIT_OF
from lidoff.bench.parts_table.read_parts import read_parts
from lidoff.bench.parts_table.words import role
from lidoff.bench.spreadsheet.grid import read_sheet
from lidoff.record.schema import shape_at

ROLES = shape_at("components[0].roles[0]").schema["enum"]


def read(*rows: str):
    return read_parts(read_sheet("\n".join(rows).encode()), "parts.tsv")


@pytest.mark.parametrize(
    ("role_name", "text", "expected"),
    [
        ("bulk-capacitor", "82uF 400V", {"capacitance_uf": "82", "voltage_v": "400"}),
        ("bulk-capacitor", "82 µF/400 V/105°C 2000h", {
            "capacitance_uf": "82", "voltage_v": "400", "temperature_c": "105", "life_h": "2000"}),
        ("output-capacitor", "680µ 25V 20mOhm", {"capacitance_uf": "680", "voltage_v": "25", "esr_mohm": "20"}),
        ("primary-switch", "150 mOhm", {"rds_on_mohm": "150"}),
        ("primary-switch", "650V 11A", {"voltage_v": "650", "current_a": "11"}),
        ("primary-switch", "Vds 650V, transient 800V, Rds(on) 0.15 Ω, Qg 2nC", {
            "voltage_v": "650", "voltage_transient_v": "800", "rds_on_mohm": "150", "gate_charge_nc": "2"}),
        ("x-capacitor", "0,47uF X2 310VAC", {
            "capacitance_uf": "0.47", "safety_class": "x2", "voltage_ac_v": "310"}),
        ("y-capacitor", "1nF X1/Y1 400V~", {
            "capacitance_nf": "1", "safety_class": "x1-y1", "voltage_ac_v": "400"}),
        ("fuse", "T3.15AL 250VAC", {
            "fuse_speed": "T", "breaking_capacity": "L", "current_a": "3.15", "voltage_ac_v": "250"}),
        ("fuse", "T2A H 250VAC", {
            "fuse_speed": "T", "breaking_capacity": "H", "current_a": "2", "voltage_ac_v": "250"}),
        ("fuse", "F500mA", {"fuse_speed": "F", "current_a": "0.5"}),
        ("resistor", "4k7 1% 1/4W", {"resistance_ohm": "4700", "tolerance_pct": "1", "power_w": "0.25"}),
        ("current-sense-resistor", "R22 ±1%", {"resistance_ohm": "0.22", "tolerance_pct": "1"}),
        ("resistor", "2M2", {"resistance_ohm": "2200000"}),
        ("capacitor", "4n7 50V X7R", {"capacitance_nf": "4.7", "voltage_v": "50", "dielectric": "X7R"}),
        ("dc-dc-inductor", "10uH 5A", {"inductance_uh": "10", "current_a": "5"}),
        ("inductor", "4u7", {"inductance_uh": "4.7"}),
        ("common-mode-choke", "9mH", {"inductance_uh": "9000"}),
        ("inrush-thermistor", "5 Ohm 3A", {"cold_resistance_ohm": "5", "current_a": "3"}),
        ("varistor", "275VAC clamping 710V surge 2500A 40J", {
            "voltage_ac_v": "275", "clamping_v": "710", "surge_current_a": "2500", "surge_energy_j": "40"}),
        ("optocoupler", "iso 5kV CTR 80%", {"isolation_v": "5000", "transfer_ratio_pct": "80"}),
        ("output-capacitor", "aluminium-polymer 560uF", {"chemistry": "aluminium-polymer", "capacitance_uf": "560"}),
    ],
)  # fmt: skip
def test_values_with_units(role_name: str, text: str, expected: dict[str, str]) -> None:
    ratings, wrong = read_ratings(text, [role_name])
    assert wrong == ()
    assert {
        key: value if isinstance(value, str) else format(value.normalize(), "f") for key, value in ratings.items()
    } == expected


@pytest.mark.parametrize(
    ("role_name", "text", "at", "said"),
    [
        ("fuse", "T2A 250V", 4, "VAC or VDC"),  # alternating or direct is not said
        ("bulk-capacitor", "82uF 1.2A", 5, "ripple"),  # a capacitor has more than one current
        ("primary-switch", "20nC", 0, "Qg"),
        ("optocoupler", "5kV", 0, "iso"),
        ("sync-rectifier-controller", "150mOhm", 0, "Rds"),
        ("other", "10u", 0, "unit out"),
        ("output-capacitor", "1,500uF", 0, "1500 or 1.500"),  # thousands or decimals
        ("output-capacitor", "680", 0, "units"),
        ("output-capacitor", "680uF 470uF", 6, "once"),
        ("output-capacitor", "680uF low ESR", 6, "units"),
        ("primary-switch", "Qg 650V", 3, "nC"),
        ("primary-switch", "650V Rds", 0, "number"),
        ("capacitor", "NP0", 0, "C0G"),
        ("other", "5 bananas", 0, "units"),
    ],
)
def test_nothing_is_guessed(role_name: str, text: str, at: int, said: str) -> None:
    _, wrong = read_ratings(text, [role_name])
    assert wrong[0].at == at
    assert any(said in one.fix for one in wrong), wrong


def test_every_word_before_a_number_names_a_rating_with_a_unit() -> None:
    assert set(SAID.values()) <= set(UNIT_OF)


@given(st.text(max_size=60), st.sampled_from(ROLES))
def test_any_text_is_taken_or_told(text: str, role_name: str) -> None:
    ratings, wrong = read_ratings(text, [role_name])
    meant = any(sign.isalnum() for sign in text)
    assert not meant or ratings or wrong
    assert all(0 <= one.at <= len(text) for one in wrong)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("C3-C5", ("C3", "C4", "C5")), ("c3..5", ("C3", "C4", "C5")), ("R1,R2", ("R1", "R2")), ("R1 R2", ("R1", "R2")),
        ("C3 – C4; C9", ("C3", "C4", "C9")), ("Q1A", ("Q1A",)), ("BD1", ("BD1",)),
    ],
)  # fmt: skip
def test_designators(text: str, expected: tuple[str, ...]) -> None:
    assert designators(text) == expected


@pytest.mark.parametrize(
    ("text", "at"),
    [("C5-C3", 0), ("C3-R5", 0), ("C1-C999", 0), ("R1, R1", 0), ("R1, big one", 4), ("Q", 0), ("R1x2", 0)],
)
def test_what_names_no_designators(text: str, at: int) -> None:
    with pytest.raises(NoDesignators) as error:
        designators(text)
    assert error.value.at == at


def test_headings_in_any_writing_and_each_name_once() -> None:
    headings = ("Ref.", "QTY", "P/N", "Manufacturer", "TopMark", "Notes:")
    kinds = ["ref", "quantity", "part_number", "maker", "marking", "note"]
    assert [column_kind(one) for one in headings] == kinds
    assert column_kind("Manufacturer part-number") == "part_number"
    names = [name.replace(" ", "").replace("/", "") for several in NAMES.values() for name in several]
    assert len(names) == len(set(names))


def test_short_names_of_the_trade_and_ambiguous_ones() -> None:
    assert (role("X cap"), role("Opto"), role("Bulk Capacitor"), role("bridge")) == (
        "x-capacitor", "optocoupler", "bulk-capacitor", "bridge-rectifier",
    )  # fmt: skip
    assert role("controller") is None  # several roles end in it
    assert role("NTC") is None  # inrush limiter or thermometer


def test_rows_become_parts() -> None:
    reading = read(
        "Notes\tRef\tRole\tMarking\tPackage\tRating",
        "\tC3-C4\toutput cap\t\tradial 8×12\t680uF 25V",
        "hot spot\tQ1\tPrimary switch, clamp-switch\tQS65 / ?150\tdfn 8x8\t650V 150mOhm",
        "\tU1\tprotocol controller\terased\tQFN32 5x5\t",
    )
    assert reading.remarks == ()
    assert [part.data for part in reading.parts] == [
        *({"ref": ref, "roles": ["output-capacitor"], "package": "radial 8x12",
           "ratings": {"capacitance_uf": 680, "voltage_v": 25}} for ref in ("C3", "C4")),
        {"ref": "Q1", "roles": ["primary-switch", "clamp-switch"],
         "marking": {"lines": ["QS65", "?150"], "state": "partial"}, "package": "DFN 8x8",
         "ratings": {"voltage_v": 650, "rds_on_mohm": 150}, "note": "hot spot"},
        {"ref": "U1", "roles": ["protocol-controller"], "marking": {"state": "erased"}, "package": "QFN-32 5x5"},
    ]  # fmt: skip


def test_every_remark_at_once_with_line_and_column() -> None:
    reading = read(
        "Ref\tQty\tRole\tPackage\tValue\tColour",
        "F1\t1\tfuze\tradial\tT2A 250V\tred",
        "R1,R2\t3\tresistor\t0603\t4k7\t",
        "\t\tresistor\t0603\t12\t",
        "U1\t\tcontroller\tSO 8 pin\t\t",
        "U1\tmany\toptocoupler\t\t\t",
        "D1\t\tdiode\t\t\t\t\tbeyond",
    )
    told = [(one.line, one.column, one.about) for one in reading.remarks]
    assert told == [
        (1, 28, ""), (2, 6, "roles"), (3, 7, "quantity"), (4, 1, "ref"), (4, 17, "ratings"), (5, 5, "roles"),
        (5, 16, "package"), (6, 4, "quantity"), (7, 5, "roles"), (7, 15, ""),
    ]  # fmt: skip
    assert reading.remarks[1].fix == "did you mean fuse?"
    assert reading.parts == ()


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        (("Part\tRole", "x\tfuse"), "no column Ref"),
        (("Ref", "Q1"), "no column Role"),
        (("Ref\tRole",), "headings and no row"),
        (("Ref\tRole\tRef", "Q1\tfuse\tQ2"), '"Ref", a second column for ref'),
        (("Ref\tRole\tNotes", 'F1\tfuse\t"open'), '"open, a quote that never closes'),
        (("Ref\tRole", "F1\tfuse", "F1\tfuse"), "F1, which is in line 2 already"),
    ],
)
def test_a_table_that_is_none(rows: tuple[str, ...], found: str) -> None:
    assert found in [one.found for one in read(*rows).remarks]


TEXTS = (
    st.text(st.sampled_from("abcXYZ 019.µ"), min_size=1, max_size=12)
    .map(str.strip)
    .filter(lambda text: text.strip("-?"))
)
NUMBERS = st.decimals(Decimal("0.01"), 999, places=2).map(lambda value: float(value))
PARTS = st.fixed_dictionaries(
    {"ref": st.from_regex(r"[A-Z]{1,2}[1-9][0-9]?", fullmatch=True), "roles": st.just(["output-capacitor"])},
    optional={
        "quantity": st.integers(2, 9),
        "maker": TEXTS.filter(lambda text: text not in ("na",)),
        "package": st.sampled_from(["radial 8x12", "SO-8", "DFN 5x6"]),
        "ratings": st.fixed_dictionaries(
            {"capacitance_uf": NUMBERS}, optional={"voltage_v": NUMBERS, "life_h": NUMBERS}
        ),
    },
)
UNITS = {"capacitance_uf": "uF", "voltage_v": "V", "life_h": "h"}


@settings(max_examples=60)
@given(
    st.lists(PARTS, min_size=1, max_size=5, unique_by=lambda part: part["ref"]),
    st.permutations(range(6)),
    st.sampled_from("\t;"),
)
def test_parts_survive_the_way_through_a_table(parts: list[dict], order: list[int], separator: str) -> None:
    columns = [
        ("Ref", "ref"),
        ("Role", "roles"),
        ("Qty", "quantity"),
        ("Maker", "maker"),
        ("Case", "package"),
        ("Value", "ratings"),
    ]

    def cell(part: dict, key: str) -> str:
        if key == "ratings":
            return " ".join(f"{value}{UNITS[rating]}" for rating, value in part.get("ratings", {}).items())
        return part["roles"][0] if key == "roles" else str(part.get(key, ""))

    lines = [separator.join(columns[at][0] for at in order)]
    lines += [separator.join(cell(part, columns[at][1]) for at in order) for part in parts]
    reading = read(*lines)
    assert reading.remarks == ()
    clean = [{**part, "maker": " ".join(part["maker"].split())} if "maker" in part else part for part in parts]
    assert [part.data for part in reading.parts] == clean
