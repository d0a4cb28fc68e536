"""What the parts of a record say about one stage of the conversion: never more than "consistent with"."""

from dataclasses import dataclass
from typing import Literal

Confidence = Literal["high", "medium", "undetermined"]
CONFIDENCE_WORDS = {
    "high": "well supported by the parts",
    "medium": "the likeliest reading of the parts, another is possible",
    "undetermined": "undetermined",
}


@dataclass(frozen=True, slots=True)
class Verdict:
    """A reading of one stage.

    ``claim`` is the field of the conversion that it is about, ``fits`` are the words of that field's vocabulary that the
    parts are consistent with, the most telling one first; none where the reading is undetermined. ``because`` gives the
    reasons in words, ``refs`` the parts that they rest on.
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
        reasons = "; ".join(self.because)
        if not self.is_determined:
            return f"undetermined: {reasons}"
        return f"consistent with {' or '.join(self.fits)}, because {reasons}"


def undetermined(claim: str, why: str, refs: tuple[str, ...] = ()) -> Verdict:
    """A stage of which the parts say too little."""
    return Verdict(claim, (), "undetermined", (why,), refs)


def named(refs: tuple[str, ...]) -> str:
    """Designators as people list them.

    Examples
    --------
    >>> named(("Q1", "Q2", "C7"))
    'Q1, Q2 and C7'
    """
    return refs[0] if len(refs) == 1 else f"{', '.join(refs[:-1])} and {refs[-1]}" if refs else ""
