"""The classes of a record equal the schema, field for field."""

import dataclasses
import types
import typing
from collections.abc import Mapping

import msgspec
import pytest

from lidoff.record.model import Record
from lidoff.record.model.component import Ratings
from lidoff.record.model.fields import defaults_of
from lidoff.record.schema import Shape, record_shape


def pairs() -> dict[type, Shape]:
    """Every class of a record with the shape that it stands for."""
    found: dict[type, Shape] = {}
    waiting: list[tuple[type, Shape]] = [(Record, record_shape())]
    while waiting:
        model, shape = waiting.pop()
        if model in found:
            continue
        found[model] = shape
        for name, hint in typing.get_type_hints(model).items():
            inner = shape.keys.get(name)
            for part in parts_of(hint):
                if is_model(part) and inner is not None:
                    waiting.append((part, inner.items if inner.kind == "list" else inner))
    return found


def is_model(hint: object) -> bool:
    return isinstance(hint, type) and (dataclasses.is_dataclass(hint) or issubclass(hint, msgspec.Struct))


def parts_of(hint: object) -> list[object]:
    """The types that a type hint is made of."""
    arguments = typing.get_args(hint)
    return [hint] if not arguments else [part for argument in arguments for part in parts_of(argument)]


def without_none(hint: object) -> object:
    if isinstance(hint, types.UnionType):
        return next(argument for argument in typing.get_args(hint) if argument is not type(None))
    return hint


def wanted(shape: Shape) -> object:
    """The type that a value of a shape has; a class stands for itself."""
    simple = {"text": str, "number": float, "whole": int, "flag": bool}
    if shape.kind in simple:
        return simple[shape.kind]
    if shape.kind == "list":
        least, most = shape.schema.get("minItems"), shape.schema.get("maxItems")
        item = wanted(shape.items)
        return tuple[(item,) * least] if least == most and least else tuple[item, ...]
    return Mapping[str, wanted(shape.others)] if shape.others is not None else "class"


def plain(hint: object) -> object:
    """A type hint with every class replaced by the word."""
    if is_model(hint):
        return "class"
    if typing.get_origin(hint) is tuple:
        return tuple[tuple(part if part is Ellipsis else plain(part) for part in typing.get_args(hint))]
    return hint


PAIRS = pairs()
NO_DEFAULT = (dataclasses.MISSING, msgspec.NODEFAULT)


@pytest.mark.parametrize("model", PAIRS, ids=lambda model: model.__name__)
def test_a_class_equals_its_part_of_the_schema(model: type) -> None:
    shape, defaults = PAIRS[model], defaults_of(model)
    assert set(defaults) == set(typing.get_type_hints(model)) == set(shape.keys)
    required = set(shape.schema.get("required", ()))
    assert {name for name, default in defaults.items() if default in NO_DEFAULT} == required
    is_struct = issubclass(model, msgspec.Struct)
    assert (model.__struct_config__ if is_struct else model.__dataclass_params__).frozen and hasattr(model, "__slots__")


@pytest.mark.parametrize("model", PAIRS, ids=lambda model: model.__name__)
def test_a_field_has_the_type_that_the_schema_gives(model: type) -> None:
    for name, hint in typing.get_type_hints(model).items():
        assert plain(without_none(hint)) == wanted(PAIRS[model].keys[name]), f"{model.__name__}.{name}"


@pytest.mark.parametrize("model", PAIRS, ids=lambda model: model.__name__)
def test_absent_is_none_or_an_empty_list(model: type) -> None:
    for default in defaults_of(model).values():
        assert default in (*NO_DEFAULT, None, ())


def test_all_classes_are_reached() -> None:
    assert len(PAIRS) > 45 and Ratings in PAIRS
