"""A structured label rendered in some way of writing and read back gives the same structure; any other text is told."""

import re
from dataclasses import dataclass, replace

from hypothesis import given
from hypothesis import strategies as st

from lidoff.bench.label_text import Combination, PortReading, read_label
from lidoff.record.model.label import LabelInput, Offer

PROTOCOL = "Gallop Charge"
FULL_WIDTH = {ord(sign): ord(sign) + 0xFEE0 for sign in "0123456789AVWHz:/(),=+~."}
CENTS = st.integers(50, 500).map(lambda hundredths: hundredths / 100)


@dataclass(frozen=True)
class Style:
    """One way of writing a label."""

    unit_gap: str
    between: str
    apart: str
    to: str
    comma: bool
    words: tuple[str, str, str]
    colon: str
    port: str
    range_units: bool
    full_width: bool

    def number(self, value: float, always_decimals: bool = False) -> str:
        text = f"{value:.1f}" if always_decimals and value == int(value) else f"{value:g}"
        return text.replace(".", ",") if self.comma else text

    def quantity(self, value: float, unit: str) -> str:
        return f"{self.number(value)}{self.unit_gap}{unit}"

    def range(self, low: float, high: float) -> str:
        inner = f"{self.unit_gap}V" if self.range_units else ""
        return f"{self.number(low)}{inner}{self.to}{self.quantity(high, 'V')}"


STYLES = st.builds(
    Style,
    unit_gap=st.sampled_from(["", " ", "\u00a0", "\u2009", "\u202f"]),
    between=st.sampled_from(["⎓", " ⎓ ", "=", "-", " - ", "/", ", ", " ", "–", "═", "---", " x "]),
    apart=st.sampled_from([" / ", "/", "; ", " | ", " · ", ", ", " ", " or ", "\n"]),
    to=st.sampled_from(["-", "–", "~", "...", "…", " - ", " to ", " bis "]),
    comma=st.booleans(),
    words=st.sampled_from(
        [("INPUT", "OUTPUT", "Total"), ("Eingang", "Ausgang", "Gesamt"), ("Entrée", "Sortie", "Total"),
         ("ENTRADA", "SALIDA", "TOTAL"), ("输入", "输出", "总"), ("入力", "出力", "合計"), ("입력", "출력", "총"),
         ("INPUT/Eingang", "OUTPUT/Ausgang", "total")]
    ),
    colon=st.sampled_from([": ", ":", " : "]),
    port=st.sampled_from(["", "USB-", "Type-", "USB Type-"]),
    range_units=st.booleans(),
    full_width=st.booleans(),
)  # fmt: skip

INPUTS = st.builds(
    LabelInput,
    voltage_min_v=st.sampled_from([100.0, 200.0, 220.0]),
    voltage_max_v=st.sampled_from([240.0, 250.0]),
    frequencies_hz=st.sampled_from([(50.0, 60.0), (50.0,), (60.0,)]),
    current_a=st.integers(1, 40).map(lambda tenths: tenths / 10),
)
FIXED = st.builds(
    lambda volts, amps: Offer("fixed", voltage_v=volts, current_a=amps),
    st.sampled_from([5.0, 9.0, 12.0, 15.0, 20.0, 28.0]), CENTS,
)  # fmt: skip
RANGES = st.builds(
    lambda kind, high, amps: Offer(kind, voltage_min_v=3.3, voltage_max_v=high, current_a=amps),
    st.sampled_from(["pps", "avs"]), st.sampled_from([11.0, 16.0, 21.0]), CENTS,
)  # fmt: skip
PROPRIETARY = st.builds(
    lambda volts, amps: Offer("proprietary", voltage_v=volts, current_a=amps, protocol=PROTOCOL),
    st.sampled_from([9.0, 11.0]), CENTS,
)  # fmt: skip


@st.composite
def offers(draw: st.DrawFn) -> tuple[Offer, ...]:
    """Fixed outputs, then ranges, then one under a proprietary protocol."""
    fixed = draw(st.lists(FIXED, min_size=1, max_size=5, unique_by=lambda offer: offer.voltage_v))
    ranges = draw(st.lists(RANGES, max_size=2, unique=True))
    return (*sorted(fixed, key=lambda offer: offer.voltage_v), *ranges, *draw(st.lists(PROPRIETARY, max_size=1)))


def offer_text(offer: Offer, style: Style) -> str:
    is_one = offer.voltage_v is not None
    volts = style.quantity(offer.voltage_v, "V") if is_one else style.range(offer.voltage_min_v, offer.voltage_max_v)
    name = {"fixed": "", "proprietary": f"{PROTOCOL}: "}.get(offer.kind, f"{offer.kind.upper()}: ")
    return f"{name}{volts}{style.between}{style.quantity(offer.current_a, 'A')}"


def list_text(some: tuple[Offer, ...], style: Style) -> str:
    return style.apart.join(offer_text(offer, style) for offer in some)


def input_text(found: LabelInput, style: Style) -> str:
    hertz = "/".join(style.number(value) for value in found.frequencies_hz)
    volts = style.range(found.voltage_min_v, found.voltage_max_v)
    return f"{style.words[0]}{style.colon}{volts}~ {hertz}{style.unit_gap}Hz {style.quantity(found.current_a, 'A')}"


