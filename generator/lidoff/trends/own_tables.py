"""Tables that a knowledge base defines for itself in mkdocs.yml, beside those that come with Lidoff."""

import difflib
import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from lidoff.figures.catalogue import KINDS
from lidoff.settings import SettingsError
from lidoff.trends.counting import Heading, cross_table
from lidoff.trends.dimensions import DIMENSIONS, facts, spelled
from lidoff.trends.frames import Frames
from lidoff.trends.product_values import figure_value
from lidoff.trends.spread import COLUMNS, figure_values, spread_table
from lidoff.trends.table import Table
from lidoff.trends.tables import TABLES, Definition
from lidoff.trends.tally import Narrowed, cross, spread

KEYS = ("rows", "columns", "figure", "where", "title")
_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")

# prices come in several currencies; the window holds bounds, not values
_NOT_TO_SPREAD = ("price_per_watt", "turns_ratio_window")

Wanted = Mapping[str, tuple[str, ...]]


def definitions(own: Mapping[str, object]) -> Mapping[str, Definition]:
    """Every table that can be asked for, own ones last; raises SettingsError for the first own one that is wrong."""
    return {**TABLES, **{str(name): _definition(name, content) for name, content in own.items()}}


def _definition(name: object, content: object) -> Definition:
    if not isinstance(name, str) or not _NAME.fullmatch(name):
        raise _wrong(
            "tables", f"a table called {name!r}", "a name of small letters, digits and dashes, such as plugs-by-brand"
        )
    if name in TABLES:
        raise _wrong(f"tables: {name}", "a name that a built-in table has", "a name of its own")
    if not isinstance(content, Mapping):
        raise _wrong(f"tables: {name}", repr(content), "a mapping such as {rows: brand, columns: tier}")
    for key in content:
        if key not in KEYS:
            raise _wrong(f"tables: {name}", f"the key {key}", f"one of {', '.join(KEYS)}", _nearest(str(key), KEYS))
    if ("columns" in content) == ("figure" in content):
        found = "columns and figure" if "columns" in content else "neither columns nor figure"
        raise _wrong(
            f"tables: {name}", found, "columns to count products by, or figure to spread over the rows, not both"
        )
    return _built(name, content)


def _built(name: str, content: Mapping[str, object]) -> Definition:
    rows = _dimension(name, "rows", content.get("rows"))
    where = _where(name, content.get("where", {}))
    if "columns" in content:
        columns = _dimension(name, "columns", content["columns"])
        title = _title(name, content, f"{DIMENSIONS[rows].title} by {DIMENSIONS[columns].title}")
        return Definition(
            name, title, lambda frames: _counts(frames, Heading(name, title, ""), rows, columns, where),
            Narrowed(cross(rows, columns), where),
        )  # fmt: skip
    figure_id = _figure_id(name, content["figure"])
    title = _title(name, content, f"{KINDS[figure_id].title} by {DIMENSIONS[rows].title}")
    return Definition(
        name, title, lambda frames: _spread(frames, name, title, rows, figure_id, where),
        Narrowed(spread(rows, COLUMNS, figure_value(figure_id)), where),
    )  # fmt: skip


def _counts(frames: Frames, heading: Heading, rows: str, columns: str, where: Wanted) -> Table:
    heading = replace(heading, notes=_notes(frames, where))
    return cross_table(_narrowed(frames, where), heading, rows, columns)


def _spread(frames: Frames, name: str, title: str, rows: str, figure_id: str, where: Wanted) -> Table:
    values, kind = figure_values(frames, figure_id), KINDS[figure_id]
    notes = (kind.explanation, *_notes(frames, where))
    return spread_table(_narrowed(frames, where), name, title, rows, values, kind.title, kind.unit, notes)


def _narrowed(frames: Frames, where: Wanted) -> Frames:
    """The frames with only the products that meet every condition."""
    products = frames.products
    for field, words in where.items():
        lines = facts(frames, DIMENSIONS[field])
        products = products[products["slug"].isin(lines.loc[lines["word"].isin(words), "slug"])]
    return frames.narrowed(products.reset_index(drop=True))


def _notes(frames: Frames, where: Wanted) -> tuple[str, ...]:
    """The conditions in words, and those words that no product has: they may be misspelt."""
    if not where:
        return ()
    conditions = [f"{DIMENSIONS[field].title} is {' or '.join(map(spelled, words))}" for field, words in where.items()]
    notes = [f"Only products whose {' and whose '.join(conditions)}."]
    for field, words in where.items():
        present = set(facts(frames, DIMENSIONS[field])["word"])
        notes += [
            f"No product has the {DIMENSIONS[field].title} {spelled(word)}." for word in words if word not in present
        ]
    return tuple(notes)


def _dimension(name: str, key: str, value: object) -> str:
    if not isinstance(value, str) or value not in DIMENSIONS:
        found = "nothing" if value is None else repr(value)
        hint = _nearest(str(value), DIMENSIONS)
        raise _wrong(f"tables: {name}: {key}", found, f"one of {', '.join(DIMENSIONS)}", hint)
    return str(value)


def _where(name: str, value: object) -> Wanted:
    """Conditions by field; a single word is a list of one. Years and other numbers are compared as they are written."""
    place = f"tables: {name}: where"
    if not isinstance(value, Mapping):
        raise _wrong(place, repr(value), "a mapping of field to word or words, such as {tier: 46-67 W}")
    wanted = {}
    for field, words in value.items():
        _dimension(name, "where", field)
        listed = words if isinstance(words, list) else [words]
        if not listed or not all(isinstance(word, (str, int)) and not isinstance(word, bool) for word in listed):
            raise _wrong(f"{place}: {field}", repr(words), "a word or a list of words, such as [gan, silicon]")
        wanted[field] = tuple(str(word) for word in listed)
    return wanted


def _title(name: str, content: Mapping[str, object], default: str) -> str:
    title = content.get("title", default[:1].upper() + default[1:])
    if not isinstance(title, str) or not title.strip():
        raise _wrong(f"tables: {name}: title", repr(title), "a line of text")
    return title


def _figure_id(name: str, value: object) -> str:
    known = [figure_id for figure_id in KINDS if figure_id not in _NOT_TO_SPREAD]
    if value not in known:
        hint = _nearest(str(value), known)
        raise _wrong(
            f"tables: {name}: figure", repr(value), "the id of a figure, as `lidoff figures` prints them", hint
        )
    return str(value)


def _nearest(found: str, known: Collection[str]) -> str:
    near: Sequence[str] = difflib.get_close_matches(found, known, n=1)
    return f"write {near[0]}" if near else ""


def _wrong(place: str, found: str, expected: str, fix: str = "") -> SettingsError:
    mend = fix or f"correct {place}: in mkdocs.yml, under plugins: - lidoff:"
    return SettingsError(f"found     {place}: {found}\nexpected  {expected}\nfix       {mend}")
