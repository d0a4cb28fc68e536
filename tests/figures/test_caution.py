"""The caution beside a record: energy and voltage as computed, doubt about every path, and never a time to wait."""

import re

import pytest

from lidoff.figures.caution import ALWAYS, caution
from lidoff.figures.listing import listing

NO_PATH = "No discharge path recorded: treat as charged until proved dead."
DOUBTED = "A bleed resistor is recorded, but it may be broken: treat as charged until proved dead."
GONE = {"components[6].roles": ["resistor"]}
WAITING = re.compile(r"\bwait|\bafter \d|\bminute|\bsecond|\bhour|\d ?(s|min|h)\b", re.IGNORECASE)
LOW_LINE = {"ref": "C9", "roles": ["low-line-bulk-capacitor"], "ratings": {"voltage_v": 250, "capacitance_uf": 470}}


def sentences(charger, changes: dict | None = None) -> tuple[str, ...]:
    return caution(charger.record(**(changes or {})), charger.figures(changes))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({}, "By computation its bulk capacitor can hold 5.72 J, and its voltage reaches 373 V."),
        (
            {"conversion.pfc": "boost"},
            "By computation its bulk capacitor can hold 6.24 J, and its voltage reaches 390 V.",
        ),
        # the capacitor of low mains voltage holds more there than the other one does at high mains voltage
        (
            {"components[7]": LOW_LINE},
            "By computation its bulk capacitor can hold 7.30 J, and its voltage reaches 373 V.",
        ),
        (
            {"components[0].ratings": None},
            "By computation its bulk capacitor reaches 373 V; how much energy it then holds is not recorded.",
        ),
        (
            {"conversion": None},
            "How much energy its capacitors hold, and at what voltage, is not known from this record.",
        ),
    ],
)
def test_energy_and_voltage(charger, changes, sentence):
    assert sentences(charger, changes)[1] == sentence


def test_every_path_is_doubted(charger):
    assert DOUBTED in sentences(charger) and NO_PATH not in sentences(charger)
    assert NO_PATH in sentences(charger, GONE) and DOUBTED not in sentences(charger, GONE)
    # what discharges the X capacitor says nothing of the bulk capacitor
    other = GONE | {"components[7]": {"ref": "U9", "roles": ["x-discharge-controller"]}}
    assert NO_PATH in sentences(charger, other)


def test_what_always_holds(charger):
    assert sentences(charger)[-len(ALWAYS) :] == ALWAYS
    text = " ".join(ALWAYS)
    for words in (
        "plug pins",
        "known source before and after",
        "isolation transformer",
        "RCD",
        "earthed oscilloscope",
        "trained people",
        "Local codes",
    ):
        assert words in text


@pytest.mark.parametrize("changes", [{}, GONE, {"components[0].ratings": None}, {"conversion": None}])
def test_no_time_to_wait_is_ever_given(charger, changes):
    assert charger.figures().value("bleed_time_to_60v_s") > 100
    assert not [sentence for sentence in sentences(charger, changes) if WAITING.search(sentence)]


def test_the_caution_closes_the_listing(charger):
    text = listing(charger.record(**GONE), charger.figures(GONE))
    assert NO_PATH in text and "5.72 J" in text.split("Caution")[1]
