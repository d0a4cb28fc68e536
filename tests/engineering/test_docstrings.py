"""Every public function of the engineering package documents its parameters, units, equation, example and source."""

import ast
import dataclasses
import doctest
import enum
import importlib
import inspect
import pkgutil
import re
from types import ModuleType

import pytest
from _pytest.doctest import _get_checker, _get_number_flag  # the checker behind pytest's own NUMBER option
from latex2mathml.converter import convert

from lidoff import engineering

SECTIONS = ("Parameters", "Attributes", "Returns", "Raises", "Notes", "Examples", "References")
UNIT = re.compile(r"\[([^\]\s]+)\](?!_)")
MATH_COMMANDS = {
    "frac",
    "sqrt",
    "sin",
    "cos",
    "arcsin",
    "ln",
    "log",
    "exp",
    "sum",
    "max",
    "min",
    "text",
    "left",
    "right",
    "cdot",
    "le",
    "ge",
    "approx",
    "infty",
    "bar",
    "hat",
    "pi",
    "omega",
    "theta",
    "eta",
    "varphi",
    "Delta",
    "sigma",
    "lambda",
    "alpha",
    "tau",
    "mu",
    "Phi",
}
NO_EQUATION = "No equation"


def modules() -> list[ModuleType]:
    names = sorted(info.name for info in pkgutil.iter_modules(engineering.__path__) if not info.name.startswith("_"))
    return [importlib.import_module(f"{engineering.__name__}.{name}") for name in names]


def public(module: ModuleType) -> list[tuple[str, object]]:
    return [
        (name, value)
        for name, value in sorted(vars(module).items())
        if not name.startswith("_") and getattr(value, "__module__", None) == module.__name__
    ]


def named(kind) -> list:
    return [
        pytest.param(value, id=f"{module.__name__.removeprefix(engineering.__name__ + '.')}.{name}")
        for module in modules()
        for name, value in public(module)
        if kind(value)
    ]


FUNCTIONS = named(inspect.isfunction)
DATACLASSES = named(dataclasses.is_dataclass)


def sections_of(documented: object) -> dict[str, str]:
    """The docstring cut at its underlined titles, in order; the text before the first title is under ''."""
    parts = re.split(r"^(\w[\w ]*)\n-{3,}\n", inspect.getdoc(documented) or "", flags=re.MULTILINE)
    return {"": parts[0].strip()} | {parts[i]: parts[i + 1].strip("\n") for i in range(1, len(parts), 2)}


def entries_of(section: str) -> list[tuple[str, str, str]]:
    """(name, type, description) of each ``name : type`` line with its indented text."""
    parts = re.split(r"^(\w+) : (.+)\n", section, flags=re.MULTILINE)
    assert not parts[0].strip(), f"text before the first `name : type` line: {parts[0]!r}"
    return [(parts[i], parts[i + 1], " ".join(parts[i + 2].split())) for i in range(1, len(parts), 3)]


def assert_one_unit(name: str, description: str) -> None:
    units = UNIT.findall(description)
    assert len(units) == 1, f"{name}: expected exactly one unit in square brackets, found {units} in {description!r}"
    assert units[0] in engineering.UNIT_SPELLINGS, f"{name}: [{units[0]}] is not among {engineering.UNIT_SPELLINGS}"
    assert description.endswith(f"[{units[0]}]"), f"{name}: the unit must come last: {description!r}"


def test_the_package_has_functions_and_result_classes_to_read():
    assert len(FUNCTIONS) >= 10
    assert len(DATACLASSES) >= 2


def test_unit_spellings_are_not_doubled():
    assert len(set(engineering.UNIT_SPELLINGS)) == len(engineering.UNIT_SPELLINGS)


@pytest.mark.parametrize("module", modules(), ids=lambda module: module.__name__.rpartition(".")[2])
def test_module_says_its_topic(module):
    assert (module.__doc__ or "").strip().endswith(".")


@pytest.mark.parametrize("function", FUNCTIONS)
def test_sections_stand_in_order(function):
    sections = sections_of(function)
    titles = [title for title in sections if title]
    assert titles == [title for title in SECTIONS if title in titles], f"unknown or misplaced section among {titles}"
    assert {"Returns", "Notes", "Examples", "References"} <= set(titles), f"sections missing from {titles}"
    assert "Attributes" not in titles
    summary = sections[""].split("\n\n")[0]
    assert summary.endswith(".") and "[" not in summary, f"a summary is one sentence without citation: {summary!r}"


