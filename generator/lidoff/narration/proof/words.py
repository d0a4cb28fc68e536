"""Words of the trade in a text against what the record says: the circuit, the case, the earth, how sure a part is."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from lidoff.narration.proof.passage import Disagreement, Span, clauses
from lidoff.record.model.record import Record

_NOT = re.compile(
    r"\b(?:not|no|nor|neither|never|without|isn't|instead of|rather than|unlike|others?)\b[^,;.]{0,25}$", re.IGNORECASE
)
_REF = re.compile(r"(?<![\w-])[A-Z]{1,3}\d{1,4}(?![\w-])")


@dataclass(frozen=True, slots=True)
class Wording:
    """A wording, the words of the record that it stands for, and where the record has them."""

    pattern: re.Pattern[str]
    stands_for: frozenset[str]
    read: Callable[[Record], tuple[str, ...]]
    field: str
    near: re.Pattern[str] | None = None


def _conversion(claim: str) -> Callable[[Record], tuple[str, ...]]:
    def read(record: Record) -> tuple[str, ...]:
        word = getattr(record.conversion, claim) if record.conversion else None
        return (word,) if word else ()

    return read


def _joint(record: Record) -> tuple[str, ...]:
    joint = record.construction.enclosure_joint if record.construction else None
    return (joint,) if joint else ()


def _potting(record: Record) -> tuple[str, ...]:
    return (record.construction.potting.extent,) if record.construction and record.construction.potting else ()


def _class(record: Record) -> tuple[str, ...]:
    return (record.product.protection_class,) if record.product.protection_class else ()


def _plug(record: Record) -> tuple[str, ...]:
    mechanism = record.product.plug.mechanism if record.product.plug else None
    return (mechanism,) if mechanism else ()


def _families(record: Record) -> tuple[str, ...]:
    found = (part.technology.partition("-")[0] for part in record.components if part.technology)
    return tuple(sorted(set(found)))


def _said(
    pattern: str, stands_for: str, read: Callable[[Record], tuple[str, ...]], field: str, near: str = ""
) -> Wording:
    close = re.compile(near, re.IGNORECASE) if near else None
    return Wording(re.compile(rf"\b(?:{pattern})\b", re.IGNORECASE), frozenset(stands_for.split()), read, field, close)


_PRIMARY, _PFC, _SECOND = (_conversion(claim) for claim in ("primary", "pfc", "secondary"))
_CASE = r"case|shell|enclosure|halves|housing|lid|body|closed|open(?:ed)?"
WORDINGS = (
    _said("quasi[- ]resonant", "flyback-quasi-resonant", _PRIMARY, "conversion.primary"),
    _said("active[- ]clamp", "flyback-active-clamp", _PRIMARY, "conversion.primary"),
    _said("zero[- ]voltage[- ]switching", "flyback-zero-voltage", _PRIMARY, "conversion.primary"),
    _said("asymmetric(?:al)? half[- ]bridge", "flyback-asymmetric-half-bridge", _PRIMARY, "conversion.primary"),
    _said("LLC|resonant half[- ]bridge", "llc-half-bridge", _PRIMARY, "conversion.primary"),
    _said("fixed[- ]frequency flyback", "flyback-fixed-frequency", _PRIMARY, "conversion.primary"),
    _said("forward converter", "forward", _PRIMARY, "conversion.primary"),
    _said("flyback", "flyback flyback-fixed-frequency flyback-quasi-resonant flyback-zero-voltage flyback-active-clamp "
          "flyback-asymmetric-half-bridge", _PRIMARY, "conversion.primary"),
    _said("(?:no|without|does without|lacks) (?:any )?(?:power factor correction|PFC)", "none", _PFC, "conversion.pfc"),
    _said("totem[- ]pole", "totem-pole", _PFC, "conversion.pfc"),
    _said("critical[- ]conduction", "boost-critical", _PFC, "conversion.pfc"),
    _said("continuous[- ]conduction", "boost-continuous", _PFC, "conversion.pfc"),
    _said("boost stage|boost PFC", "boost boost-critical boost-continuous boost-interleaved", _PFC, "conversion.pfc"),
    _said("synchronous(?:ly)? rectif\\w*", "sync-rectified sync-rectified-centre-tap sync-rectified-bridge", _SECOND,
          "conversion.secondary"),
    _said("diode rectif\\w*|Schottky (?:diode )?rectif\\w*", "diode", _SECOND, "conversion.secondary"),
    _said("ultrasonically welded|welded", "ultrasonic-weld", _joint, "construction.enclosure_joint", _CASE),
    _said("screws|screwed", "screws", _joint, "construction.enclosure_joint", _CASE),
    _said("glued", "glued", _joint, "construction.enclosure_joint", _CASE),
    _said("catches|snaps?|clips?|clipped", "snap-fit", _joint, "construction.enclosure_joint", _CASE),
    _said("(?:no|without) (?:potting|compound)|nothing (?:is|was) potted|not potted", "none", _potting,
          "construction.potting"),
    _said("(?:fully|completely) potted|potted solid", "full", _potting, "construction.potting"),
    _said("class (?:ii|two|2)|no earth|without (?:an )?earth", "ii", _class, "product.protection_class"),
    _said("class (?:i|one|1)(?! one)|earthed|needs (?:a |an )?(?:protective )?earth", "i", _class,
          "product.protection_class", "unit|plug|class|charger|strip|needs"),
    _said("fold(?:s|ing|ed)? (?:plug|pins|prongs|blades|away|into)|(?:plug|pins|prongs|blades) fold", "folding", _plug,
          "product.plug.mechanism"),
    _said("GaN|gallium[- ]nitride", "gan", _families, "components.technology"),
    _said("silicon[- ]carbide|SiC", "sic", _families, "components.technology"),
)  # fmt: skip
_FAMILY = (
    (re.compile(r"\b(?:GaN|gallium[- ]nitride)\b", re.IGNORECASE), "gan"),
    (re.compile(r"\b(?:silicon[- ]carbide|SiC)\b"), "sic"),
    (re.compile(r"\b(?:silicon(?![- ]carbide)|superjunction)\b", re.IGNORECASE), "silicon"),
)
_CERTAIN = re.compile(r"\b(?:certainly|for certain|without doubt|no doubt|undoubtedly|beyond doubt)\b", re.IGNORECASE)


def word_faults(record: Record, sentence: Span) -> Iterator[Disagreement]:
    """Words that the record contradicts; what it leaves open contradicts nothing but a claim of certainty."""
    for wording in WORDINGS:
        known = wording.read(record)
        if (
            not known
            or known == ("undetermined",)
            or set(known) & wording.stands_for
            or (wording.near and not wording.near.search(sentence.text))
        ):
            continue
        for match in wording.pattern.finditer(sentence.text):
            if not _NOT.search(sentence.text[: match.start()]):
                yield _fault(sentence, match, f"{', '.join(known)} ({wording.field})")
    for clause in clauses(sentence):
        yield from _of_part(record, clause)


def _of_part(record: Record, clause: Span) -> Iterator[Disagreement]:
    """Technology and certainty of the one part that a clause names."""
    refs = set(_REF.findall(clause.text))
    parts = [part for part in record.components if part.ref in refs]
    if len(parts) != 1:
        return
    part = parts[0]
    for pattern, family in _FAMILY:
        match = pattern.search(clause.text)
        is_other = part.technology and part.technology.partition("-")[0] not in (family, "undetermined")
        if match and is_other and not _NOT.search(clause.text[: match.start()]):
            yield _fault(clause, match, f"{part.technology} ({part.ref})")
    match = _CERTAIN.search(clause.text)
    if match and part.strength in ("likely", "guess"):
        yield _fault(clause, match, f"{part.ref} is identified as {part.strength}")


def _fault(span: Span, match: re.Match[str], says: str) -> Disagreement:
    return Disagreement(span.start + match.start(), span.start + match.end(), match.group(), says, "word")
