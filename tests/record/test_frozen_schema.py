"""``schema: 1`` is frozen: what the list of its fields and words names stays, and nothing new is ever required."""

from pathlib import Path

import pytest

from lidoff.record.reference import Field, fields, vocabularies

LIST = Path(__file__).with_name("schema_1.txt")


def field_line(field: Field) -> str:
    """A field as the list writes it: path, kind, unit, vocabulary, and whether something can't do without it."""
    need = "required" if field.required else ",".join(field.required_by_kinds) or "optional"
    unit = field.unit.replace(" ", "_") if field.unit else "-"
    return f"field {field.path} {field.kind} {unit} {field.vocabulary or '-'} {need}"


def lines_now() -> list[str]:
    words = [f"word {one.name} {word.word}" for one in vocabularies() for word in one.words]
    return [field_line(field) for field in fields()] + words


def test_what_is_frozen_stays(request: pytest.FixtureRequest) -> None:
    if request.config.getoption("--refresh-expected"):
        LIST.write_text("\n".join(lines_now()) + "\n", encoding="utf-8")
    frozen = LIST.read_text(encoding="utf-8").splitlines()
    assert len(frozen) > 900
    assert sorted(set(frozen) - set(lines_now())) == []


def test_what_is_new_is_not_required() -> None:
    known = {line.split()[1] for line in LIST.read_text(encoding="utf-8").splitlines() if line.startswith("field ")}
    new = [field for field in fields() if field.path not in known]
    assert [field.path for field in new if (field.required or field.required_by_kinds) and held(field, known)] == []


def held(field: Field, known: set[str]) -> bool:
    """Whether what holds the field is frozen; a new mapping may require what it likes of itself."""
    holder = field.path.rpartition(".")[0].removesuffix("[]")
    return not holder or holder in known
