"""Claims of rank against the knowledge base: the first, the smallest, lighter than another."""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.figures.rows import measured
from lidoff.narration.proof.passage import Disagreement, Span
from lidoff.rows.tiers import tier_label

Measure = Callable[[Entry], float | None]


@dataclass(frozen=True, slots=True)
class Rank:
    """A quality that products can be put in order by; ``sign`` is 1 where the most has it, -1 where the least."""

    name: str
    measure: Measure
    sign: int


def _figure(id: str) -> Measure:
    return lambda entry: entry.figures.value(id)


def _efficiency(entry: Entry) -> float | None:
    return max((one.value for one in entry.figures.present("average_efficiency_pct")), default=None)


def _idle(entry: Entry) -> float | None:
    return max((one.power_w for one in measured(entry.record).no_load), default=None)


_MASS: Measure = lambda entry: measured(entry.record).mass_g  # noqa: E731
_POWER: Measure = lambda entry: entry.record.product.rated_power_w  # noqa: E731
_YEAR: Measure = lambda entry: entry.record.product.launched  # noqa: E731
_PORTS: Measure = lambda entry: len(entry.record.ports)  # noqa: E731
_PRICE = _figure("price_per_watt")
RANKS = {
    "small": Rank("volume", _figure("body_volume_cm3"), -1), "tin": Rank("volume", _figure("body_volume_cm3"), -1),
    "compact": Rank("power density", _figure("power_density_w_per_cm3"), 1),
    "larg": Rank("volume", _figure("body_volume_cm3"), 1), "bigg": Rank("volume", _figure("body_volume_cm3"), 1),
    "light": Rank("mass", _MASS, -1), "heavi": Rank("mass", _MASS, 1), "heavy": Rank("mass", _MASS, 1),
    "dens": Rank("power density", _figure("power_density_w_per_cm3"), 1),
    "efficient": Rank("average efficiency", _efficiency, 1), "powerful": Rank("rated power", _POWER, 1),
    "strong": Rank("rated power", _POWER, 1), "cheap": Rank("price a watt", _PRICE, -1),
    "old": Rank("year of launch", _YEAR, -1), "new": Rank("year of launch", _YEAR, 1),
    "first": Rank("year of launch", _YEAR, -1), "latest": Rank("year of launch", _YEAR, 1),
    "frugal": Rank("no-load power", _idle, -1),
}  # fmt: skip
_WORD = r"small|tini|larg|bigg?|light|heavi|dens|strong|cheap|old|new"
_THING = (
    r"(?:(?:wall|desktop|travel|mains|phone|USB|GaN|gallium nitride|[\w.-]+[- ]watt|\d+\s?W|in-line)\W+)*"
    r"(?:chargers?|adapters?|units?|products?|one|ones|of (?:its|all|our)|in (?:its|our|the)|that we|we (?:have|know)"
    r"|here\b|on record|yet\b)"
)
_MOST = re.compile(
    rf"\b(?:the|our|by far the)\W+"
    rf"(?P<claim>(?:{_WORD})est|(?:most|least) (?:efficient|powerful|compact|frugal)|first|latest|only)"
    rf"\W+(?:and \w+est\W+)?{_THING}",
    re.IGNORECASE,
)
_THAN = re.compile(
    rf"\b(?P<claim>(?:{_WORD})er|(?:more|less) (?:efficient|powerful|compact)|bigger|denser|smaller)\W+than\W+"
    r"(?:the\W+|our\W+)?(?P<other>[A-Z][\w-]*(?: [A-Z][\w-]*)?)",
    re.IGNORECASE,
)
_NEGATED = re.compile(r"\b(?:not|no|nor|neither|never|isn't|hardly)\b\W*(?:\w+\W+){0,3}$", re.IGNORECASE)
_TIER = re.compile(r"\b(?:tier|class|range|category|up to \d+|between|to \w+[- ]\w+ watts)\b", re.IGNORECASE)


def claim_faults(
    entry: Entry, entries: Sequence[Entry], tiers_w: Sequence[float], sentence: Span
) -> Iterator[Disagreement]:
    """Ranks that the knowledge base does not bear out."""
    for match in _MOST.finditer(sentence.text):
        among = _among(entry, entries, tiers_w, sentence.text)
        says = _says_most(entry, among, match["claim"].lower(), bool(_NEGATED.search(sentence.text[: match.start()])))
        if says:
            yield _fault(sentence, match, says)
    for match in _THAN.finditer(sentence.text):
        other = next((one for one in entries if match["other"] in (one.title, one.record.product.model)), None)
        rank = _rank(match["claim"].lower())
        if other is None or rank is None:
            continue
        mine, theirs = rank[0].measure(entry), rank[0].measure(other)
        negated = bool(_NEGATED.search(sentence.text[: match.start()]))
        if mine is not None and theirs is not None and ((mine - theirs) * rank[1] > 0) == negated:
            yield _fault(sentence, match, f"{rank[0].name}: {entry.title} {mine:.4g}, {other.title} {theirs:.4g}")


def _among(entry: Entry, entries: Sequence[Entry], tiers_w: Sequence[float], text: str) -> list[Entry]:
    if not _TIER.search(text):
        return list(entries)
    tier = tier_label(entry.record.product.rated_power_w, tiers_w)
    return [one for one in entries if tier_label(one.record.product.rated_power_w, tiers_w) == tier]


def _says_most(entry: Entry, among: Sequence[Entry], claim: str, negated: bool) -> str:
    rank = _rank(claim)
    if rank is None:
        return ""
    measure, sign = rank[0].measure, rank[1]
    values = sorted(
        ((value, one) for one in among if (value := measure(one)) is not None), key=lambda pair: -sign * pair[0]
    )
    own = measure(entry)
    if own is None:
        return f"no {rank[0].name} of {entry.title}"
    is_most = bool(values) and own == values[0][0]
    if is_most != negated:
        return ""
    best = values[0]
    return f"{rank[0].name}: {best[1].title} {best[0]:.4g}, {entry.title} {own:.4g}, among {len(values)} on record"


def _rank(claim: str) -> tuple[Rank, int] | None:
    """The quality of a claim, and whether more of it or less of it is claimed."""
    found = next((rank for stem, rank in RANKS.items() if stem in claim), None)
    return None if found is None else (found, -found.sign if claim.startswith(("less", "least")) else found.sign)


def _fault(sentence: Span, match: re.Match[str], says: str) -> Disagreement:
    start = sentence.start + match.start("claim")
    return Disagreement(start, start + len(match["claim"]), match["claim"], says, "claim")
