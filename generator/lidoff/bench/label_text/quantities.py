"""A quantity of a label: one number, a range or a list, with its unit and what is said of it."""

from typing import Literal, NamedTuple

from lidoff.bench.label_text.normalise import DC
from lidoff.bench.label_text.tokens import ELLIPSIS, Cursor, Token
from lidoff.bench.label_text.words import MAX, RANGE

Unit = Literal["v", "a", "w", "hz"]

_UNITS: dict[str, tuple[Unit, str, float]] = {
    "v": ("v", "", 1), "vac": ("v", "ac", 1), "vdc": ("v", "dc", 1), "volt": ("v", "", 1), "volts": ("v", "", 1),
    "a": ("a", "", 1), "ma": ("a", "", 0.001), "adc": ("a", "", 1), "amp": ("a", "", 1), "amps": ("a", "", 1),
    "w": ("w", "", 1), "watt": ("w", "", 1), "watts": ("w", "", 1), "hz": ("hz", "", 1),
}  # fmt: skip
_UNIT_WORDS: dict[str, tuple[Unit, frozenset[str], float]] = {
    text + ending: (unit, frozenset(filter(None, (kind, said))), factor)
    for text, (unit, kind, factor) in _UNITS.items()
    for ending, said in (("", ""), ("max", "max"), ("maximum", "max"))
}
"""Units with what their word says besides: AC or DC, and Max where it is written as one with it."""
_CURRENT_KINDS = frozenset(("ac", "dc"))
_FIRST_LETTERS = frozenset("ad")
QUANTITY_BEGINS = _CURRENT_KINDS | MAX | {"~", DC}
"""What a quantity may begin with instead of its number."""
_JOINTS = RANGE | {"-", "~", ELLIPSIS, "/"}
_MAY_FOLLOW = _CURRENT_KINDS | _FIRST_LETTERS | MAX | {"~", "±", "("}
"""What may stand behind the numbers and be of the quantity still."""
_USUAL_VOLTAGES = frozenset(("5", "9", "12", "15", "20", "28", "36", "48"))


class Quantity(NamedTuple):
    """Numbers with one unit, in V, A, W or Hz.

    ``joint`` says how several numbers hang together; ``step`` is the last printed digit's worth. ``doubt`` says why the
    numbers can't be told for sure; ``tolerance`` is the place of a tolerance, as tokens. A whole number has no step: 3A
    is not a rounded 2.6A.
    """

    unit: Unit
    values: tuple[float, ...]
    step: float
    start: int
    end: int
    joint: Literal["", "range", "list"] = ""
    alternating: bool = False
    direct: bool = False
    maximum: bool = False
    doubt: str = ""
    tolerance: tuple[int, int] | None = None

    @property
    def low(self) -> float:
        """The lowest number."""
        return min(self.values)

    @property
    def high(self) -> float:
        """The highest number."""
        return max(self.values)


class _Chain(NamedTuple):
    """Numbers joined by dashes or slashes, as tokens, and what their units say."""

    numbers: tuple[Token, ...]
    joints: tuple[str, ...]
    unit: Unit
    factor: float
    said: frozenset[str]


def parse_quantity(cursor: Cursor) -> Quantity | None:
    """The quantity at the cursor, which is moved behind it; None, with the cursor unmoved, where there is none."""
    start = cursor.at
    if start not in cursor.known:
        cursor.known[start] = _parsed(cursor)
    quantity = cursor.known[start]
    cursor.at = start if quantity is None else quantity.end
    return quantity


def _parsed(cursor: Cursor) -> Quantity | None:
    start = cursor.at
    said = _lead(cursor)
    chain = _chain(cursor)
    if chain is None:
        return None
    said |= chain.said
    tolerance, following = None, cursor.peek()
    if following is not None and following.text in _MAY_FOLLOW:
        said |= _tail(cursor, chain.unit)
        tolerance = _tolerance(cursor)
        said |= _maximum(cursor, chain.unit)
    values, doubt = _values(chain)
    decimals = chain.numbers[-1].decimals
    return Quantity(
        unit=chain.unit,
        values=values,
        step=chain.factor * 10.0**-decimals if decimals else 0.0,
        start=start,
        end=cursor.at,
        joint=_joint(chain),
        alternating="ac" in said,
        direct="dc" in said,
        maximum="max" in said,
        doubt=doubt,
        tolerance=tolerance,
    )


def unit_ahead(cursor: Cursor, ahead: int) -> Unit | None:
    """The unit that numbers some places ahead turn out to have; None where they have none."""
    while cursor.is_number(ahead):
        unit = _unit_at(cursor, ahead + 1)
        if unit is not None:
            return unit[0]
        if not _is_joint(cursor, ahead + 1):
            return None
        ahead += 2
    return None


def _lead(cursor: Cursor) -> frozenset[str]:
    """What stands before the numbers: AC, DC, a wave or Max."""
    said = set()
    while not cursor.is_number():
        if cursor.is_word(_CURRENT_KINDS):
            said.add(cursor.peek().text)
            cursor.at += 1
            cursor.skip_sign(":")
        elif cursor.is_sign("~"):
            said.add("ac")
            cursor.at += 1
        elif cursor.is_sign(DC):
            said.add("dc")
            cursor.at += 1
        elif cursor.is_word(MAX):
            said.add("max")
            cursor.skip_word(MAX)
            cursor.skip_sign(":")
        else:
            break
    return frozenset(said)


