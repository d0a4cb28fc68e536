"""The small faults that ``mutate.py`` puts into the program one by one: the operators are cosmic-ray's.

Left out is what no test can or every test must notice: annotations, bit operators in place of arithmetic (a fraction
has none), and ``is`` in place of ``==``.
"""

import random
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from pathlib import Path

from cosmic_ray import plugins
from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code

ARITHMETIC = {"Add", "Sub", "Mul", "Div", "FloorDiv", "Mod", "Pow"}
BITS = {"RShift", "LShift", "BitOr", "BitAnd", "BitXor"}
IDENTITY = {"Is", "IsNot"}


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change at one place of a file; paths are relative to the repository."""

    path: str
    operator: str
    occurrence: int
    line: int
    column: int

    def source(self, root: Path) -> str:
        """The file with the change."""
        code = mutate_code((root / self.path).read_text(encoding="utf-8"), operator(self.operator), self.occurrence)
        assert code is not None, f"no such mutant: {asdict(self)}"
        return code


def operator(name: str) -> object:
    return plugins.get_operator(name)()


def operators() -> list[str]:
    """Those that need no arguments and are worth a trial."""
    return [name for name in sorted(plugins.operator_names()) if _is_useful(name.removeprefix("core/"))]


def _is_useful(name: str) -> bool:
    if name.startswith("Variable") or name == "NoOp":
        return False
    kind, *pair = name.split("_")
    if kind == "ReplaceBinaryOperator":
        return set(pair) <= ARITHMETIC or set(pair) <= BITS
    return kind != "ReplaceComparisonOperator" or len(set(pair) & IDENTITY) != 1


def mutants(root: Path, folders: Iterable[str]) -> dict[tuple[str, int, int], list[Mutant]]:
    """All mutants of the modules in these folders of the repository, by the place that they change."""
    found, names = defaultdict(list), operators()
    for folder in folders:
        for path in sorted((root / folder).rglob("*.py")):
            tree = get_ast(path.read_text(encoding="utf-8"))
            nodes = [node for node in ast_nodes(tree) if not _is_left_alone(node)]
            within = _annotations(nodes)
            for name in names:
                positions = [start for node in nodes for start, _ in operator(name).mutation_positions(node)]
                for occurrence, start in enumerate(positions):
                    if not any(first <= start < last for first, last in within):
                        relative = path.relative_to(root).as_posix()
                        found[(relative, *start)].append(Mutant(relative, name, occurrence, *start))
    return found


def _is_left_alone(node: object) -> bool:
    """Whether no operator changes this, so that it need not be asked."""
    return node.type in ("newline", "string") or node.type == "operator" and node.value in tuple("()[]{},:.=")


def _annotations(nodes: Iterable) -> list[tuple]:
    """From where to where annotations go."""
    spans = []
    for node in nodes:
        if node.type == "funcdef" and node.annotation is not None:
            spans.append((node.annotation.start_pos, node.annotation.end_pos))
        elif node.type == "tfpdef" or node.type == "annassign":
            spans.append((node.children[1].start_pos, node.children[1].end_pos))
            if node.type == "tfpdef":
                spans.append((node.start_pos, node.end_pos))
    return spans


def sample(places: dict[tuple[str, int, int], list[Mutant]], number: int, seed: int) -> list[Mutant]:
    """One mutant each of so many places, so that a sign with six replacements counts no more than a number."""
    chance = random.Random(seed)
    chosen = chance.sample(sorted(places), min(number, len(places)))
    return [chance.choice(places[place]) for place in chosen]
