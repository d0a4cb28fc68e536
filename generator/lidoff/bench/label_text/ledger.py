"""What has been read of a label so far, and the reading that it makes in the end."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from lidoff.bench.label_text.judge import Beside
from lidoff.bench.label_text.phrases import Output, PortName
from lidoff.bench.label_text.reading import Combination, LabelReading, PortReading, Span
from lidoff.record.model.label import LabelInput, Offer

Key = PortName | None
UNNAMED: tuple[Key, ...] = (None,)


@dataclass(slots=True)
class Entry:
    """What was found at one port, with the tokens that it stands in."""

    outputs: list[tuple[Output, tuple[Offer, ...]]] = field(default_factory=list)
    power_w: float | None = None
    complete: bool = True
    tokens: list[tuple[int, int]] = field(default_factory=list)

    @property
    def offers(self) -> tuple[Offer, ...]:
        """All offers, each once."""
        return tuple(dict.fromkeys(offer for _, offers in self.outputs for offer in offers))


@dataclass(frozen=True, slots=True)
class Together:
    """Ports in use together, what was said of them, and where, in tokens."""

    names: tuple[PortName, ...]
    combination: Combination
    start: int
    end: int


@dataclass(slots=True)
class Ledger:
    """Everything understood, in the order of the text; ``open`` and ``aside`` are runs of tokens with their reasons."""

    ports: dict[Key, Entry] = field(default_factory=dict)
    combinations: list[Together] = field(default_factory=list)
    totals: dict[tuple[int, int], float] = field(default_factory=dict)
    inputs: list[tuple[int, int, dict[str, object]]] = field(default_factory=list)
    level: str | None = None
    input_complete: bool = True
    combinations_complete: bool = True
    open: list[tuple[int, int, str]] = field(default_factory=list)
    aside: list[tuple[int, int, str]] = field(default_factory=list)

    def entry(self, key: Key) -> Entry:
        """What is known of a port."""
        return self.ports.setdefault(key, Entry())

    def add(self, keys: Sequence[Key], output: Output, offers: tuple[Offer, ...]) -> None:
        """Note the offers of an output at every port that it stands for."""
        for key in keys:
            entry = self.entry(key)
            entry.outputs.append((output, offers))
            entry.tokens.append((output.start, output.end))

    def retract(self, keys: Sequence[Key]) -> Output:
        """Take the last output away again and return it."""
        for key in keys:
            output, _ = self.ports[key].outputs.pop()
            self.ports[key].tokens.pop()
        return output

    def replace_last(self, keys: Sequence[Key], offers: tuple[Offer, ...]) -> None:
        """Give the last output other offers."""
        for key in keys:
            outputs = self.ports[key].outputs
            outputs[-1] = (outputs[-1][0], offers)

    def limit_last(self, keys: Sequence[Key], watts: float) -> None:
        """Give the last output the power beside it."""
        self.replace_last(keys, tuple(replace(offer, power_w=watts) for offer in self.last(keys)[1]))

    def last(self, keys: Sequence[Key]) -> tuple[Output, tuple[Offer, ...]]:
        """The last output of the ports and its offers."""
        return self.ports[keys[0]].outputs[-1]

    def around_last(self, keys: Sequence[Key], is_last: bool, is_only_port: bool) -> Beside:
        """What stands around the last output."""
        *before, (output, offers) = self.ports[keys[0]].outputs
        others = tuple(offer for _, some in before for offer in some)
        return Beside(output, offers, others, is_last, is_only_port)

    def limit_ports(self, keys: Sequence[Key], watts: float, start: int, end: int) -> bool:
        """Note the limit of whole ports; False where another one was noted before."""
        entries = [self.entry(key) for key in keys]
        if any(entry.power_w not in (None, watts) for entry in entries):
            return False
        for entry in entries:
            entry.power_w = watts
            entry.tokens.append((start, end))
        return True

    def leave_open(self, keys: Sequence[Key]) -> None:
        """Note that these ports may have more outputs than were understood."""
        for key in keys:
            self.entry(key).complete = False


def settle(ledger: Ledger, names: frozenset[PortName]) -> None:
    """Move to the open ends what can't be told now that the whole label, and the ports that it names, is known."""
    if names and None in ledger.ports:
        reason = "an output without a port, on a label that names ports"
        ledger.open += [(*tokens, reason) for tokens in ledger.ports.pop(None).tokens]
    for family in ("C", "A"):
        _settle_numbers(ledger, family)
    for together in ledger.combinations:
        for name in together.names:
            ledger.entry(name)
    if len(set(ledger.totals.values())) > 1:
        ledger.open += [(*tokens, "one of several totals") for tokens in ledger.totals]
        ledger.totals.clear()
    for start, end in _contradictions(ledger.inputs):
        ledger.open.append((start, end, "one of several inputs"))
        ledger.input_complete = False


def _settle_numbers(ledger: Ledger, family: str) -> None:
    """USB-C beside C1 and C2 may be one of them or another."""
    in_use = [name for one in ledger.combinations for name in one.names]
    names = {name for name in (*ledger.ports, *in_use) if name is not None and name.family == family}
    bare = {name for name in names if name.number is None}
    if not bare or bare == names:
        return
    reason = f"a port {family} without a number, on a label that numbers such ports"
    for name in bare & set(ledger.ports):
        ledger.open += [(*tokens, reason) for tokens in ledger.ports.pop(name).tokens]
    doubtful = [one for one in ledger.combinations if bare & set(one.names)]
    ledger.open += dict.fromkeys((one.start, one.end, reason) for one in doubtful)
    ledger.combinations = [one for one in ledger.combinations if one not in doubtful]
    ledger.combinations_complete &= not doubtful


def _contradictions(inputs: list[tuple[int, int, dict[str, object]]]) -> list[tuple[int, int]]:
    """Where an input is said that differs from another one; these are taken away."""
    seen: dict[str, set[object]] = {}
    for _, _, fields in inputs:
        for name, value in fields.items():
            seen.setdefault(name, set()).add(value)
    several = {name for name, found in seen.items() if len(found) > 1}
    doubtful = [one for one in inputs if several & set(one[2])]
    for one in doubtful:
        inputs.remove(one)
    return [(start, end) for start, end, _ in doubtful]


def port_id(name: Key) -> str:
    """A port's name inside a record.

    Examples
    --------
    >>> port_id(PortName("C", None, "USB-C")), port_id(PortName("USB", 2, "USB 2")), port_id(None)
    ('C1', 'USB2', '')
    """
    if name is None:
        return ""
    return f"{name.family}{1 if name.number is None else name.number}"


def reading_of(ledger: Ledger, spans: dict[str, tuple[Span, ...]]) -> LabelReading:
    """The frozen reading."""
    ports = tuple(
        PortReading(
            port_id(key), key.connector if key else None, key.printed if key else None, entry.offers, entry.power_w,
            entry.complete,
        )
        for key, entry in ledger.ports.items()
        if key is not None or entry.tokens or not entry.complete
    )  # fmt: skip
    fields = {name: value for _, _, found in ledger.inputs for name, value in found.items()}
    return LabelReading(
        input=LabelInput(**fields) if fields else None,
        ports=ports,
        combinations=tuple(dict.fromkeys(one.combination for one in ledger.combinations)),
        total_power_w=next(iter(ledger.totals.values()), None),
        efficiency_level=ledger.level,
        input_complete=ledger.input_complete,
        combinations_complete=ledger.combinations_complete,
        **spans,
    )
