"""One part is not two sorts of component in different records."""

from collections.abc import Iterator, Mapping, Sequence

from lidoff.checks.check import CollectionCheck, Gist, Notice
from lidoff.checks.drafts import weight
from lidoff.checks.parts_in_use import PartUse, shared_parts
from lidoff.rule import Rule

RULE = Rule(
    id="part-role-conflict",
    title="One part is of one sort in all records",
    severity="note",
    scope="collection",
    why=(
        "A part number that is a capacitor in one record and a resistor in another, or a transistor here and a "
        "controller there, is misread in one of them, or its role is. Roles of one sort, such as two places for a "
        "transistor, do not contradict each other, and a part of several roles agrees with any of them."
    ),
    source="Lidoff's own decision; which roles are of one sort: common practice, no source",
)

SORTS: Mapping[str, tuple[str, ...]] = {
    "capacitor": (
        "x-capacitor", "y-capacitor", "input-film-capacitor", "bulk-capacitor", "low-line-bulk-capacitor",
        "clamp-capacitor", "resonant-capacitor", "auxiliary-capacitor", "snubber-capacitor", "output-capacitor",
        "dc-dc-capacitor", "capacitor",
    ),
    "resistor": (
        "x-discharge-resistor", "bleed-resistor", "current-sense-resistor", "clamp-resistor",
        "snubber-resistor", "resistor",
    ),
    "wound part": (
        "common-mode-choke", "differential-mode-choke", "pfc-inductor", "resonant-inductor", "transformer",
        "output-inductor", "dc-dc-inductor", "inductor",
    ),
    "transistor": (
        "low-line-switch", "pfc-switch", "primary-switch", "primary-high-side-switch", "clamp-switch", "sync-rectifier",
        "dc-dc-switch", "vbus-switch", "signal-transistor",
    ),
    "diode": (
        "bridge-rectifier", "pfc-diode", "clamp-diode", "clamp-suppressor", "auxiliary-diode", "rectifier-diode",
        "surge-suppressor", "signal-diode", "zener-diode",
    ),
    "integrated circuit": (
        "x-discharge-controller", "pfc-controller", "primary-controller", "gate-driver", "feedback-regulator",
        "sync-rectifier-controller", "dc-dc-controller", "dc-dc-converter", "protocol-controller",
        "power-sharing-controller", "e-marker", "memory", "bias-regulator", "optocoupler", "isolator",
    ),
    "fuse": ("fuse", "thermal-cut-off"),
    "varistor": ("varistor",),
    "thermistor": ("inrush-thermistor", "thermistor"),
    "connector": ("mains-contact", "output-connector", "connector"),
}  # fmt: skip
SORT_OF = {role: sort for sort, roles in SORTS.items() for role in roles}
"""Roles that may be filled by parts of more than one sort are left out."""


def run(subjects: Sequence[Gist]) -> Iterator[tuple[str, Notice]]:
    """Notices for parts whose sort no other record shares, once a record and part."""
    for (maker, number), uses in shared_parts(subjects, lambda part: part.roles):
        yield from _odd_ones(f"{maker} {number}", uses)


def _odd_ones(name: str, uses: Sequence[PartUse]) -> Iterator[tuple[str, Notice]]:
    said_by: dict[str, list[Gist]] = {}
    for use in uses:
        for sort in sorted(_sorts(use)):
            said_by.setdefault(sort, []).append(use.subject)
    if len(said_by) < 2:
        return
    usual = max(said_by, key=lambda sort: weight(said_by[sort]))
    witness = next(use for use in uses if usual in _sorts(use))
    told: set[str] = set()
    for use in uses:
        sorts = _sorts(use)
        if not sorts or not sorts.isdisjoint(_sorts(witness)) or usual in sorts or use.subject.path in told:
            continue
        told.add(use.subject.path)
        yield (
            use.subject.path,
            Notice(
                field=f"{use.field}.roles",
                found=f"{name} as {' and '.join(use.part.roles)}",
                expected=f"a {usual}, as in {witness.subject.slug}",
                fix="check which part it is and what it does, in both records",
                related=((witness.subject.path, f"{witness.field}.roles"),),
                inputs=(name, use.part.roles, usual),
            ),
        )


def _sorts(use: PartUse) -> frozenset[str]:
    return frozenset(SORT_OF[role] for role in use.part.roles if role in SORT_OF)


CHECK = CollectionCheck(RULE, run)
