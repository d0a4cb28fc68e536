"""The shape of the code: who may import whom, and how large a piece may be."""

import ast
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[1] / "generator" / "lidoff"
MODULES = sorted(path for path in PACKAGE.rglob("*.py"))
MODULE_LINES = 300
BODY_LINES = 40

# one way: each stage may import those before it and itself
STAGES = (
    "finding", "rule", "settings", "website", "cache",
    "engineering", "record", "crew", "bench", "mark", "figures", "entry", "rows", "checks", "examination", "trends", "pages",
    "reports",
    "pipeline", "live", "impact", "starter", "narration", "publish", "commands", "cli",
)  # fmt: skip
# libraries that may appear only from a stage on, or only in one
ONLY_IN = {
    "mkdocs": {"publish"},
    "material": {"publish"},
    "pandas": {"trends", "bench"},
    "numpy": {"trends", "bench"},
    "vl_convert": {"trends", "narration"},
    "jinja2": {"pages", "publish"},
    "latex2mathml": {"pages"},
    "click": {"commands", "cli", "__main__"},
    "rich": {"commands", "reports"},
    "jsonschema": {"record"},
    "jsonschema_rs": {"record"},
    "PIL": {"bench", "publish", "crew"},
    "dask": {"crew"},
    "distributed": {"crew"},
    "fsspec": {"cache"},
    "msgspec": {"record", "rows", "examination", "trends", "pages", "impact"},
}


def stage_of(path: Path) -> str:
    """The stage a module belongs to: the folder or module right below the package."""
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imports_of(path: Path) -> set[str]:
    """Every module that a file imports, anywhere in it."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} imports relatively"
            found.update({node.module} | {f"{node.module}.{alias.name}" for alias in node.names})
    return found


def name_of(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_a_stage_imports_no_later_stage(path: Path) -> None:
    stage = stage_of(path)
    if stage in ("__init__", "__main__"):
        return
    rank = STAGES.index(stage)
    for name in imports_of(path):
        parts = name.split(".")
        if parts[0] == "lidoff" and len(parts) > 1 and parts[1] in STAGES:
            assert STAGES.index(parts[1]) <= rank, f"{name_of(path)} imports the later stage {parts[1]}"


def test_only_its_command_knows_the_desk_where_pictures_are_marked() -> None:
    users = {
        stage_of(path) for path in MODULES if any(f"{name}.".startswith("lidoff.mark.") for name in imports_of(path))
    }
    assert users == {"mark", "commands"}


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_a_library_appears_only_where_it_belongs(path: Path) -> None:
    for name in imports_of(path):
        top = name.split(".")[0]
        assert stage_of(path) in ONLY_IN.get(top, {stage_of(path)}), f"{name_of(path)} imports {top}"


@pytest.mark.parametrize("path", [path for path in MODULES if stage_of(path) == "engineering"], ids=name_of)
def test_engineering_imports_the_standard_library_and_itself(path: Path) -> None:
    for name in imports_of(path):
        top, *rest = name.split(".")
        inside = top == "lidoff" and rest[:1] == ["engineering"]
        assert inside or name == "lidoff" or top in sys.stdlib_module_names, f"{name_of(path)} imports {name}"


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_modules_and_bodies_stay_small(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    lines = text.count("\n")
    assert lines < MODULE_LINES, f"{name_of(path)} has {lines} lines"
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            length = body[-1].end_lineno - body[0].lineno + 1 if body else 0
            assert length < BODY_LINES, f"{name_of(path)}: {node.name} has {length} lines"


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_every_module_says_what_it_is_for(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert not text.strip() or ast.get_docstring(ast.parse(text)), f"{name_of(path)} has no docstring"


def test_no_exception_is_swallowed() -> None:
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ExceptHandler):
                empty = len(node.body) == 1 and isinstance(node.body[0], ast.Pass)
                assert not empty, f"{name_of(path)}:{node.lineno} swallows an exception"


def test_the_top_level_is_fixed() -> None:
    root = PACKAGE.parents[1]
    allowed = {
        "README.md",
        "DEVELOPERS.md",
        "mkdocs.yml",
        "pyproject.toml",
        "LICENSE",
        "entries",
        "generator",
        "tests",
        "schema",
    }
    present = {path.name for path in root.iterdir() if not path.name.startswith(".")}
    assert present == allowed
