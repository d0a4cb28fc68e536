"""Whatever text stands in whatever field, the reader takes it as that text or says where it is and what is wrong."""

import itertools
import json
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
import yaml

from lidoff.record.load import Loaded, load_text

PATH = "entries/a/b/record.yaml"
CORPUS = yaml.safe_load((Path(__file__).parent / "payloads.yaml").read_text(encoding="utf-8"))
ACCEPTED = [text for name, texts in CORPUS.items() if name != "refused_signs" for text in texts]
# the reader takes blanks at an end for a mistake of the one who typed
MAY_BE_REFUSED = frozenset(text for text in ACCEPTED if text != text.strip())


@pytest.fixture(scope="module")
def sample(sample_text: str) -> dict[str, Any]:
    return yaml.safe_load(sample_text)


def texts_in(node: Any) -> list[str]:
    """All texts of a record, wherever they stand."""
    if isinstance(node, dict):
        return [text for value in node.values() for text in texts_in(value)]
    if isinstance(node, list | tuple):
        return [text for value in node for text in texts_in(value)]
    return [node] if isinstance(node, str) else []


def fields_in(record: dict[str, Any], hostile: ModuleType) -> list[str]:
    seen: list[str] = []
    hostile.placed(record, lambda path, most: seen.append(path))
    return seen


def has_error(loaded: Loaded) -> bool:
    return any(one.severity == "error" for one in loaded.findings)


def judged(loaded: Loaded, text: str) -> None:
    """A record, or findings of which each has a place in the text and can be printed."""
    assert loaded.record is not None or has_error(loaded)
    lines = text.split("\n")
    for one in loaded.findings:
        assert 1 <= one.line <= len(lines) and 1 <= one.column <= len(lines[one.line - 1]) + 1, one
        assert (one.found + one.expected + one.fix + one.field).isprintable()


def test_corpus_is_as_large_as_it_should_be() -> None:
    assert len(ACCEPTED) >= 150 and len(set(ACCEPTED)) == len(ACCEPTED)
    assert max(map(len, ACCEPTED)) <= 60
    assert len(CORPUS) >= 10 and min(map(len, CORPUS.values())) >= 8


def test_fields_that_take_any_text_are_found_in_the_schema(sample: dict[str, Any], hostile: ModuleType) -> None:
    free = hostile.free_fields()
    assert len(free) > 80 and free["product.brand"] == 60 and "status" not in free and "ports[].id" not in free
    assert len(set(fields_in(sample, hostile))) > 60


@pytest.mark.parametrize("text", ACCEPTED)
def test_text_is_read_as_it_was_written(text: str, sample: dict[str, Any], hostile: ModuleType) -> None:
    changed = hostile.placed(sample, lambda path, most: text if len(text) <= most else None)
    written = hostile.as_yaml(changed)
    loaded = load_text(written, PATH)
    judged(loaded, written)
    if has_error(loaded):
        assert {one.rule for one in loaded.findings} == {"record-space"} and text in MAY_BE_REFUSED, loaded.findings
    else:
        assert loaded.record.product.brand == loaded.record.ports[0].note == text


@pytest.mark.parametrize("text", CORPUS["refused_signs"])
def test_sign_that_is_no_text_is_refused_at_its_place(text: str, sample: dict[str, Any], hostile: ModuleType) -> None:
    changed = hostile.placed(sample, lambda path, most: text if path == "product.name" else None)
    escaped = hostile.as_yaml(changed | {"product": changed["product"] | {"name": "HERE"}})
    for written in (json.dumps(text), f'"{text}"', text):
        whole = escaped.replace('"HERE"', written)
        loaded = load_text(whole, PATH)
        assert has_error(loaded), written
        assert loaded.findings[0].rule in ("record-character", "record-syntax", "record-space"), loaded.findings[0]
        line = next(number for number, one in enumerate(whole.replace("\r", "\n").split("\n"), 1) if '"name"' in one)
        assert line <= loaded.findings[0].line <= line + 1
        assert all((one.found + one.expected + one.fix).isprintable() for one in loaded.findings)


@pytest.mark.long
@pytest.mark.parametrize("style", ["plain", "single", "literal", "folded"])
def test_text_in_any_other_style_of_yaml_ends_well(style: str, sample_text: str) -> None:
    before, _, after = sample_text.partition("  name: Fernhollow Pocket 65\n")
    for text in [*ACCEPTED, *CORPUS["refused_signs"]]:
        quoted = "'" + text.replace("'", "''") + "'"
        value = {"plain": text, "single": quoted, "literal": f"|-\n    {text}", "folded": f">-\n    {text}"}[style]
        whole = f"{before}  name: {value}\n{after}"
        loaded = load_text(whole, PATH)
        judged(loaded, whole.replace("\r", "\n"))
        if not has_error(loaded) and style == "single":
            assert loaded.record.product.name == text


@pytest.mark.long
def test_every_text_in_every_field_in_turn(sample: dict[str, Any], hostile: ModuleType) -> None:
    fields, loads = sorted(set(fields_in(sample, hostile))), 0
    shift = itertools.count()
    # every field holds another text, and after as many rounds as there are texts each has held all of them
    for round_ in ACCEPTED:
        start = next(shift)
        at = {field: ACCEPTED[(start + number) % len(ACCEPTED)] for number, field in enumerate(fields)}
        changed = hostile.placed(sample, lambda path, most, at=at: at[path] if len(at[path]) <= most else None)
        written = hostile.as_yaml(changed)
        loaded = load_text(written, PATH)
        judged(loaded, written)
        assert {one.rule for one in loaded.findings} <= {"record-space"}, round_
        loads += 1
    assert loads == len(ACCEPTED)
