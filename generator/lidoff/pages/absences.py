"""The words for what a page can't say, everywhere the same: each says which kind of gap it is."""

from collections.abc import Iterable
from types import MappingProxyType

from lidoff.figures.figure import Figure
from lidoff.rows.positions import NONE, NOT_RECORDED, UNDETERMINED
from lidoff.rows.tiers import NOT_STATED

NOT_MEASURED = "not measured"
NOT_JUDGED = "not judged"
DOES_NOT_APPLY = "does not apply"
REACHES_ZERO = "reaches zero"

MEANINGS = MappingProxyType({
    NOT_STATED: "the record quotes no label, seller or brand for it",
    NOT_MEASURED: "a bench could tell, and the record has no measurement from which it follows",
    NOT_JUDGED: "it was measured, but not as the published test asks, or that test has no limit for it",
    UNDETERMINED: "the reviewer looked, and what was seen leaves it open",
    DOES_NOT_APPLY: "there is no such thing here, or the figure is not meant for such a case",
    NOT_RECORDED: "the record does not say it, nor whether anybody looked",
    NONE: "looked for, and not there",
    REACHES_ZERO: "in the model, the capacitor can't carry the rated power to the next half wave",
})  # fmt: skip

# pieces of the reasons in figures/, the most telling first: what was never measured can't be judged either
_REASONS = (
    (NOT_STATED, ("no rated power", "no price", "label's outputs")),
    (NOT_MEASURED, (
        "no efficiency point", "needs points", "no no-load power", "no mass", "no size", "no long run", "end of the run",
        "no log of a charge", "was looked for", "not captured", "readings, fewer", "end of a cable, whose",
        "size has the plug", "no two equal diameters", "the air temperature", "no turns", "primary inductance",
    )),
    (NOT_JUDGED, ("not judged:",)),
    (REACHES_ZERO, ("the bus reaches zero",)),
    (DOES_NOT_APPLY, (
        "holds the bus", "is a notion of", "no port has a USB Type-C", "labelled input of", "is worked out for",
        "of a used unit", "nothing was paid", "lead to protective earth", "advertised no", "advertised nothing", "not for a forward converter",
    )),
    (UNDETERMINED, (
        "not determined", "does not hold", "is not above", "reaches the rating", "is not known", "is even",
        "fault of measurement",
    )),
)  # fmt: skip


def absence_of(figures: Iterable[Figure]) -> str:
    """The word for figures of one kind that are all absent: that of the first with a reason."""
    reason = next((figure.absent for figure in figures if figure.absent), "")
    return next((word for word, pieces in _REASONS if any(piece in reason for piece in pieces)), NOT_RECORDED)


def gaps_text(words: Iterable[str]) -> str:
    """How many gaps of each kind, in the order in which they stand.

    Examples
    --------
    >>> gaps_text(["not measured", "not judged", "not measured"]), gaps_text(["does not apply"] * 2), gaps_text([])
    ('2 not measured, 1 not judged', '2 do not apply', '')
    """
    found: dict[str, int] = {}
    for word in words:
        found[word] = found.get(word, 0) + 1
    return ", ".join(f"{number} {_plural(word) if number > 1 else word}" for word, number in found.items())


def _plural(word: str) -> str:
    return "do not apply" if word == DOES_NOT_APPLY else word
