"""Records for the tests of figures: one complete invented charger, changed field by field."""

import copy
import re
from collections.abc import Callable, Mapping

import msgspec
import pytest

from lidoff.figures.assumptions import read_assumptions
from lidoff.figures.derive import derive
from lidoff.figures.figure import Corner, Figure, Figures
from lidoff.figures.logs_beside import logs_beside
from lidoff.record.model import Record

GONE = object()
LOADS = ((0.8125, 25, 18.2), (1.625, 50, 35.4), (2.4375, 75, 52.6), (3.25, 100, 70.1))


def efficiency_rows(**changes: object) -> list[dict]:
    """Four points at 20 V: 16.25 W of 18.2 W, 32.5 W of 35.4 W, 48.75 W of 52.6 W and 65 W of 70.1 W."""
    row = {
        "mains_v": 115,
        "mains_hz": 60,
        "port": "C1",
        "output_v": 20,
        "load_base_a": 3.25,
        "measured_at": "connector",
        "warm_up_min": 30,
    }
    return [row | {"output_a": a, "load_pct": pct, "input_w": w} | changes for a, pct, w in LOADS]


def complete() -> dict:
    """A 65 W charger with a quasi-resonant flyback, of which all is recorded that a figure needs."""
    return {
        "schema": 1,
        "demo": True,
        "status": "published",
        "product": {
            "brand": "Fernhollow",
            "model": "FH-65",
            "kind": "wall-charger",
            "rated_power_w": 65,
            "protection_class": "ii",
        },
        "samples": [
            {"id": "s1", "source": "retail", "price": {"amount": 39, "currency": "EUR"}},
            {"id": "s2", "source": "reader"},
        ],
        "teardown": {"date": "2026-03-09"},
        "label": {"input": {"voltage_min_v": 100, "voltage_max_v": 240, "frequencies_hz": [50, 60], "current_a": 1.7}},
        "ports": [
            {
                "id": "C1",
                "connector": "usb-c",
                "label": [
                    {"kind": "fixed", "voltage_v": 5, "current_a": 3},
                    {"kind": "fixed", "voltage_v": 9, "current_a": 3},
                    {"kind": "fixed", "voltage_v": 20, "current_a": 3.25},
                ],
                "advertised": [{"alone": True, "message": "spr", "words": ["0x0801912C", "0x0002D12C", "0x00064145"]}],
                "protocols": ["usb-pd-3.0"],
            }
        ],
        "measured": {
            "body_mm": {"size": [52, 52, 28], "shape": "box", "prongs": "folded"},
            "assembly_mm": [50, 40, 25],
            "mass_g": 118,
            "efficiency": efficiency_rows(),
            "no_load": [{"mains_v": 230, "mains_hz": 50, "power_w": 0.03, "state": "nothing"}],
            "charging": [{"log": "logs/phone.csv", "columns": {"time_s": "t", "power_w": "p"}, "port": "C1"}],
            "soak": [
                {"ports": {"C1": 65}, "mains_v": 230, "mains_hz": 50, "ambient_c": 25, "surface_c": 71, "after_min": 60}
            ],
            "events": [{"action": "plug C1", "victim": "C1", "interrupted_ms": 900}],
        },
        "instruments": [],
        "magnetics": [
            {
                "ref": "T1",
                "core": {"family": "ATQ", "area_mm2": 110},
                "windings": [{"name": "primary", "turns": 24}, {"name": "secondary", "turns": 4}],
                "inductance_uh": 310,
            }
        ],
        "conversion": {
            "pfc": "none",
            "primary": "flyback-quasi-resonant",
            "secondary": "sync-rectified",
            "per_port": "none",
        },
        "components": [
            {"ref": "C1", "roles": ["bulk-capacitor"], "ratings": {"voltage_v": 400, "capacitance_uf": 82}},
            {"ref": "Q1", "roles": ["primary-switch"], "ratings": {"voltage_v": 650, "voltage_transient_v": 800}},
            {"ref": "Q2", "roles": ["sync-rectifier"], "ratings": {"voltage_v": 100}},
            {"ref": "T1", "roles": ["transformer"]},
            {
                "ref": "CY1",
                "roles": ["y-capacitor"],
                "across": "primary-secondary",
                "ratings": {"capacitance_pf": 1000},
            },
            {"ref": "RT1", "roles": ["inrush-thermistor"], "ratings": {"cold_resistance_ohm": 5}},
            {"ref": "R1", "roles": ["bleed-resistor"], "ratings": {"resistance_ohm": 1000000}},
        ],
    }


def changed(content: dict, changes: Mapping[str, object]) -> dict:
    """The content with fields such as ``components[0].ratings.voltage_v`` set anew; GONE takes a field away."""
    content = copy.deepcopy(content)
    for field, value in changes.items():
        steps = [int(step) if step.isdigit() else step for step in re.findall(r"\w+", field)]
        holder = content
        for step in steps[:-1]:
            holder = holder[step] if isinstance(holder, list) else holder.setdefault(step, {})
        if value is GONE:
            del holder[steps[-1]]
        elif isinstance(holder, list) and steps[-1] == len(holder):
            holder.append(value)
        else:
            holder[steps[-1]] = value
    return content


class Charger:
    """Figures of the complete charger with some fields changed."""

    gone = GONE
    rows = staticmethod(efficiency_rows)
    content = staticmethod(complete)
    changed = staticmethod(changed)

    @staticmethod
    def record(**changes: object) -> Record:
        return msgspec.convert(changed(complete(), changes), Record)

    @classmethod
    def figures(
        cls, changes: Mapping[str, object] | None = None, logs: Mapping | None = None, **assumptions: float
    ) -> Figures:
        return derive(cls.record(**(changes or {})), read_assumptions(assumptions), logs)

    @classmethod
    def all(cls, id: str, changes: Mapping[str, object] | None = None, **assumptions: float) -> tuple[Figure, ...]:
        return cls.figures(changes, **assumptions).all(id)

    @classmethod
    def one(
        cls, id: str, changes: Mapping[str, object] | None = None, of: Corner | None = None, **assumptions: float
    ) -> Figure:
        """The only figure of that id, or the only one of that corner."""
        (found,) = [one for one in cls.all(id, changes, **assumptions) if of is None or one.of == of]
        return found


@pytest.fixture
def charger() -> type[Charger]:
    return Charger


@pytest.fixture
def with_logs(tmp_path) -> Callable[..., Figures]:
    """Figures of the complete charger with some fields changed and the text of logs beside it."""

    def figures(texts: Mapping[str, str], changes: Mapping[str, object] | None = None, **replaced: float) -> Figures:
        for name, text in texts.items():
            (tmp_path / name).parent.mkdir(exist_ok=True)
            (tmp_path / name).write_text(text, encoding="utf-8")
        record, assumptions = Charger.record(**(changes or {})), read_assumptions(replaced)
        return derive(record, assumptions, logs_beside(tmp_path, record, assumptions))

    return figures


@pytest.fixture
def inputs_of() -> Callable[[Figure], dict[str, float]]:
    """The inputs of a figure as field and value in the record's unit."""
    return lambda figure: {one.field: one.value for one in figure.inputs}


@pytest.fixture
def assumed_of() -> Callable[[Figure], set[str]]:
    """The ids of what a figure assumes."""
    return lambda figure: {one.id for one in figure.assumed}
