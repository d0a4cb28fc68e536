"""Outputs and powers: a voltage with its current, or a power with what is said of it."""

from lidoff.bench.label_text.normalise import DC
from lidoff.bench.label_text.phrases import Output, Power, Single
from lidoff.bench.label_text.quantities import QUANTITY_BEGINS, Quantity, parse_quantity
from lidoff.bench.label_text.tokens import Cursor, Token
from lidoff.bench.label_text.words import EACH, INPUT, MAX, OUTPUT, POWER, RATED, TOTAL

_BETWEEN = (DC, "=", "-", "/", ",", "|", "@", "x", ":")
"""Signs between a voltage and its current."""
_MOST_BETWEEN = 2
_LEADS = {
    word: name
    for name, words in (
        ("rated", RATED), ("power", POWER), ("input", INPUT), ("output", OUTPUT), ("max", MAX), ("total", TOTAL)
    )
    for word in words
}  # fmt: skip
"""What each word before a power says; the last of several meanings counts."""
POWER_BEGINS = QUANTITY_BEGINS | _LEADS.keys() | {"(", "["}


def parse_power(cursor: Cursor) -> Power | None:
    """A power with what is said of it, before it or behind it, perhaps in brackets."""
    start = cursor.at
    opened = cursor.skip_sign("(", "[")
    if opened:
        cursor.skip_sign("=")
    lead = _power_lead(cursor)
    quantity = parse_quantity(cursor)
    if quantity is None or quantity.unit != "w":
        return None
    each = False
    while True:
        if _says_total(cursor):
            lead |= {"total"}
        elif cursor.skip_word(MAX):
            quantity = quantity._replace(maximum=True)
        elif not each and cursor.skip_word(EACH):
            each = True
        else:
            break
    if opened and not cursor.skip_sign(")", "]"):
        return None
    return Power(start, cursor.at, quantity, lead, opened, each)


def _says_total(cursor: Cursor) -> bool:
    """Pass Total behind a power, unless it begins the next one."""
    if not cursor.is_word(TOTAL) or _power_lead(cursor.fork()):
        return False
    return cursor.skip_word(TOTAL)


def _power_lead(cursor: Cursor) -> frozenset[str]:
    """Pass words such as Total output power: and say what they tell; nothing where no power follows them."""
    start, said = cursor.at, set()
    while found := _lead_word(cursor):
        said.add(found)
    if not said:
        return frozenset()
    if not cursor.skip_sign(":"):
        cursor.skip_sign("=")
    quantity = parse_quantity(cursor.fork())
    is_power = quantity is not None and quantity.unit == "w"
    # INPUT or OUTPUT alone heads a section, and Max alone belongs to the number
    tells = said & {"total", "power"} or {"max", "output"} <= said
    if not is_power or not tells:
        cursor.at = start
        return frozenset()
    return frozenset(said - {"max", "rated"})


def _lead_word(cursor: Cursor) -> str:
    token = cursor.peek()
    name = _LEADS.get(token.text, "") if token is not None else ""
    return name if name and cursor.skip_word(frozenset((token.text,))) else ""


def parse_output(cursor: Cursor) -> Output | None:
    """A voltage and the current behind it."""
    start = cursor.at
    voltage = parse_quantity(cursor)
    if voltage is None or voltage.unit != "v":
        return None
    if voltage.alternating:
        return Output(start, cursor.at, voltage)
    current = _current_behind(cursor)
    each = current is not None and cursor.skip_word(EACH)
    return Output(start, cursor.at, voltage, current, each)


def _current_behind(cursor: Cursor) -> Quantity | None:
    at = cursor.at
    while cursor.at - at < _MOST_BETWEEN and _is_between(cursor.peek()):
        cursor.at += 1
    quantity = parse_quantity(cursor)
    if quantity is None or quantity.unit != "a":
        cursor.at = at
        return None
    return quantity


def _is_between(token: Token | None) -> bool:
    return token is not None and token.kind != "number" and token.text in _BETWEEN


def parse_single(cursor: Cursor) -> Single | None:
    """A current or frequencies by themselves."""
    quantity = parse_quantity(cursor)
    return Single(quantity.start, cursor.at, quantity) if quantity and quantity.unit in ("a", "hz") else None
