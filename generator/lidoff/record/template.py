"""The text of a new record: the schema's template with its placeholders filled."""

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass

from lidoff.record.scalars import other_reading
from lidoff.record.schema import schema_folder

TEMPLATE_NAME = "template.yaml"

_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9+./_-]*(?: [A-Za-z0-9+./_-]+)*")
_WIDTH = 120
_MOST_NAMES = 60


@dataclass(frozen=True, slots=True)
class KnownNames:
    """Names that other records of the knowledge base use, most used first, so that one thing keeps one name."""

    brands: tuple[str, ...] = ()
    makers: tuple[str, ...] = ()
    packages: tuple[str, ...] = ()


def template() -> str:
    """The annotated sample with its placeholders."""
    return (schema_folder() / TEMPLATE_NAME).read_text(encoding="utf-8")


def new_record(brand: str, model: str, date: str, path: str, schema: str | None, known: KnownNames) -> str:
    """The text of a new record. ``schema`` is the way from the record to its schema, None where there is none to name.

    What nobody can derive, such as the kind of product, stays a placeholder: the check says what may stand there.
    """
    values = {"brand": yaml_text(brand), "model": yaml_text(model), "date": date, "path": path, "schema": schema}
    lists = {"brands": known.brands, "makers": known.makers, "packages": known.packages}
    lines: list[str] = []
    for line in template().splitlines():
        name = _placeholder(line)
        if name in lists:
            lines.extend(_listed(line, name, lists[name]))
        elif name in values:
            if values[name] is not None:
                lines.append(line.replace(f"<{name}>", values[name]))
        else:
            lines.append(line)
    return "\n".join(lines) + "\n"


def yaml_text(text: str) -> str:
    """Text as YAML writes it, in quotes where another program might read something else."""
    return text if _PLAIN.fullmatch(text) and other_reading(text) is None else json.dumps(text, ensure_ascii=False)


def _placeholder(line: str) -> str | None:
    match = re.search(r"<([a-z]+)>", line)
    return match.group(1) if match else None


def _listed(line: str, name: str, names: Sequence[str]) -> list[str]:
    """The comment lines that list the names used most often, in the alphabet's order; none where there are no names."""
    if not names:
        return []
    names = sorted(names[:_MOST_NAMES], key=lambda one: (one.casefold(), one))
    lines = [line.replace(f"<{name}>", "").rstrip()]
    for number, one in enumerate(names):
        piece = f" {yaml_text(one)}{',' if number < len(names) - 1 else ''}"
        if len(lines[-1]) + len(piece) > _WIDTH:
            lines.append("##  ")
        lines[-1] += piece
    return lines
