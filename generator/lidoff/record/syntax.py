"""What to say when a file is no YAML: where the mistake is likely to be, and how to mend it."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import yaml

from lidoff.finding import Finding
from lidoff.record.faults import fault, quoted, shown

_TOP_KEY = re.compile(r"([A-Za-z_][A-Za-z0-9_]*)\s*:")
_NO_SPACE = re.compile(r"^\s*(?:- )?([A-Za-z_][A-Za-z0-9_]*):(?=[^\s:/])(.+)$")
_VALUE_OF_KEY = re.compile(r"^\s*(?:- )*([A-Za-z_][A-Za-z0-9_]*): +(\S.*)$")
_OPENED_QUOTE = re.compile(r"""^\s*(?:- )*(?:[A-Za-z_][A-Za-z0-9_]*: +)?(["'])""")

A_LINE = "a key, a colon, a space and a value"


@dataclass(frozen=True, slots=True)
class Section:
    """The lines (from 0, end excluded) of one key of the top level."""

    key: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class _Break:
    """Where the parser gave up, where the thing began that it could not finish, and the text around. Lines from 0."""

    context: str
    problem: str
    line: int
    column: int
    start_line: int
    start_column: int
    lines: Sequence[str]
    path: str

    @property
    def is_in_block(self) -> bool:
        """Whether it is a matter of lines and indentation, not of brackets or quotes."""
        return any(word in self.context for word in ("block mapping", "block collection", "block sequence"))

    def shown_line(self, number: int) -> str:
        """A line as a message shows it."""
        text = self.lines[number].strip() if number < len(self.lines) else ""
        return shown(text) if text else "the end of the file"

    def finding(
        self, line: int, column: int, found: str, expected: str, fix: str, rule: str = "record-syntax"
    ) -> Finding:
        """The finding at a place; line and column count from 0 here."""
        return fault(rule, self.path, line + 1, column + 1, found, expected, fix)


def explained(error: yaml.MarkedYAMLError, lines: Sequence[str], path: str) -> Finding:
    """The finding for one break of the syntax."""
    broken = _break(error, lines, path)
    for explain in _EXPLANATIONS:
        finding = explain(broken)
        if finding is not None:
            return finding
    fix = "compare the line with its neighbours: indentation, colon, quotes and brackets"
    return broken.finding(broken.line, broken.column, broken.shown_line(broken.line), A_LINE, fix)


def broken_section(lines: Sequence[str], line: int) -> Section | None:
    """The section that has to be left out so that the rest can be read; None where nothing can be.

    ``line`` is where the mistake was found to be, counted from 0.
    """
    starts = [number for number, text in enumerate(lines) if _TOP_KEY.match(text)]
    before = [number for number in starts if number <= line]
    if not before:
        return None
    start = before[-1]
    end = next((number for number in starts if number > start), len(lines))
    return Section(_TOP_KEY.match(lines[start]).group(1), start, end)


def _break(error: yaml.MarkedYAMLError, lines: Sequence[str], path: str) -> _Break:
    mark = error.problem_mark or error.context_mark
    start = error.context_mark or mark
    return _Break(
        error.context or "", error.problem or "", mark.line, mark.column, start.line, start.column, lines, path
    )


def _unclosed_quote(broken: _Break) -> Finding | None:
    if "quoted scalar" in broken.context and "unexpected end" in broken.problem:
        line, column = broken.start_line, broken.start_column
    elif broken.is_in_block:
        line, column = _opened_above(broken)
    else:
        return None
    if line < 0:
        return None
    sign = broken.lines[line][column]
    fix = f"add {sign} at the end of the text"
    return broken.finding(
        line, column, f"a quote {sign} that is never closed", f"a second {sign} at the end of the text", fix
    )


def _opened_above(broken: _Break) -> tuple[int, int]:
    """The nearest line above that opens a quote and does not close it, where there is text to blame it for; else -1."""
    here = broken.lines[broken.line] if broken.line < len(broken.lines) else ""
    if not here[: broken.column].strip(" -"):
        return -1, -1
    for number in range(broken.line - 1, -1, -1):
        match = _OPENED_QUOTE.match(broken.lines[number])
        if match and broken.lines[number].count(match.group(1)) % 2:
            return number, match.start(1)
    return -1, -1


def _unclosed_bracket(broken: _Break) -> Finding | None:
    if "flow sequence" not in broken.context and "flow mapping" not in broken.context:
        return None
    name, bracket, closing = ("list", "[", "]") if "flow sequence" in broken.context else ("mapping", "{", "}")
    found = f"a {name} opened by {bracket} that breaks off at line {broken.line + 1}, column {broken.column + 1}"
    fix = f"add the missing {closing} or comma"
    return broken.finding(
        broken.start_line, broken.start_column, found, f"values with a comma between them, then {closing}", fix
    )


def _missing_space(broken: _Break) -> Finding | None:
    for number in dict.fromkeys((broken.start_line, broken.line, broken.line - 1)):
        match = _NO_SPACE.match(broken.lines[number]) if 0 <= number < len(broken.lines) else None
        if match and "expected" in broken.problem:
            key, rest = match.groups()
            found, fix = broken.shown_line(number), f"write {key}: {shown(rest)}"
            return broken.finding(number, match.start(1), found, "a space after the colon", fix)
    if "simple key" in broken.context:
        fix = "add the colon, or indent the line if it goes on with the text above"
        return broken.finding(broken.start_line, broken.start_column, broken.shown_line(broken.start_line), A_LINE, fix)
    return None


def _bad_start(broken: _Break) -> Finding | None:
    if "cannot start any token" not in broken.problem or broken.line >= len(broken.lines):
        return None
    rest = broken.lines[broken.line][broken.column :].rstrip()
    wanted = f"text that does not begin with {shown(rest[:1])}"
    return broken.finding(broken.line, broken.column, shown(rest), wanted, f"put quotes round it: {quoted(rest)}")


def _stray_sign(broken: _Break) -> Finding | None:
    if "node content" not in broken.problem:
        return None
    text = broken.lines[broken.line] if broken.line < len(broken.lines) else ""
    sign = text[broken.column : broken.column + 1].strip() or "the end of the line"
    fix = "take the sign away, or put quotes round text that begins with it"
    return broken.finding(broken.line, broken.column, f"{shown(sign)} where a value belongs", "a value", fix)


def _marker(broken: _Break) -> Finding | None:
    """A lone & or *, or a tag that can't be read: refused in any case, so told as such."""
    if "an anchor" in broken.context or "an alias" in broken.context:
        sign, rule = broken.lines[broken.start_line][broken.start_column], "record-anchor"
        wanted = "every value written where it stands"
    elif "a tag" in broken.context or "tag handle" in broken.problem:
        sign, rule, wanted = "!", "record-tag", "a value without a tag"
    else:
        return None
    found = f"{sign} at the start of a value"
    return broken.finding(
        broken.start_line, broken.start_column, found, wanted, f"put quotes round text that begins with {sign}", rule
    )


def _second_colon(broken: _Break) -> Finding | None:
    if not broken.problem.startswith("mapping values are not allowed") or broken.line >= len(broken.lines):
        return None
    match = _VALUE_OF_KEY.match(broken.lines[broken.line])
    if match is None or match.end(1) >= broken.column:
        return _indented_too_far(broken)
    key, value = match.groups()
    wanted, fix = "quotes round text that has a colon and a space in it", f"put quotes round it: {key}: {quoted(value)}"
    return broken.finding(broken.line, match.start(2), shown(value), wanted, fix)


def _indented_too_far(broken: _Break) -> Finding:
    indent = _indent(broken.lines[broken.line])
    above = next(
        (text for text in reversed(broken.lines[: broken.line]) if text.strip() and text.strip()[0] != "#"), ""
    )
    found = f"{broken.shown_line(broken.line)}, indented by {indent}"
    wanted = f"the indentation of the line above, {_indent(above)}"
    fix = "move the line to the column of its neighbours, or end the line above with a colon and no value"
    return broken.finding(broken.line, indent, found, wanted, fix)


def _list_on_key_line(broken: _Break) -> Finding | None:
    if "sequence entries are not allowed" not in broken.problem:
        return None
    fix = "start a new line before the -, indented by two more spaces, or put quotes round the text"
    return broken.finding(
        broken.line, broken.column, broken.shown_line(broken.line), "each item of a list on a line of its own", fix
    )


def _escape(broken: _Break) -> Finding | None:
    if "escape" not in broken.problem and "hex" not in broken.problem:
        return None
    found, wanted = "a backslash that YAML does not know", "two backslashes, or text in single quotes"
    return broken.finding(broken.line, broken.column, found, wanted, "write \\\\ for a backslash inside double quotes")


def _text_after_value(broken: _Break) -> Finding | None:
    if not broken.is_in_block or broken.line >= len(broken.lines):
        return None
    text = broken.lines[broken.line]
    if not text[: broken.column].strip(" -"):
        return None
    fix = 'put quotes round the whole text, and \\" for a quote inside it'
    return broken.finding(
        broken.line,
        broken.column,
        f"{shown(text[broken.column :].rstrip())} after the end of a value",
        "one value after a key",
        fix,
    )


def _indentation(broken: _Break) -> Finding | None:
    if not broken.is_in_block or broken.line >= len(broken.lines):
        return None
    line = broken.lines[broken.line]
    indent = _indent(line)
    if indent == broken.start_column and line.lstrip().startswith("-") != ("mapping" not in broken.context):
        return _list_and_keys(broken, indent)
    found = f"{broken.shown_line(broken.line)}, indented by {indent}"
    indents = sorted({_indent(text) for text in _above_in_section(broken)})
    wanted = f"the indentation of a line above that it goes with: {' or '.join(map(str, indents))}"
    return broken.finding(broken.line, indent, found, wanted, "move the line to the column of its neighbours")


def _list_and_keys(broken: _Break, indent: int) -> Finding:
    """A key right below list items, or an item right below keys."""
    shown_line = broken.shown_line(broken.line)
    if "mapping" in broken.context:
        fix = "indent the - below its key, or take it away"
        return broken.finding(
            broken.line, indent, f"{shown_line}, an item of a list among keys", "keys with their values, or a list", fix
        )
    fix = "indent the key by two more if it belongs to the item above, or by less if it follows the list"
    return broken.finding(
        broken.line, indent, f"{shown_line}, a key among the items of a list", "items, each with a - before it", fix
    )


def _above_in_section(broken: _Break) -> Sequence[str]:
    """The lines above that may enclose the broken one: back to the key of the top level."""
    lines: list[str] = []
    for text in reversed(broken.lines[: broken.line]):
        if text.strip() and not text.lstrip().startswith("#"):
            lines.append(text)
        if _TOP_KEY.match(text):
            break
    return lines


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip())


_EXPLANATIONS: tuple[Callable[[_Break], Finding | None], ...] = (
    _unclosed_quote,
    _unclosed_bracket,
    _missing_space,
    _bad_start,
    _stray_sign,
    _marker,
    _second_colon,
    _list_on_key_line,
    _escape,
    _text_after_value,
    _indentation,
)
