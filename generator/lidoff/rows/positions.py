"""Which technology sits in a named position of a record, and what a missing part means."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lidoff.record.model.component import Component
from lidoff.record.sketch import PartSketch, Readable

MIXED = "mixed"
NONE = "none"
UNDETERMINED = "undetermined"
NONE_LISTED = "none listed"
NOT_IDENTIFIED = "not identified"
NOT_RECORDED = "not recorded"
SPECIAL_WORDS = (MIXED, NONE, NONE_LISTED, NOT_IDENTIFIED, UNDETERMINED, NOT_RECORDED)


@dataclass(frozen=True, slots=True)
class Position:
    """A place in the circuit that a technology is counted for: the parts that fill one of its roles."""

    field: str
    title: str
    roles: tuple[str, ...]


PFC_SWITCH = Position("pfc_switch_technology", "PFC switch", ("pfc-switch",))
PRIMARY_SWITCH = Position("primary_switch_technology", "primary switch", ("primary-switch",))
SYNC_RECTIFIER = Position("sync_rectifier_technology", "synchronous rectifier", ("sync-rectifier",))
OUTPUT_SWITCH = Position("output_switch_technology", "output switch", ("vbus-switch", "dc-dc-switch"))
POSITIONS = (PFC_SWITCH, PRIMARY_SWITCH, SYNC_RECTIFIER, OUTPUT_SWITCH)


def parts_in(record: Readable, roles: Sequence[str]) -> tuple[Component | PartSketch, ...]:
    """The components that fill one of the roles."""
    wanted = frozenset(roles)
    return tuple([part for part in record.components if not wanted.isdisjoint(part.roles)])


def technology(record: Readable, position: Position) -> str:
    """The family of the parts in one position: gan, silicon, sic, or a word that says why there is no single one."""
    parts = parts_in(record, position.roles)
    return one_family(parts) if parts else absence(record, position.roles)


def one_family(parts: Iterable[Component | PartSketch]) -> str:
    """The one family of several parts; two different ones are mixed, an open one beside a known one leaves it open."""
    families = {family(part) for part in parts}
    known = families - {UNDETERMINED}
    if len(known) > 1:
        return MIXED
    return known.pop() if families == known else UNDETERMINED


def family(part: Component | PartSketch) -> str:
    """The word before the first dash of a part's technology; what only the brand claims is no finding."""
    if part.technology is None or part.identified_by == "brand-claim":
        return UNDETERMINED
    return part.technology.partition("-")[0]


def absence(record: Readable, roles: Sequence[str], open_word: str = UNDETERMINED) -> str:
    """What it means that no part fills one of the roles.

    ``none`` where the conversion has no such stage or every part of every board is listed; the open word where the
    power path was examined and no such part was found; else ``not recorded``. Every converter has a primary switch, so
    a list without one only leaves it open.
    """
    if _stage_is_absent(record, roles):
        return NONE
    coverage = record.coverage
    if coverage is None or coverage.parts not in ("every", "main"):
        return NOT_RECORDED
    is_whole = coverage.parts == "every" and coverage.boards == "all" and not coverage.hidden_by
    return NONE if is_whole and "primary-switch" not in roles else open_word


def _stage_is_absent(record: Readable, roles: Sequence[str]) -> bool:
    conversion = record.conversion
    if conversion is None:
        return False
    if roles[0].startswith("pfc-"):
        return conversion.pfc in ("none", "passive")
    return roles[0].startswith("sync-rectifier") and conversion.secondary == "diode"
