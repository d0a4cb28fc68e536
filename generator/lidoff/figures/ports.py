"""Figures of the ports: power advertised, interruptions, and what a device drew."""

from collections.abc import Iterator
from functools import lru_cache

from lidoff.engineering.observation import largest_observed
from lidoff.engineering.usb_pd_power import FixedPower, largest_fixed_power
from lidoff.figures.figure import Corner, Figure, FigureInput
from lidoff.figures.known import Absent, Known, absent, attempt, computed, read, resting_on
from lidoff.figures.rows import measured, of_first_sample, reading_uncertainty
from lidoff.record.model import Record
from lidoff.record.model.label import Port
from lidoff.record.model.measured import Event

TYPE_C = ("usb-c", "captive-usb-c")


def port_figures(record: Record) -> Iterator[Figure]:
    """Figures of the ports."""
    yield from _pd_power(record)
    yield from _interruptions(record)


def _pd_power(record: Record) -> Iterator[Figure]:
    """One figure a port that can speak USB PD."""
    ports = [(place, port) for place, port in enumerate(record.ports) if port.connector in TYPE_C or port.advertised]
    if not ports:
        yield absent("pd_power_w", "no port has a USB Type-C connector")
    for place, port in ports:
        corner = Corner(port=port.id)
        yield from attempt("pd_power_w", lambda place=place, port=port: _largest(record, place, port), corner)


def _largest(record: Record, place: int, port: Port) -> Known:
    """The strongest fixed object among all states in which the port was captured."""
    if port.advertised is None:
        raise Absent("what this port advertises was not captured")
    captures = of_first_sample(record, enumerate(port.advertised))
    if not captures:
        raise Absent("this port was asked and advertised nothing")
    offers = [(offer, number) for number, capture in captures if (offer := strongest_object(capture.words)) is not None]
    if not offers:
        raise Absent("this port advertised no fixed object with any power")
    offer, number = max(offers, key=lambda found: found[0].power)
    field = f"ports[{place}].advertised[{number}].words[{offer.index}]"
    return Known(offer.power, (FigureInput(field, offer.voltage, "V"), FigureInput(field, offer.current, "A")))


@lru_cache(maxsize=4096)
def strongest_object(words: tuple[str, ...]) -> FixedPower | None:
    """The strongest fixed object of a message; figures and checks ask for it again and again."""
    return computed(largest_fixed_power, [int(word, 16) for word in words])


def _interruptions(record: Record) -> Iterator[Figure]:
    """One figure a port that was watched."""
    victims: dict[str, list[tuple[int, Event]]] = {}
    for place, event in enumerate(measured(record).events):
        if event.interrupted_ms is not None:
            victims.setdefault(event.victim, []).append((place, event))
    if not victims:
        yield absent("longest_interruption_ms", "no interruption of a port was looked for")
    for port, events in victims.items():
        mine = of_first_sample(record, events)
        yield from attempt("longest_interruption_ms", lambda mine=mine: _longest(record, mine), Corner(port=port))


def _longest(record: Record, events: list[tuple[int, Event]]) -> Known:
    parts = [
        read(f"measured.events[{place}].interrupted_ms", event.interrupted_ms, "ms", per_si=1e3)
        for place, event in events
    ]
    longest = computed(largest_observed, [part.value for part in parts])
    _, event = events[[part.value for part in parts].index(longest)]
    return resting_on(longest, parts, reading_uncertainty(record, event.instrument, "time", longest))
