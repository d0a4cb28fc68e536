"""The phrases that a label is made of. ``start`` and ``end`` count tokens."""

from dataclasses import dataclass, field
from typing import Literal

from lidoff.bench.label_text.quantities import Quantity


@dataclass(frozen=True, slots=True)
class Phrase:
    """A run of tokens."""

    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Section(Phrase):
    """INPUT or OUTPUT; ``number`` is that of OUTPUT 1."""

    name: Literal["input", "output"]
    number: int | None = None


@dataclass(frozen=True, slots=True)
class PortName:
    """A port as a label names it: its family (C, A, USB, PORT, OUTPUT), its number, and the words as printed."""

    family: str
    number: int | None
    printed: str = field(compare=False)

    @property
    def connector(self) -> str | None:
        """The connector that the name tells."""
        return {"C": "usb-c", "A": "usb-a"}.get(self.family)


@dataclass(frozen=True, slots=True)
class Ports(Phrase):
    """Names of ports: alternatives within a term (C1/C2), several terms for ports in use together (C1+C2)."""

    terms: tuple[tuple[PortName, ...], ...]

    @property
    def is_combination(self) -> bool:
        """Whether ports in use together are meant."""
        return len(self.terms) > 1


@dataclass(frozen=True, slots=True)
class Protocol(Phrase):
    """A protocol's name. ``kind`` is that of the outputs below it, ``name`` a proprietary one."""

    kind: Literal["fixed", "pps", "avs", "proprietary", "ufcs"]
    name: str = ""
    colon: bool = False
    bracketed: bool = False


@dataclass(frozen=True, slots=True)
class Output(Phrase):
    """A voltage with, mostly, its current. ``each`` says that several ports have it."""

    voltage: Quantity
    current: Quantity | None = None
    each: bool = False


@dataclass(frozen=True, slots=True)
class Power(Phrase):
    """A power that stands alone. ``lead`` holds what is said of it: total, output, input."""

    quantity: Quantity
    lead: frozenset[str] = frozenset()
    bracketed: bool = False
    each: bool = False


@dataclass(frozen=True, slots=True)
class Single(Phrase):
    """A current or frequencies that stand alone."""

    quantity: Quantity


@dataclass(frozen=True, slots=True)
class Level(Phrase):
    """A numeral of the efficiency marking."""

    numeral: str


@dataclass(frozen=True, slots=True)
class Mark(Phrase):
    """A sign between things; ``sign`` is "+" or any other that sets items apart."""

    sign: str


@dataclass(frozen=True, slots=True)
class Text(Phrase):
    """Words that are none of the above. ``general`` ones begin a part that is about something else.

    ``suspect`` says why they must not be passed over; ``is_port`` that they name a port, which heads nothing here.
    """

    general: bool = False
    colon: bool = False
    suspect: str = ""
    is_port: bool = False
