"""Invented labels with the reading that a person gives them, written by hand, one line a fact.

Notation of ``tests/bench_data/labels/*.yaml``: ``input`` is "100-240 V 50/60 Hz 1.2 A 70 W"; ``ports`` holds the offers
of each port, such as "PPS 3.3-21 V 3 A" or "9 V 2.22 A 20 W" with the power beside it, "-" being the port without a
name; ``limit`` the power of whole ports; ``together`` is "C1 45 + C2 20", "C1 + C2 = 65" or "C1 + A1: 5 V 3 A".
``unknown`` are the pieces that must be told as not understood, and no others; ``aside`` those put aside, looked at only
where it is given. A key that is left out means that nothing of the kind may be read.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

from lidoff.bench.label_text import Combination, LabelReading, PortReading, read_label
from lidoff.record.model.label import LabelInput, Offer

FOLDER = Path(__file__).parents[1] / "bench_data" / "labels"
LABELS = [
    pytest.param(label, id=f"{file.stem}: {label['text'][:60]}")
    for file in sorted(FOLDER.glob("*.yaml"))
    for label in yaml.safe_load(file.read_text(encoding="utf-8"))
]
PROTOCOLS = ("Gallop Charge", "Slipstream", "Slipstream Boost")
NAMES = ("Pell Lane Electronics",)


def amounts(*pairs: tuple[float | None, str]) -> str:
    return " ".join(f"{value:g} {unit}" for value, unit in pairs if value is not None)


def input_text(found: LabelInput | None) -> str:
    if found is None:
        return ""
    volts = f"{found.voltage_min_v:g}-{found.voltage_max_v:g} V" if found.voltage_min_v is not None else ""
    hertz = "/".join(f"{value:g}" for value in found.frequencies_hz) + " Hz" if found.frequencies_hz else ""
    return " ".join(filter(None, (volts, hertz, amounts((found.current_a, "A"), (found.power_w, "W")))))


def offer_text(offer: Offer) -> str:
    name = {"fixed": "", "proprietary": offer.protocol}.get(offer.kind, offer.kind.upper())
    volts = "" if offer.voltage_min_v is None else f"{offer.voltage_min_v:g}-{offer.voltage_max_v:g} V"
    numbers = amounts((offer.voltage_v, "V"), (offer.current_a, "A"), (offer.power_w, "W"))
    return " ".join(filter(None, (name, volts, numbers)))


def together_text(one: Combination) -> str:
    pairs = zip(one.ports, one.powers_w, strict=True) if one.powers_w else ((port, None) for port in one.ports)
    text = " + ".join(port if watts is None else f"{port} {watts:g}" for port, watts in pairs)
    text += f": {', '.join(map(offer_text, one.offers))}" if one.offers else ""
    return text + (f" = {one.together_w:g}" if one.together_w is not None else "")


def by_port(ports: tuple[PortReading, ...]) -> Iterator[tuple[str, list[str]]]:
    for port in ports:
        yield port.id or "-", [offer_text(offer) for offer in port.offers]


def facts(reading: LabelReading) -> dict[str, object]:
    """The reading in the notation of the corpus, without what is empty."""
    found = {
        "input": input_text(reading.input),
        "ports": {name: offers for name, offers in by_port(reading.ports) if name != "-" or offers},
        "limit": {port.id or "-": port.power_w for port in reading.ports if port.power_w is not None},
        "together": [together_text(one) for one in reading.combinations],
        "total": reading.total_power_w,
        "level": reading.efficiency_level,
        "unknown": [span.text for span in reading.not_understood],
    }
    return {key: value for key, value in found.items() if value}


def test_the_corpus_is_large_enough() -> None:
    labels = [parameter.values[0] for parameter in LABELS]
    assert len({label["text"] for label in labels}) == len(labels) >= 120
    assert sum(1 for label in labels if "unknown" in label) >= 25


@pytest.mark.parametrize("label", LABELS)
def test_a_label_is_read_as_a_person_reads_it(label: dict) -> None:
    reading = read_label(label["text"], PROTOCOLS, NAMES)
    expected = {key: value for key, value in label.items() if key not in ("text", "aside", "why")}
    assert facts(reading) == expected
    if "aside" in label:
        assert [span.text for span in reading.left_aside] == label["aside"]


@pytest.mark.parametrize("label", LABELS)
def test_every_piece_that_is_told_stands_at_its_place(label: dict) -> None:
    reading = read_label(label["text"], PROTOCOLS, NAMES)
    for span in (*reading.left_aside, *reading.not_understood):
        assert label["text"][span.start : span.end] == span.text != ""
        assert span.reason
    ends = [(span.start, span.end) for span in reading.not_understood]
    assert all(before[1] <= after[0] for before, after in zip(ends, ends[1:], strict=False))
