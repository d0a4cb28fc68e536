"""Names that belong together, joined pair by pair into groups."""

from typing import Generic, TypeVar

Node = TypeVar("Node", str, tuple[str, str])


class Groups(Generic[Node]):
    """Disjoint groups; each is known by the first of its names, and a name that was never joined is its own group."""

    def __init__(self) -> None:
        self._parent: dict[Node, Node] = {}

    def first(self, node: Node) -> Node:
        """The first name of the group that a name is in."""
        while self._parent.setdefault(node, node) != node:
            self._parent[node] = self._parent[self._parent[node]]
            node = self._parent[node]
        return node

    def join(self, one: Node, other: Node) -> None:
        """Make one group of the groups of two names."""
        first, second = sorted((self.first(one), self.first(other)))
        self._parent[second] = first
