"""Words of a parts table -> words of the record's vocabularies, and what stands for an empty cell."""

import re
from collections.abc import Mapping, Sequence

from lidoff.record import nearest
from lidoff.record.schema import shape_at

BLANK = frozenset(("", "-", "–", "—", "n/a", "na", "n.a.", "unknown"))

# short names of the trade that mean one role and no other (common practice, no source)
_ROLES: Mapping[str, str] = {
    "xcap": "x-capacitor", "ycap": "y-capacitor", "bulkcap": "bulk-capacitor", "outputcap": "output-capacitor",
    "cmchoke": "common-mode-choke", "cmc": "common-mode-choke", "dmchoke": "differential-mode-choke",
    "mov": "varistor", "bridge": "bridge-rectifier", "opto": "optocoupler", "srfet": "sync-rectifier",
    "srcontroller": "sync-rectifier-controller", "pdcontroller": "protocol-controller", "tvs": "surge-suppressor",
    "shuntregulator": "feedback-regulator", "sense": "current-sense-resistor",
}  # fmt: skip


def is_blank(text: str) -> bool:
    """Whether a cell says nothing."""
    return text.strip().casefold() in BLANK


def form(text: str) -> str:
    """A word without what people write one way or another: case, blanks, hyphens."""
    return re.sub(r"[\s_-]+", "", text.casefold())


def role(text: str) -> str | None:
    """The role that a word names; None where it names none, or more than one."""
    return word(text, shape_at("components[0].roles[0]").schema["enum"]) or _ROLES.get(form(text))


def word(text: str, known: Sequence[str]) -> str | None:
    """The word of a vocabulary that a text is, however it is written; None where it is none.

    Examples
    --------
    >>> word("Bulk Capacitor", ["bulk-capacitor", "fuse"]), word("bulk", ["bulk-capacitor"])
    ('bulk-capacitor', None)
    """
    if text in known:
        return text
    return next((one for one in known if form(one) == form(text)), None)


def offered(text: str, known: Sequence[str]) -> str:
    """What to do about a word that a vocabulary does not have."""
    near = nearest.words(text, known)
    return f"did you mean {' or '.join(near)}?" if near else "write one of the vocabulary's words"
