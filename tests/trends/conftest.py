"""A small factory of entries: a base record of invented data with overrides, and figures as given."""

import random
from collections.abc import Callable, Iterator, Mapping, Sequence
from copy import deepcopy

import msgspec
import pytest

from lidoff.entry import Entry
from lidoff.figures.figure import Figure, Figures
from lidoff.record.model import Record
from lidoff.settings import DEFAULT_TIERS_W
from lidoff.trends.frames import Frames, make_frames

BASE = {
    "schema": 1,
    "demo": True,
    "status": "published",
    "product": {"brand": "Fernhollow", "model": "FH-65", "kind": "wall-charger", "launched": 2024, "rated_power_w": 65},
    "teardown": {"date": "2025-03-09"},
    "coverage": {"boards": "all", "parts": "main"},
    "ports": [{"id": "C1", "connector": "usb-c"}],
}


def merged(base: Mapping, changes: Mapping) -> dict:
    """The base with the changes laid over it; None takes a key away."""
    result = deepcopy(dict(base))
    for key, value in changes.items():
        if value is None:
            result.pop(key, None)
        elif isinstance(value, Mapping) and isinstance(result.get(key), Mapping):
            result[key] = merged(result[key], value)
        else:
            result[key] = deepcopy(value)
    return result


@pytest.fixture(scope="session")
def make_entry() -> Callable[..., Entry]:
    """Makes an entry: its slug, changes to the base record, and figures without corners by id."""

    def make(
        slug: str = "fernhollow/fh-65", changes: Mapping | None = None, figures: Mapping[str, float] | None = None
    ) -> Entry:
        record = msgspec.convert(merged(BASE, changes or {}), Record)
        items = tuple(Figure(name, "", value=value) for name, value in (figures or {}).items())
        return Entry(f"entries/{slug}/record.yaml", slug, record, Figures(items))

    return make


@pytest.fixture(scope="session")
def frames_of() -> Callable[[Sequence[Entry]], Frames]:
    """Makes the frames of entries with the default tiers."""
    return lambda entries: make_frames(entries, DEFAULT_TIERS_W)


TOPOLOGIES = (
    "flyback-fixed-frequency", "flyback-quasi-resonant", "flyback-active-clamp", "flyback-asymmetric-half-bridge",
    "llc-half-bridge",
    "undetermined", None,
)  # fmt: skip
TECHNOLOGIES = (
    "gan-enhancement",
    "gan-integrated",
    "silicon-superjunction",
    "silicon-mosfet",
    "sic-mosfet",
    "undetermined",
    None,
)
FIXED_V = tuple({"kind": "fixed", "voltage_v": voltage, "current_a": 3} for voltage in (5, 9, 20))
LABELS = (
    None,
    FIXED_V[:1],
    FIXED_V,
    (*FIXED_V, {"kind": "pps", "voltage_min_v": 5, "voltage_max_v": 21}),
    (*FIXED_V[:2], {"kind": "avs"}),
)
RANGES = ((), ("spr-avs",), ("epr", "epr-avs"), ())
EVIDENCE = ("printed-part-number", "printed-code", "brand-claim", "unidentified", None)


@pytest.fixture(scope="session")
def make_collection(make_entry: Callable[..., Entry]) -> Callable[[int, int], tuple[Entry, ...]]:
    """Makes a collection of invented entries from a seed: every rule of counting occurs in it, drafts too."""

    def make(count: int, seed: int) -> tuple[Entry, ...]:
        chance = random.Random(seed)
        return tuple(_invented(make_entry, number, chance) for number in range(count))

    return make


def _invented(make_entry: Callable[..., Entry], number: int, chance: random.Random) -> Entry:
    brand = chance.choice(("Fernhollow", "Marrow Bay", "Quillstone"))
    power = chance.choice((5, 18, 20, 20.5, 30, 33, 45, 65, 65, 67, 100, 100.5, 140, 240, 300, None))
    changes = {
        "status": chance.choice(("published",) * 9 + ("draft",)),
        "product": {"brand": brand, "model": f"M {number}", "rated_power_w": power,
                    "launched": chance.choice((2021, 2022, 2023, 2024, None)),
                    # two in six revise the same earlier one, which is there or was never recorded
                    "revision_of": f"fernhollow/m-{number - number % 6}" if number % 6 in (3, 5) else None},
        "coverage": chance.choice((None, {"parts": "main"}, {"parts": "every"}, {"parts": "visible"})),
        "label": {"manufacturer": chance.choice(("Pell Lane", "Aster Row"))} if chance.random() < 0.6 else None,
        "boards": [{"id": "main", "role": "main", "silkscreen": f"R{chance.randint(1, 9)}"}],
        "conversion": _given(pfc=chance.choice(("none", "passive", "boost-critical", "undetermined", None)),
                             primary=chance.choice(TOPOLOGIES)),
        "components": [part for part in _parts(chance)],
        "ports": [_given(id=f"C{port}", connector="usb-c", label=LABELS[(number + port) % len(LABELS)],
                         protocols=chance.choice((None, [], ["pps", "usb-pd-3.0"], ["usb-pd-3.1", *RANGES[number % 4]])),
                         other_protocols=chance.choice((None, None, ["Quick Ember"]))) for port in (1, 2)],
    }  # fmt: skip
    figures = {
        "power_density_w_per_cm3": round(chance.uniform(0.4, 1.9), 3),
        "bulk_uf_per_w": round(chance.uniform(0.6, 2.6), 3),
    }
    kept = {name: value for name, value in figures.items() if power is not None and chance.random() < 0.8}
    if number % 3 == 0:
        kept["average_efficiency_pct"] = 84.0 + number % 11
    if number % 4:
        kept["efficiency_limit_pct"] = 86.5 + number % 3
    return make_entry(f"{brand.casefold().replace(' ', '-')}/m-{number}", changes, kept)


def _parts(chance: random.Random) -> Iterator[dict]:
    for place in range(chance.choice((0, 1, 1, 2))):
        yield _given(ref=f"Q{place + 1}", roles=["primary-switch"], technology=chance.choice(TECHNOLOGIES),
                     identified_by=chance.choice(EVIDENCE))  # fmt: skip
    for place, role in enumerate(
        ("primary-controller", "sync-rectifier-controller", "protocol-controller", "dc-dc-converter")
    ):
        if chance.random() < 0.7:
            yield _given(ref=f"U{place + 1}", roles=[role, "resistor"],
                         maker=chance.choice(("Aster Row", "Pell Lane", None)),
                         part_number=chance.choice(("AR10", "AR22", None)), identified_by=chance.choice(EVIDENCE),
                         strength=chance.choice(("certain", "likely", "guess", None)))  # fmt: skip


def _given(**values: object) -> dict:
    return {name: value for name, value in values.items() if value is not None}
