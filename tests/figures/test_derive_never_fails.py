"""Whatever a record holds, each figure has a value or a reason: records are changed at random and derived again."""

import json
from math import isfinite

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lidoff.figures.assumptions import read_assumptions
from lidoff.figures.catalogue import KINDS
from lidoff.figures.derive import derive
from lidoff.figures.figure import Figures
from lidoff.figures.listing import listing
from lidoff.figures.plain import plain_figure
from lidoff.record.model import Record

ASSUMPTIONS = read_assumptions()
NUMBERS = st.sampled_from([0.0, 1e-9, 0.01, 0.5, 1.0, 3.3, 20.0, 48.0, 100.0, 264.0, 480.0, 1000.0, 20000.0, 1e9])
OBJECTS = st.sampled_from(
    [
        "0x00000000",
        "0x0801912C",
        "0x0008C1F4",
        "0xC9A42164",
        "0xD1E1968C",
        "0xE4B0FA00",
        "0xF0000000",
        "0x44B1905A",
        "0xFFFFFFFF",
    ]
)
WORDS = {
    "pfc": ["none", "passive", "boost", "totem-pole", "undetermined"],
    "primary": [
        "flyback",
        "flyback-fixed-frequency",
        "flyback-active-clamp",
        "flyback-asymmetric-half-bridge",
        "llc-half-bridge",
        "forward",
        "undetermined",
    ],
    "secondary": ["diode", "sync-rectified-centre-tap", "sync-rectified-bridge", "undetermined"],
    "per_port": ["load-switch", "buck", "bus-selection", "separate-converters", "undetermined"],
    "shape": ["rounded-box", "cylinder", "irregular"],
    "prongs": ["included", "removed"],
    "across": ["primary-earth", "line-neutral"],
    "measured_at": ["cable-end", "board"],
    "connector": ["usb-a", "captive-usb-c", "barrel"],
    "kind": ["pps", "avs", "proprietary"],
    "protection_class": ["i"],
    "state": ["full-device"],
    "source": ["second-hand"],
    "series_string": ["a", "b"],
    "message": ["epr"],
    "sample": ["s1", "s2", "s9"],
    "quantity": [2, 500],
}


def places(value: object, path: tuple = ()) -> list[tuple]:
    """The path of everything in nested data."""
    children = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [found for key, child in children for found in [(*path, key), *places(child, (*path, key))]]


def at(content: object, path: tuple) -> object:
    for step in path:
        content = content[step]
    return content


@st.composite
def records(draw: st.DrawFn, content: dict) -> dict:
    """The complete charger after some changes: fields gone, numbers and words replaced, rows doubled, words added."""
    content = msgspec.json.decode(msgspec.json.encode(content))
    for _ in range(draw(st.integers(1, 12))):
        paths = places(content)
        path = paths[draw(st.integers(0, len(paths) - 1))]
        holder, key = at(content, path[:-1]), path[-1]
        value = holder[key]
        action = draw(st.sampled_from(["go", "replace", "replace", "double", "add"]))
        if action == "go":
            del holder[key]
        elif action == "double" and isinstance(holder, list):
            holder.append(msgspec.json.decode(msgspec.json.encode(value)))
        elif action == "add" and isinstance(value, dict):
            word = draw(st.sampled_from(sorted(WORDS)))
            value[word] = draw(st.sampled_from(WORDS[word]))
        elif isinstance(value, (int, float)) and not isinstance(value, bool):
            holder[key] = draw(NUMBERS) if key != "quantity" else draw(st.integers(1, 500))
        elif isinstance(value, str):
            holder[key] = draw(OBJECTS) if value.startswith("0x") else draw(st.sampled_from(WORDS.get(key, [value])))
    return content


def check_corners(figures: Figures) -> None:
    """No two figures of an id are of the same; the two bounds of the window differ in their formula."""
    told_apart = [
        (figure.id, figure.of, figure.method if figure.id == "turns_ratio_window" else "") for figure in figures
    ]
    assert len(set(told_apart)) == len(told_apart), told_apart


def check(figures: Figures, record: Record) -> None:
    """What holds for the figures of any record."""
    assert {figure.id for figure in figures} == set(KINDS)
    order = list(KINDS)
    assert [order.index(figure.id) for figure in figures] == sorted(order.index(figure.id) for figure in figures)
    if len({port.id for port in record.ports}) == len(record.ports):
        check_corners(figures)
    for figure in figures:
        assert (figure.value is None) == bool(figure.absent), figure
        assert figure.method.startswith("lidoff.engineering.") and figure.source, figure
        if figure.value is not None:
            assert isfinite(figure.value) and (
                figure.expanded_uncertainty is None or isfinite(figure.expanded_uncertainty)
            ), figure
        assert all(isfinite(one.value) for one in figure.inputs)
        for word in ("None", "Known", "lidoff", "'"):
            assert word not in (figure.absent or "").replace("label's", "").replace("product's", ""), figure
    json.dumps([plain_figure(figure) for figure in figures], allow_nan=False)
    assert listing(record, figures).count("\n") > len(KINDS)


def runs(count: int) -> settings:
    return settings(max_examples=count, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))


def derived(content: dict) -> None:
    try:
        record = msgspec.convert(content, Record)
    except msgspec.ValidationError:
        return  # a field that a record cannot do without has gone
    if record.ports:  # the schema asks for one
        check(derive(record, ASSUMPTIONS), record)


def test_changed_records(charger):
    @runs(300)
    @given(records(charger.content()))
    def run(content: dict) -> None:
        derived(content)

    run()


@pytest.mark.long
def test_many_changed_records(charger):
    @runs(2500)
    @given(records(charger.content()))
    def run(content: dict) -> None:
        derived(content)

    run()


def test_the_complete_record_has_every_figure_but_those_that_it_rules_out(charger):
    figures = charger.figures()
    without = {figure.id for figure in figures if figure.value is None}
    assert without == {"turns_ratio_window", "charge_peak_w", "charge_energy_wh"}


def test_the_smallest_record(charger):
    smallest = {
        "schema": 1, "status": "draft", "product": {"brand": "Fernhollow", "model": "X", "kind": "wall-charger"},
        "ports": [{"id": "C1", "connector": "usb-c"}], "teardown": {"date": "2026-03-09"},
    }  # fmt: skip
    record = msgspec.convert(smallest, Record)
    figures = derive(record, ASSUMPTIONS)
    check(figures, record)
    assert [figure.id for figure in figures if figure.value is not None] == []


def test_deriving_changes_nothing_and_gives_the_same_again(charger):
    record = charger.record()
    assert derive(record, ASSUMPTIONS) == derive(record, ASSUMPTIONS) and record == charger.record()