def _unit_at(cursor: Cursor, ahead: int) -> tuple[Unit, frozenset[str], float] | None:
    """Unit, what it says besides, and factor of the word some places ahead."""
    word = cursor.peek(ahead)
    unit = _UNIT_WORDS.get(word.text) if word is not None else None
    if unit is None or word.glued:
        return unit
    following = cursor.peek(ahead + 1)
    is_name = following is not None and following.glued and following.kind == "number"
    return None if is_name else unit  # a name such as A1 after a lone number


def _is_joint(cursor: Cursor, ahead: int) -> bool:
    token = cursor.peek(ahead)
    is_joint = token is not None and (token.text in _JOINTS or (token.text == "a" and token.raw == "à"))
    return is_joint and cursor.is_number(ahead + 1)


def _chain(cursor: Cursor) -> _Chain | None:
    unit = unit_ahead(cursor, 0)
    if unit is None:
        return None
    numbers, joints, said, factor = [cursor.peek()], [], frozenset(), 1.0
    cursor.at += 1
    while True:
        own = _unit_at(cursor, 0)
        if own is not None:
            cursor.at += 1
            said, factor = said | own[1], own[2]
        if not _goes_on(cursor, unit, own is not None):
            return _Chain(tuple(numbers), tuple(joints), unit, factor, said)
        joints.append(cursor.peek().text)
        numbers.append(cursor.peek(1))
        cursor.at += 2


def _goes_on(cursor: Cursor, unit: Unit, has_unit: bool) -> bool:
    """Whether a joint and a further number of the same unit follow."""
    if not _is_joint(cursor, 0) or unit_ahead(cursor, 1) != unit:
        return False
    # 5V/9V are two items of a list, 5/9V is one with two numbers
    return not (has_unit and cursor.is_sign("/") and unit != "hz")


def _joint(chain: _Chain) -> Literal["", "range", "list"]:
    if not chain.joints:
        return ""
    return "list" if set(chain.joints) == {"/"} else "range"


def _values(chain: _Chain) -> tuple[tuple[float, ...], str]:
    """The numbers, and why they are in doubt."""
    values, doubt = [], ""
    for number in chain.numbers:
        if number.text.count(",") + number.text.count(".") > 1:
            return (0.0,), f"{number.raw} may be one number or several"
        if number.text.isdigit():
            values.append(float(number.text))
            continue
        if number.text.startswith("."):
            values.append(float(f"0{number.text}"))
            continue
        values.append(float(number.text.replace(",", ".")))
        doubt = doubt or _comma_doubt(number, chain)
    values = [round(value * chain.factor, 9) for value in values]
    if _joint(chain) == "range" and (len(values) != 2 or values[0] >= values[1]):
        doubt = doubt or "a range from a lower to a higher number is expected"
    return tuple(values), doubt


def _comma_doubt(number: Token, chain: _Chain) -> str:
    """Why a number with a comma may be two, or a thousand times as much."""
    whole, comma, rest = number.text.partition(",")
    is_list = chain.unit == "v" and not chain.joints and {whole, rest} <= _USUAL_VOLTAGES
    if comma and (is_list or chain.unit == "hz"):
        return f"{number.raw} may be one number with a decimal comma, or two"
    if chain.factor != 1 and number.decimals == 3:
        return f"{number.raw} may be a decimal number, or have its thousands set apart"
    return ""


def _tail(cursor: Cursor, unit: Unit) -> frozenset[str]:
    """What stands behind the numbers: AC, DC, a wave, d.c."""
    if unit != "v":
        return frozenset()
    if cursor.is_word(_FIRST_LETTERS):
        letters = "".join(token.text for token in cursor.tokens[cursor.at : cursor.at + 4])
        if letters.startswith(("a.c", "d.c")):
            cursor.at += 4 if letters.endswith(".") else 3
            return frozenset((letters[0] + "c",))
    if cursor.is_word(_CURRENT_KINDS):
        word = cursor.peek().text
        # the AC or DC of the next quantity stands closer to that one
        if not (cursor.peek(1) is not None and cursor.peek(1).glued and cursor.is_number(1)):
            cursor.at += 1
            return frozenset((word,))
    if cursor.is_sign("~"):
        cursor.at += 1
        return frozenset(("ac",))
    return frozenset()


def _tolerance(cursor: Cursor) -> tuple[int, int] | None:
    """The place of a tolerance such as ±5%, which is passed."""
    start = cursor.at
    if cursor.is_sign("±") and cursor.is_number(1):
        cursor.at += 2
        if cursor.is_sign("%") or _unit_at(cursor, 0) is not None:
            cursor.at += 1
            return start, cursor.at
        cursor.at = start
    return None


def _maximum(cursor: Cursor, unit: Unit) -> frozenset[str]:
    """Whether Max follows and belongs to this quantity, not to a power behind it."""
    start = cursor.at
    opened = cursor.skip_sign("(")
    if not cursor.is_word(MAX):
        cursor.at = start
        return frozenset()
    cursor.skip_word(MAX)
    closed = cursor.skip_sign(")")
    lead = cursor.fork()
    lead.skip_sign(":")
    if opened != closed and (opened or closed):
        if not closed:
            cursor.at = start
            return frozenset()
        cursor.at -= 1  # the bracket round the whole quantity is closed by whoever opened it
    if unit != "w" and not opened and unit_ahead(lead, 0) == "w":
        cursor.at = start
        return frozenset()
    return frozenset(("max",))
