"""Records agree on what one and the same part is rated for."""

from collections.abc import Iterator, Sequence

from lidoff.checks.check import CollectionCheck, Gist, Notice
from lidoff.checks.drafts import weight
from lidoff.checks.part_values import capacitance, farads
from lidoff.checks.parts_in_use import PartUse, shared_parts
from lidoff.record.gist import PartGist
from lidoff.record.model.component import Ratings
from lidoff.rule import Rule

RULE = Rule(
    id="rating-contradiction",
    title="Records agree on the ratings, package and technology of one part",
    severity="warning",
    scope="collection",
    why=(
        "Where records give one part, by the same maker and number, different ratings that identify it, at least one "
        "of them has a slip or another part before it. Ratings that depend on how a data sheet states them or how "
        "they are measured, such as current, on-resistance, charge, life or inductance, are held against each other "
        "only where they differ by more than a factor of two. The same number by another maker is a second source and "
        "no contradiction; guesses are left out. The value that most records give is taken as the usual one."
    ),
    formula="equal within 2 %; within a factor of 2 for ratings that depend on conditions",
    source="Lidoff's own decision; which ratings depend on conditions: common practice, no source",
)

BY_CONDITION = frozenset({
    "clamping_v", "gate_v", "current_a", "ripple_current_a", "melting_a2s", "cold_resistance_ohm", "rds_on_mohm",
    "gate_charge_nc", "output_charge_nc", "esr_mohm", "inductance_uh", "power_w", "life_h", "forward_v",
    "transfer_ratio_pct", "tolerance_pct", "voltage_transient_v",
})  # fmt: skip
CAPACITANCES = frozenset({"capacitance_uf", "capacitance_nf", "capacitance_pf"})
KEYS = tuple(name for name in Ratings.__struct_fields__ if name not in CAPACITANCES)
CLOSE, LOOSE = 0.02, 1.0

BROAD = frozenset({"gan-undetermined", "gan-integrated", "silicon-mosfet"})
"""Technologies that leave open which one of their family it is."""
LEADLESS = frozenset({"DFN", "QFN", "PQFN", "SON", "LGA", "LFPAK", "TOLL"})
"""Families of packages without leads, whose names makers use for one another."""

Value = float | str
Given = tuple[PartUse, str, Value, str]
"""Who says it, in which field, the value that can be compared, and how it is recorded."""


def run(subjects: Sequence[Gist]) -> Iterator[tuple[str, Notice]]:
    """Notices for values that differ from those of other records, once a record, part and rating."""
    for (maker, number), uses in shared_parts(subjects, _as_recorded):
        for key, given in _by_key(uses).items():
            yield from _odd_ones(f"{maker} {number}", key, given)


def _as_recorded(part: PartGist) -> tuple[bytes, str | None, str | None]:
    """What is compared, as it was packed: a first look that takes no ratings apart."""
    return bytes(part.packed_ratings), part.package, part.technology


def _by_key(uses: Sequence[PartUse]) -> dict[str, list[Given]]:
    """What each record says of the part, under each key, in the unit in which it can be compared."""
    found: dict[str, list[Given]] = {}
    for use in uses:
        for key, field, value, said in _values(use):
            found.setdefault(key, []).append((use, field, value, said))
    return found


def _values(use: PartUse) -> Iterator[tuple[str, str, Value, str]]:
    part, ratings = use.part, use.part.ratings
    if ratings is not None:
        for key in KEYS:
            value = getattr(ratings, key)
            if value is not None:
                said = value if isinstance(value, str) else format(value, ".10g")
                yield key, f"ratings.{key}", value, f"{key}: {said}"
        found = capacitance(ratings)
        if found is not None:
            yield "capacitance", f"ratings.{found[0]}", found[1], farads(found[1])
    if part.package is not None:
        family = part.package.split(" ")[0].split("-")[0]
        yield "package", "package", "leadless" if family in LEADLESS else part.package.split(" ")[0], part.package
    if part.technology is not None and part.technology != "undetermined":
        yield "technology", "technology", part.technology, part.technology


def _odd_ones(name: str, key: str, given: Sequence[Given]) -> Iterator[tuple[str, Notice]]:
    said_by: dict[Value, list[Gist]] = {}
    for use, _, value, _ in given:
        said_by.setdefault(value, []).append(use.subject)
    if len(said_by) < 2:
        return
    usual = max(said_by, key=lambda value: weight(said_by[value]))
    witness, usual_field, _, says = next(one for one in given if one[2] == usual)
    told: set[str] = set()
    for use, field, value, said in given:
        if use.subject.path in told or agree(key, value, usual):
            continue
        told.add(use.subject.path)
        yield (
            use.subject.path,
            Notice(
                field=f"{use.field}.{field}",
                found=f"{said} for {use.part.ref}, {name}",
                expected=f"{says}, as {witness.subject.slug} has it",
                fix="compare print and data sheet, and correct the record that is wrong",
                related=((witness.subject.path, f"{witness.field}.{usual_field}"),),
                inputs=(name, value, usual),
            ),
        )


def agree(key: str, one: Value, other: Value) -> bool:
    """Whether two records can both be right."""
    if key == "technology":
        return _same_technology(str(one), str(other))
    if key == "package":
        return one == other or one == "SMD" or other == "SMD" or str(one).split("-")[0] == str(other).split("-")[0]
    if isinstance(one, str) or isinstance(other, str):
        return one == other
    low, high = sorted((one, other))
    return high <= low * (1 + (LOOSE if key in BY_CONDITION else CLOSE))


def _same_technology(one: str, other: str) -> bool:
    if one == other:
        return True
    same_family = one.split("-")[0] == other.split("-")[0]
    return same_family and (one in BROAD or other in BROAD)


CHECK = CollectionCheck(RULE, run)
