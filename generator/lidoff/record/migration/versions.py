"""The formats that records have had, and the way from each to the next."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import yaml

from lidoff.record.migration.steps import NotMigrated, Step, applied
from lidoff.record.schema import version

_AS_TEXT = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
_BOM = "\ufeff"

# Format 0 is that of bench notes from before the record was frozen: one role a part, bare edges, a bare date.
TO_1: tuple[Step, ...] = (
    Step("product.power_w", "rename", "rated_power_w"),
    Step("product.year", "rename", "launched"),
    Step("opened", "wrap", "teardown", inner="date"),
    Step("measured.size_mm", "wrap", "body_mm", inner="size"),
    Step("measured.weight_g", "rename", "mass_g"),
    Step("components[].designator", "rename", "ref"),
    Step("components[].role", "list", "roles"),
    Step("components[].part", "rename", "part_number"),
    Step("components[].values", "rename", "ratings"),
    Step("conversion.topology", "rename", "primary"),
    Step("schema", "set", "schema", value="1"),
)
WAYS: Mapping[int, Sequence[Step]] = {0: TO_1}


@dataclass(frozen=True, slots=True)
class Migrated:
    """A record's file in the present format, the format that it had, and what was done."""

    content: bytes
    was: int
    done: tuple[str, ...]


def migrated(content: bytes, ways: Mapping[int, Sequence[Step]] = WAYS, now: int | None = None) -> Migrated:
    """The file in the present format; unchanged where it has that already.

    Raises NotMigrated where the file names no format, is of a later one, or a step can't be made.

    Examples
    --------
    >>> outcome = migrated(b"schema: 0  # old\\nproduct: {power_w: 65}  # as printed\\n")
    >>> print(outcome.content.decode(), end="")
    schema: 1  # old
    product: {rated_power_w: 65}  # as printed
    """
    now = version() if now is None else now
    try:
        text = content.decode("utf-8")
        was = found = _format_of(text)
        done: list[str] = []
        while found < now:
            for step in ways[found]:
                text, places = applied(text, step)
                if places:
                    done.append(_told(step))
            found += 1
        yaml.load(text.removeprefix(_BOM), _AS_TEXT)
    except UnicodeDecodeError as fault:
        raise NotMigrated("it is not written in UTF-8") from fault
    except yaml.YAMLError as fault:
        raise NotMigrated("it is no YAML: run lidoff check and mend what it finds first") from fault
    if found > now:
        raise NotMigrated(f"it is of format {found}, and this Lidoff knows none after {now}: bring Lidoff up to date")
    return Migrated(text.encode("utf-8"), was, tuple(done))


def _format_of(text: str) -> int:
    data = yaml.load(text.removeprefix(_BOM), _AS_TEXT)
    stated = data.get("schema") if isinstance(data, dict) else None
    if not isinstance(stated, str) or not stated.isdigit():
        raise NotMigrated("it names no format: write schema: 0 for notes from before the first one, else schema: 1")
    return int(stated)


def _told(step: Step) -> str:
    old = step.path.rpartition(".")[2]
    if step.do == "set":
        return f"{step.path}: {step.value}"
    shape = {"list": f"{step.key}: [...]", "wrap": f"{step.key}: {{{step.inner}: ...}}"}.get(step.do, step.key)
    return f"{step.path.removesuffix(old)}{old} -> {shape}"