def printed(text: str, style: Style) -> str:
    return text.translate(FULL_WIDTH) if style.full_width else text


@given(INPUTS, offers(), STYLES)
def test_one_output(found: LabelInput, some: tuple[Offer, ...], style: Style) -> None:
    text = printed(f"{input_text(found, style)} {style.words[1]}{style.colon}{list_text(some, style)}", style)
    reading = read_label(text, [PROTOCOL])
    assert reading.not_understood == (), text
    assert reading.input == found
    assert reading.ports == (PortReading("", offers=some),)


@given(st.lists(offers(), min_size=2, max_size=3), st.data(), STYLES)
def test_several_ports_and_what_they_share(lists: list[tuple[Offer, ...]], data: st.DataObject, style: Style) -> None:
    names = ["C1", "C2", "A1"][: len(lists)]
    shown = [f"{style.port if name[0] == 'C' else style.port and 'USB-'}{name}" for name in names]
    watts = data.draw(st.lists(st.integers(5, 140).map(float), min_size=len(names), max_size=len(names)))
    pieces = [f"{name}{style.colon}{list_text(some, style)}" for name, some in zip(shown, lists, strict=True)]
    pieces.append(f"{'+'.join(shown)}{style.colon}{' + '.join(style.quantity(value, 'W') for value in watts)}")
    pieces.append(f"{style.words[2]}{style.colon}{style.quantity(sum(watts), 'W')}")
    text = printed(f"{style.words[1]}{style.colon}" + " ".join(pieces), style)
    reading = read_label(text, [PROTOCOL])
    assert reading.not_understood == (), text
    assert [(port.id, port.offers, port.complete) for port in reading.ports] == [
        (name, some, True) for name, some in zip(names, lists, strict=True)
    ]
    assert reading.combinations == (Combination(tuple(names), tuple(watts)),)
    assert (reading.total_power_w, reading.combinations_complete) == (sum(watts), True)


PIECES = st.sampled_from(
    ["INPUT", "OUTPUT", "100-240V~", "50/60Hz", "5V", "3A", "⎓", "=", "/", ",", ";", "(", ")", "+", ":", "C1", "USB-A",
     "65W", "Max", "Total", "PPS", "3.3-21V", "Turbo", "Made in", "VI", "±5%", "or", "&", "each", "\n", "Slipstream",
     "½", "0,5", ".5"]
)  # fmt: skip


@given(st.lists(PIECES, max_size=30).map(" ".join) | st.lists(PIECES, max_size=20).map("".join) | st.text(max_size=200))
def test_every_text_is_read_or_told_at_its_place(text: str) -> None:
    reading = read_label(text, ["Slipstream"], ["Made"])
    for span in (*reading.left_aside, *reading.not_understood):
        assert text[span.start : span.end] == span.text != "" and span.reason
    ends = [(span.start, span.end) for span in reading.not_understood]
    assert all(before[1] <= after[0] for before, after in zip(ends, ends[1:], strict=False)), ends


VALUES = {"100-240V~": 240.0, "50/60Hz": 60.0, "5V": 5.0, "3A": 3.0, "65W": 65.0, "3.3-21V": 21.0}


@given(st.lists(PIECES.filter(lambda piece: piece not in (".5", "0,5", "½", "±5%")), max_size=20))
def test_no_quantity_is_lost(pieces: list[str]) -> None:
    """Each is a part of what was read or of what is told."""
    text = " ".join(pieces)
    reading = read_label(text, ["Slipstream"], ["Made"])
    spans = (*reading.left_aside, *reading.not_understood)
    read = set(re.findall(r"[0-9.]+", repr(replace(reading, left_aside=(), not_understood=()))))
    at = 0
    for piece in pieces:
        at = text.index(piece, at)
        is_told = any(span.start <= at < span.end for span in spans)
        assert piece not in VALUES or is_told or str(VALUES[piece]) in read, (piece, at)
        at += len(piece)


@given(offers(), STYLES, st.data())
def test_unknown_words_are_never_lost_beside_an_output(
    some: tuple[Offer, ...], style: Style, data: st.DataObject
) -> None:
    """Such words are told, and no output beside them is taken for a plain one."""
    shown = [offer_text(offer, style) for offer in some]
    place = data.draw(st.integers(0, len(shown) - 1))
    shown[place] += " Turbo"
    reading = read_label(f"{style.words[1]}{style.colon}" + " / ".join(shown), [PROTOCOL])
    assert any("Turbo" in span.text for span in reading.not_understood)
    assert all(some[place] not in port.offers for port in reading.ports)
    assert all(not port.complete for port in reading.ports)


def test_a_text_without_anything_and_one_that_is_too_long() -> None:
    for text in ("", " \n", "\u200b"):
        assert read_label(text) == read_label("")
        assert read_label(text).not_understood == ()
    (span,) = read_label("5V⎓3A " * 400).not_understood
    assert (span.start, span.end, span.reason) == (0, 2400, "a text of 2,400 characters; a label has up to 2,000")
