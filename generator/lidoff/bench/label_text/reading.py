"""What a rating label says, as far as it was understood, and what of it was not."""

from dataclasses import dataclass

from lidoff.record.model.label import LabelInput, Offer


@dataclass(frozen=True, slots=True)
class Span:
    """A piece of the text as it was given, ``text[start:end]``, and why it is told."""

    start: int
    end: int
    text: str
    reason: str


@dataclass(frozen=True, slots=True)
class PortReading:
    """One output port. ``id`` is empty for the one port of a label that names none.

    ``power_w`` is the limit printed for the whole port. ``complete`` says that nothing was left open that could be one
    of its outputs.
    """

    id: str
    connector: str | None = None
    printed_name: str | None = None
    offers: tuple[Offer, ...] = ()
    power_w: float | None = None
    complete: bool = True


@dataclass(frozen=True, slots=True)
class Combination:
    """What several ports give at once: one power each, one power together, or outputs that they share."""

    ports: tuple[str, ...]
    powers_w: tuple[float, ...] = ()
    together_w: float | None = None
    offers: tuple[Offer, ...] = ()


@dataclass(frozen=True, slots=True)
class LabelReading:
    """A label read. ``left_aside`` says nothing of input or outputs; ``not_understood`` may, and is never guessed."""

    input: LabelInput | None = None
    ports: tuple[PortReading, ...] = ()
    combinations: tuple[Combination, ...] = ()
    total_power_w: float | None = None
    efficiency_level: str | None = None
    input_complete: bool = True
    combinations_complete: bool = True
    left_aside: tuple[Span, ...] = ()
    not_understood: tuple[Span, ...] = ()

    @property
    def power_w(self) -> float | None:
        """The printed power of the whole product: the total, or the limit of its only port where that is all there is."""
        if self.total_power_w is not None:
            return self.total_power_w
        return self.ports[0].power_w if len(self.ports) == 1 and self.ports[0].complete else None


def nothing_understood(text: str, reason: str) -> LabelReading:
    """The reading of a text that can't be looked into."""
    whole = (Span(0, len(text), text, reason),)
    return LabelReading(input_complete=False, combinations_complete=False, not_understood=whole)
