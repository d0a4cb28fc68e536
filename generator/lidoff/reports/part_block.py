"""The YAML of a component, to be reused for a part that was identified before; never surer than the records are."""

from collections.abc import Mapping

from lidoff.record.model.component import Component, Ratings
from lidoff.record.model.fields import defaults_of
from lidoff.record.yaml_lines import item_lines
from lidoff.reports.former_parts import Former, Search

REUSED = ("technology", "control", "maker", "part_number")
PLACEHOLDER = "<ref>"


def part_block(search: Search) -> str:
    """The block, with what must be settled by whoever reuses it as comments; empty where nothing was identified."""
    best = next((one for one in search.found if one.component is not None and one.part is not None), None)
    if best is None or best.fit == "inside":
        return ""
    lines = [f"## as {best.ref} of {best.product}, {best.path}:{best.line}"]
    if search.is_conflict:
        lines.append("## the same print was taken for different parts: keep the candidates that your part can be")
        block = {**_head(best), "candidates": _candidates(search)}
    else:
        block = {**_head(best), **_identity(best)}
        if best.fit == "exact":
            block |= {"identified_by": best.identified_by, "strength": best.strength}
        else:
            lines.append("## it fits only as far as it can be read: say what yours rests on and how sure it is")
    block |= _body(best)
    kept = {key: block[key] for key in defaults_of(Component) if block.get(key)}
    return "\n".join([*lines, *item_lines(kept, 0)]) + "\n"


def _head(best: Former) -> dict[str, object]:
    return {"ref": PLACEHOLDER, "roles": list(best.component.roles)}


def _identity(best: Former) -> dict[str, object]:
    values = {key: getattr(best.component, key) for key in REUSED}
    return {key: list(value) if isinstance(value, tuple) else value for key, value in values.items()}


def _body(best: Former) -> dict[str, object]:
    """Print, package and ratings; the print only where it is the same one, without lines that tell a date."""
    component = best.component
    body: dict[str, object] = {}
    if best.fit == "exact" and component.marking is not None:
        lines = [line for line in component.marking.lines if line != component.date_code]
        body["marking"] = {"lines": lines, "state": component.marking.state} if lines else None
    body["package"] = component.package
    if component.ratings is not None:
        pairs = ((key, getattr(component.ratings, key)) for key in defaults_of(Ratings))
        body["ratings"] = {key: value for key, value in pairs if value is not None}
    return body


def _candidates(search: Search) -> list[Mapping[str, object]]:
    found = []
    for (maker, number), places in search.parts.items():
        where = ", ".join(dict.fromkeys(f"{one.ref} of {one.product}" for one in places[:3]))
        one = {"maker": maker, "part_number": number, "points_for": [f"The same print was taken for it on {where}."]}
        found.append({key: value for key, value in one.items() if value})
    return found
