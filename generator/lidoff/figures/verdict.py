"""What the parts of a record say about one stage of the conversion: never more than "consistent with"."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Confidence = Literal["high", "medium", "undetermined"]
CONFIDENCE_WORDS: Mapping[Confidence, str] = {
    "high": "well supported by the parts",
    "medium": "another reading of the parts is possible",
    "undetermined": "undetermined",
}

MOST_NAMED = 6


@dataclass(frozen=True, slots=True)
class Verdict:
    """A reading of one stage.

    ``claim`` is the field of the conversion that it is about, ``fits`` are the words of that field's vocabulary that
    the parts are consistent with, the most telling one first; none where the reading is undetermined. ``because`` gives
    the reasons in words, ``refs`` the parts that they rest on.
    """

    claim: str
    fits: tuple[str, ...]
    confidence: Confidence
    because: tuple[str, ...]
    refs: tuple[str, ...] = ()

    @property
    def is_determined(self) -> bool:
        """Whether the parts say anything."""
        return self.confidence != "undetermined"

    @property
    def text(self) -> str:
        """The verdict and its reasons in one sentence without a full stop."""
        reasons, sure = "; ".join(self.because), CONFIDENCE_WORDS[self.confidence]
        if not self.is_determined:
            return f"{sure}: {reasons}"
        return f"consistent with {' or '.join(self.fits)}, because {reasons} ({sure})"


def undetermined(claim: str, why: str, refs: tuple[str, ...] = ()) -> Verdict:
    """A stage of which the parts say too little."""
    return Verdict(claim, (), "undetermined", (why,), refs)


def named(refs: tuple[str, ...]) -> str:
    """Short names as people list them.

    Examples
    --------
    >>> named(("Q1", "Q2", "C7")), named(("Q1", "Q2", "Q3", "Q4", "Q5", "Q6", "Q7"))
    ('Q1, Q2 and C7', 'Q1, Q2, Q3, Q4, Q5 and 2 more')
    """
    if len(refs) > MOST_NAMED:
        refs = (*refs[: MOST_NAMED - 1], f"{len(refs) - MOST_NAMED + 1} more")
    return " and ".join(part for part in (", ".join(refs[:-1]), *refs[-1:]) if part)
