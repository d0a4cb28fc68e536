"""What somebody meant who wrote a key or a word that the schema does not know."""

import difflib
import re
from collections.abc import Iterable, Mapping, Sequence
from functools import cache

from lidoff.record.schema import VOCABULARY, Shape, parts, record_shape

_SIMILAR_KEY = 0.75
_SIMILAR_NEEDED_KEY = 0.5
_SIMILAR_WORD = 0.7
_FEW_STRANGERS = 3
_MOST_HOMES = 3
_MOST_WORDS = 8


def misspelt_keys(mapping: Mapping, shape: Shape) -> dict[str, str]:
    """For each unknown key of a mapping the free key of the schema that it stands for, where one is near enough.

    A key that the mapping can't do without is taken for less likeness: it is missing where the other is too much.
    """
    unknown = [key for key in mapping if key not in shape.keys]
    found = {key: key.partition(":")[0] for key in unknown if key.partition(":")[0] in shape.keys}
    free = [key for key in shape.keys if key not in mapping]
    needed = [key for key in _needed(mapping, shape) if key not in mapping]
    for names, similarity in ((free, _SIMILAR_KEY), (needed, _SIMILAR_NEEDED_KEY)):
        for key in unknown:
            near = (
                closest(key, [name for name in names if name not in found.values()], similarity)
                if key not in found
                else None
            )
            if near:
                found[key] = near
    return found


def _needed(mapping: Mapping, shape: Shape) -> list[str]:
    """The keys that a mapping of its kind can't do without."""
    needed = list(shape.schema.get("required", ()))
    for rule in shape.schema.get("allOf", ()):
        kind = rule.get("if", {}).get("properties", {}).get("kind", {}).get("const")
        if kind is not None and kind == mapping.get("kind"):
            needed += rule["then"]["required"]
    return needed


def words(text: str, known: Sequence[str]) -> Sequence[str]:
    """The words of a vocabulary that a text may mean: the nearest one, or all that begin with it or have it in them."""
    form = _form(text)
    if len(form) > 1 and form not in map(_form, known):
        begun = [name for name in known if _form(name).startswith(form)]
        several = begun or [name for name in known if form in _form(name)]
        if len(several) > 1:
            return several if len(several) <= _MOST_WORDS else []
    near = closest(text, known, _SIMILAR_WORD)
    return [near] if near else []


def package(text: str) -> str | None:
    """A package in the schema's writing: its family spelt as the vocabulary spells it, sizes with ``x``."""
    families = parts()[VOCABULARY]["$defs"]["package_family"]["enum"]
    for family in sorted(families, key=len, reverse=True):
        match = re.match(re.sub(r"[-\s]+", r"[-\\s_]?", family), text.strip(), re.IGNORECASE)
        if match:
            size = re.sub(r"\s*[×xX*]\s*", "x", text.strip()[match.end() :]).lower().removesuffix("mm").strip(" _")
            if re.fullmatch(r"(?:-[0-9]{1,3})?(?: ?[0-9.]+(?:x[0-9.]+){1,2})?", size):
                return family + (f" {size}" if size[:1].isdigit() else size)
    return None


def closest(text: str, known: Iterable[str], similarity: float) -> str | None:
    """The known word that is written alike; case, spaces, hyphens and underscores count little."""
    by_form: dict[str, str] = {}
    for name in known:
        by_form.setdefault(_form(name), name)
    form = _form(text)
    if form in by_form:
        return by_form[form]
    longer = [name for name in by_form if len(form) > 2 and name.startswith(form)]
    near = longer if len(longer) == 1 else difflib.get_close_matches(form, by_form, n=1, cutoff=similarity)
    return by_form[near[0]] if near else None


def misplaced(mapping: Mapping, shape: Shape) -> str | None:
    """Where a mapping belongs that stands at the wrong place as a whole; None where its keys do not say so together."""
    strangers = [key for key in mapping if key not in shape.keys]
    if shape.others is not None or len(strangers) < _FEW_STRANGERS or 2 * len(strangers) <= len(mapping):
        return None
    common = [
        place for place in _homes().get(strangers[0], ()) if all(place in _homes().get(key, ()) for key in strangers)
    ]
    return common[0] if common else None


def homes(key: str) -> str:
    """Where else in a record a key is known, in words; empty where nowhere."""
    places = _homes().get(key, ())
    listed = ", ".join(places[:_MOST_HOMES])
    return f"{listed} or elsewhere" if len(places) > _MOST_HOMES else " or ".join(places)


@cache
def _homes() -> Mapping[str, Sequence[str]]:
    found: dict[str, list[str]] = {}
    _collect(record_shape(), "", found)
    return found


def _collect(shape: Shape, where: str, found: dict[str, list[str]]) -> None:
    for key, inner in shape.keys.items():
        found.setdefault(key, []).append(where or "the top level")
        _collect(inner, f"{where}.{key}" if where else key, found)
    if shape.items is not None:
        _collect(shape.items, f"{where}[]", found)


def _form(text: str) -> str:
    return re.sub(r"[\s_-]+", "", text.casefold())
