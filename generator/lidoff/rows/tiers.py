"""Power tiers: inclusive upper limits on the rated power, and what each is called."""

import re
from collections.abc import Sequence

UNKNOWN = "unknown"
NOT_STATED = "not stated"
_WORD = re.compile(r"(?<![\w.-])(\d+)-(\d+ W)\b")
_TEXT = re.compile(r"(?<![\w.-])(\d+)–(\d+ W)\b")


def tier_label(rated_power_w: float | None, tiers_w: Sequence[float]) -> str:
    """The tier of a rated power: the first whose limit it does not exceed."""
    if rated_power_w is None:
        return UNKNOWN
    for place, limit in enumerate(tiers_w):
        if rated_power_w <= limit:
            return _label(tiers_w[place - 1] if place else None, limit)
    return _above(tiers_w[-1])


def tier_labels(tiers_w: Sequence[float]) -> tuple[str, ...]:
    """Every tier in rising order, with the one above the last limit and the unknown one."""
    below = (None, *tiers_w)
    return (*(_label(lower, limit) for lower, limit in zip(below, tiers_w, strict=False)), _above(tiers_w[-1]), UNKNOWN)


def tier_slug(label: str) -> str:
    """The tier as its address writes it: ``46-67 W`` is ``46-67-w``."""
    return re.sub(r"[^a-z0-9]+", "-", label.lower()).strip("-")


def tier_text(text: str) -> str:
    """The tiers in a text as people read them; addresses and files of data keep the words.

    Examples
    --------
    >>> tier_text("GaN, 46-67 W"), tier_text("up to 20 W"), tier_text("unknown")
    ('GaN, 46–67 W', 'up to 20 W', 'not stated')
    """
    return NOT_STATED if text == UNKNOWN else _WORD.sub("\\1–\\2", text)


def tier_word(text: str) -> str:
    """The word of a tier that is shown: the reverse of `tier_text`."""
    return UNKNOWN if text == NOT_STATED else _TEXT.sub("\\1-\\2", text)


def _label(lower: float | None, limit: float) -> str:
    """Whole limits read as a range of whole watts; others say exactly what they mean."""
    if lower is None:
        return f"up to {limit:g} W"
    if float(lower).is_integer() and float(limit).is_integer() and lower + 1 < limit:
        return f"{lower + 1:g}-{limit:g} W"
    return f"over {lower:g} to {limit:g} W"


def _above(limit: float) -> str:
    return f"over {limit:g} W"
