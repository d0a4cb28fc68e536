"""Product, samples, teardown and coverage. The schema describes every field."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Plug:
    """How it meets the mains."""

    system: str
    mechanism: str | None = None


@dataclass(frozen=True, slots=True)
class SuppliedCable:
    """An output cable that comes with the product."""

    length_m: float | None = None
    current_a: float | None = None
    emarked: bool | None = None


@dataclass(frozen=True, slots=True)
class Product:
    """What the product is."""

    brand: str
    model: str
    kind: str
    name: str | None = None
    launched: int | None = None
    rated_power_w: float | None = None
    plug: Plug | None = None
    protection_class: str | None = None
    supplied_cable: SuppliedCable | None = None
    revision_of: str | None = None
    formerly: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Price:
    """What was paid."""

    amount: float
    currency: str


@dataclass(frozen=True, slots=True)
class Sample:
    """One unit that was opened or measured."""

    id: str
    source: str
    bought: str | None = None
    hardware_revision: str | None = None
    date_code: str | None = None
    condition: str | None = None
    authenticity: str | None = None
    authenticity_signs: tuple[str, ...] = ()
    price: Price | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Teardown:
    """The examination itself."""

    date: str
    by: tuple[str, ...] = ()
    text_license: str | None = None
    authenticity: str | None = None
    authenticity_signs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Coverage:
    """How much was looked at: only what was looked for can be said to be missing."""

    boards: str | None = None
    parts: str | None = None
    label: str | None = None
    hidden_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Answered:
    """A warning that the reviewer explains."""

    rule: str
    why: str
    date: str
    field: str | None = None
    inputs: str | None = None


@dataclass(frozen=True, slots=True)
class Correction:
    """Something that was wrong on a published page and has been mended."""

    date: str
    what: str
    field: str | None = None
