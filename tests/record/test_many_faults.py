"""A record with many mistakes gives one finding for each, at its place, whatever the others are.

The expected places are found by searching the edited text, not by Lidoff's own reader.
"""

import pytest

from lidoff.record.load import load_text

# text of the sample, text in its place, where the finding must point (a part of the new text), rule
TEN = (
    ("status: published", "status: publish", "publish", "record-word"),
    ("launched: 2025", "launched: 1825", "1825", "record-range"),
    ("rated_power_w: 65", "rated_power_w: 65 W", "65 W", "record-number"),
    ('date_code: "2541"\n    condition: new', "date_code: 0755\n    condition: new", "0755", "record-text"),
    ("  date: 2026-03-09", "  date: 2026-02-30", "2026-02-30", "record-date"),
    ("  manufacturer: Pell", "  manufacturor: Pell", "manufacturor", "record-unknown-key"),
    ("    connector: usb-a", "    conector: usb-a", "conector", "record-unknown-key"),
    ("  mass_g: 112\n", "  mass_g:\n", "mass_g", "record-empty"),
    (
        "voltage_max_v: 21, current_a: 3.25}\n    adv",
        'voltage_max_v: "21", current_a: 3.25}\n    adv',
        '"21"',
        "record-number",
    ),
    ("    package: DFN 8x8\n", "    package: DFN 8x8\n    side: top\n", "side", "record-duplicate-key"),
)

THIRTY_MORE = (
    ("demo: true", "demo: yes", "yes", "record-true-false"),
    ("kind: wall-charger", "kind: wall charger", "wall charger", "record-word"),
    ("system: nema-1-15", "system: nema-1-16", "nema-1-16", "record-word"),
    ("length_m: 1.5, current_a: 5", "length_m: 15, current_a: 5", "15", "record-range"),
    ("revision_of: fernhollow/fh-60", "revision_of: Fernhollow FH-60", "Fernhollow FH-60", "record-form"),
    ("bought: 2026-02\n", "bought: 02/2026\n", "02/2026", "record-form"),
    ("currency: EUR", "currency: Euro", "Euro", "record-form"),
    ("by: [Ida Quell]", "by: Ida Quell", "Ida Quell", "record-structure"),
    ("authenticity: unquestioned", "authenticity: fine", "fine", "record-word"),
    ("parts: main", "parts: some", "some", "record-word"),
    ("frequencies_hz: [50, 60]", "frequencies_hz: [50, 60, 50]", "50]", "record-repeated"),
    ("scheme: invented scheme", 'scheme: ""', "scheme", "record-empty"),
    ("id: A1\n", "id: a1\n", "a1", "record-form"),
    ("kind: fixed, voltage_v: 9,", "kind: fixed, volts: 9,", "volts", "record-unknown-key"),
    (
        "{kind: fixed, voltage_v: 15, current_a: 3}",
        "{kind: fixed, voltage_v: 15}",
        "{kind: fixed, voltage_v: 15}",
        "record-missing-key",
    ),
    ("beside: [A1]", "beside: []", "[]", "record-count"),
    ('"0x000640E1"', '"0x640E1"', '"0x640E1"', "record-form"),
    ("size: [58.0, 41.5, 29.0]", "size: [58.0, 41.5]", "[58.0, 41.5]", "record-count"),
    ("averaged_s: 300", "averaged_s: 3e2", "3e2", "record-number"),
    ("columns: {time_s: t,", "columns: {time: ~,", "~", "record-empty"),
    ("mounting: wall-socket", "mounting: wall", "wall", "record-word"),
    ("action: plug A1", "action: plug-A1", "plug-A1", "record-form"),
    ("trip_a: 3.8", "trip_a: .inf", ".inf", "record-number"),
    ("id: cal1, quantity: length", "id: cal1, quantity: !!str length", "!!str", "record-tag"),
    ("wall_mm: 2.2", "wall_mm: 2,2", "2,2", "record-number"),
    ("layers: 2,", "layers: two,", "two", "record-number"),
    ("area_mm2: 91", "area_mm2: &area 91", "&area", "record-anchor"),
    ("state: legible", "state: readable", "readable", "record-word"),
    ("capacitance_pf: 1000,", "capacitance_pf: 1000, capacitance_nf: 1,", "capacitance_pf", "record-conflict"),
    ("illustration: true", "illustration: true\n    tube_kv: 80", "tube_kv", "record-kind"),
)


def edited(text: str, faults: tuple) -> tuple[str, list[tuple[int, int, str]]]:
    """The text with all faults in it, and line, column and rule of each."""
    for old, new, _, _ in faults:
        assert text.count(old) >= 1, old
        text = text.replace(old, new, 1)
    places = []
    for _, new, pointed, rule in faults:
        offset = text.index(new) + new.index(pointed)
        places.append((text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset), rule))
    return text, sorted(places)


@pytest.mark.parametrize("faults", [TEN, TEN + THIRTY_MORE], ids=["ten", "forty"])
def test_each_mistake_is_one_finding_at_its_place(sample_text: str, faults: tuple) -> None:
    text, places = edited(sample_text, faults)
    loaded = load_text(text, "record.yaml")
    assert [(finding.line, finding.column, finding.rule) for finding in loaded.findings] == places
    assert loaded.record is None


@pytest.mark.parametrize("number", range(40))
def test_each_mistake_alone_is_one_finding(sample_text: str, number: int) -> None:
    text, places = edited(sample_text, (TEN + THIRTY_MORE)[number : number + 1])
    findings = load_text(text, "record.yaml").findings
    assert [(finding.line, finding.column, finding.rule) for finding in findings] == places


def test_forty_mistakes_stay_readable(sample_text: str) -> None:
    text, _ = edited(sample_text, TEN + THIRTY_MORE)
    for finding in load_text(text, "record.yaml").findings:
        assert max(map(len, (finding.found, finding.expected, finding.fix))) < 260


def test_the_sample_itself_has_no_findings(sample_text: str) -> None:
    loaded = load_text(sample_text, "record.yaml")
    assert loaded.findings == ()
    assert loaded.status == "published" and loaded.product == ("Fernhollow", "FH-65")
