"""The parts of a record by what they do, and how much their absence says."""

from collections.abc import Mapping
from dataclasses import dataclass

from lidoff.record.model import Record
from lidoff.record.model.component import Component

MAIN_PARTS_LISTED = ("every", "main")


@dataclass(frozen=True, slots=True)
class PartRoles:
    """The components of one record by role.

    ``is_listed`` says that every main part is in the list, ``is_hidden`` that something hid parts from view: only what
    was looked for and could be seen is missing.
    """

    by_role: Mapping[str, tuple[Component, ...]]
    is_listed: bool
    is_hidden: bool

    def all(self, *roles: str) -> tuple[Component, ...]:
        """The components of any of the roles, each once."""
        found = {part.ref: part for role in roles for part in self.by_role.get(role, ())}
        return tuple(found.values())

    def has(self, *roles: str) -> bool:
        """Whether any component has one of the roles."""
        return any(role in self.by_role for role in roles)

    def count(self, *roles: str) -> int:
        """How many parts have one of the roles, equal ones on one line counted each."""
        return sum(part.quantity or 1 for part in self.all(*roles))

    def refs(self, *roles: str) -> tuple[str, ...]:
        """Designators of the components of any of the roles."""
        return tuple(part.ref for part in self.all(*roles))

    def kinds(self, *roles: str) -> int:
        """How many of the roles are filled."""
        return sum(role in self.by_role for role in roles)

    def features(self, *roles: str) -> frozenset[str]:
        """What the controllers of some roles are known to do."""
        return frozenset(feature for part in self.all(*roles) for feature in part.control)


def part_roles(record: Record) -> PartRoles:
    """The components of a record by role."""
    by_role: dict[str, list[Component]] = {}
    for part in record.components:
        for role in part.roles:
            by_role.setdefault(role, []).append(part)
    coverage = record.coverage
    return PartRoles(
        {role: tuple(parts) for role, parts in by_role.items()},
        is_listed=coverage is not None and coverage.parts in MAIN_PARTS_LISTED,
        is_hidden=coverage is not None and bool(coverage.hidden_by),
    )