@pytest.mark.parametrize("function", FUNCTIONS)
def test_parameters_equal_the_signature(function):
    parameters = inspect.signature(function).parameters
    entries = entries_of(sections_of(function).get("Parameters", ""))
    assert [name for name, _, _ in entries] == list(parameters)
    for name, written_type, description in entries:
        assert_one_unit(name, description)
        annotation = parameters[name].annotation
        assert annotation is not inspect.Parameter.empty, f"{name} has no type"
        if annotation in (float, int, str, bool):
            assert written_type.split(",")[0] == annotation.__name__, f"{name}: documented as {written_type}"


@pytest.mark.parametrize("function", FUNCTIONS)
def test_returns_have_a_unit(function):
    assert inspect.signature(function).return_annotation is not inspect.Signature.empty
    units = UNIT.findall(sections_of(function)["Returns"])
    assert units, "expected a unit in square brackets under Returns"
    assert set(units) <= set(engineering.UNIT_SPELLINGS), f"units not in the list: {units}"


@pytest.mark.parametrize("function", FUNCTIONS)
def test_what_raises_says_so(function):
    tree = ast.parse(inspect.getsource(function))
    called = {node.func.id for node in ast.walk(tree) if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)}
    raises = any(isinstance(node, ast.Raise) for node in ast.walk(tree))
    if raises or any(name.startswith("require_") for name in called):
        assert "Raises" in sections_of(function), "the function raises, its docstring has no Raises section"


@pytest.mark.parametrize("function", FUNCTIONS)
def test_notes_hold_the_equation(function):
    notes = sections_of(function)["Notes"]
    blocks = re.findall(r"^\.\. math::\n\n((?: {4}.*\n?|\n)+)", notes, flags=re.MULTILINE)
    assert blocks or NO_EQUATION in notes, f"Notes need a math block, or the words {NO_EQUATION!r} and why"
    assert len(blocks) == notes.count(".. math::"), "a math block is a blank line and text indented by four"
    for block in blocks + re.findall(r":math:`([^`]*)`", inspect.getdoc(function)):
        unknown = set(re.findall(r"\\([a-zA-Z]+)", block)) - MATH_COMMANDS
        assert not unknown, f"commands outside the plain set: {unknown}"
        assert "\\" not in convert(block.strip()), f"not fully converted to MathML: {block}"


@pytest.mark.parametrize("function", FUNCTIONS)
def test_there_is_an_example(function):
    assert ">>> " in sections_of(function)["Examples"]


@pytest.mark.parametrize("function", FUNCTIONS)
def test_there_is_a_numbered_reference(function):
    references = sections_of(function)["References"]
    numbers = [int(number) for number in re.findall(r"^\.\. \[(\d+)\] \S.{15,}", references, flags=re.MULTILINE)]
    assert numbers, f"a numbered reference is expected, found {references!r}"
    assert numbers == list(range(1, len(numbers) + 1)), f"references count from 1, found {numbers}"


@pytest.mark.parametrize("cls", DATACLASSES)
def test_result_classes_are_frozen_and_document_their_attributes(cls):
    assert cls.__dataclass_params__.frozen and "__slots__" in vars(cls)
    entries = entries_of(sections_of(cls)["Attributes"])
    own = [field.name for field in dataclasses.fields(cls) if field.name in vars(cls).get("__annotations__", {})]
    assert [name for name, _, _ in entries] == own
    for name, _, description in entries:
        assert_one_unit(name, description)
    for name, value in vars(cls).items():
        if isinstance(value, property) and not name.startswith("_"):
            assert_one_unit(name, " ".join((value.__doc__ or "").split()))


def test_other_classes_are_closed_words_with_a_docstring():
    classes = [value for module in modules() for _, value in public(module) if inspect.isclass(value)]
    others = [cls for cls in classes if not dataclasses.is_dataclass(cls)]
    assert [cls for cls in others if not issubclass(cls, enum.Enum) or not (cls.__doc__ or "").strip()] == []


@pytest.mark.parametrize("module", modules(), ids=lambda module: module.__name__.rpartition(".")[2])
def test_examples_run(module):
    runner = doctest.DocTestRunner(checker=_get_checker(), optionflags=_get_number_flag(), verbose=False)
    report: list[str] = []
    for example in doctest.DocTestFinder(exclude_empty=True).find(module, module.__name__):
        runner.run(example, out=report.append)
    assert runner.summarize(verbose=False).failed == 0, "".join(report)
