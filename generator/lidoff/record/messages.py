"""A fault that the schema's validator names -> a finding in plain words; each keyword has its own wording."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from jsonschema import ValidationError

from lidoff.finding import Finding, Place
from lidoff.record import nearest
from lidoff.record.faults import fault, quoted, shown
from lidoff.record.marks import Marks
from lidoff.record.paths import Step, Trail, written
from lidoff.record.phrases import UNITS_IN_WORDS, counted, expected, key_list, plain
from lidoff.record.schema import Shape, record_shape, version
from lidoff.record.wording import assigned


@dataclass(frozen=True, slots=True)
class Scene:
    """What the wordings look at: the data and its places.

    ``unread`` are the keys of the top level that could not be read, ``holes`` the mappings with a refused key: what
    seems to be missing there may be what could not be read.
    """

    data: object
    marks: Marks
    unread: frozenset[str] = frozenset()
    holes: frozenset[Trail] = frozenset()

    def value(self, trail: Trail) -> object:
        """The data at a trail."""
        value = self.data
        for step in trail:
            value = value[step]
        return value

    def shape(self, trail: Trail) -> Shape:
        """The shape at a trail that the schema knows."""
        shape = record_shape()
        for step in trail:
            shape = shape.step(step)
        return shape


Wording = Callable[[ValidationError, Trail, Scene], Iterator[Finding]]


def findings_on(error: ValidationError, scene: Scene) -> Iterator[Finding]:
    """The findings that one fault stands for; several faults may stand for the same."""
    keyword = "not allowed here" if error.validator is None else str(error.validator)
    if "propertyNames" in error.absolute_schema_path:
        keyword = "propertyNames"
    return WORDINGS[keyword](error, tuple(error.absolute_path), scene)


def _at(
    rule: str, trail: Trail, scene: Scene, found: str, wanted: str, fix: str, related: tuple[Place, ...] = ()
) -> Finding:
    place = scene.marks.place(written(trail))
    return fault(rule, place.path, place.line, place.column, found, wanted, fix, written(trail), related)


def _at_key(
    rule: str, trail: Trail, scene: Scene, found: str, wanted: str, fix: str, related: tuple[Place, ...] = ()
) -> Finding:
    place = scene.marks.key_place(written(trail))
    return fault(rule, place.path, place.line, place.column, found, wanted, fix, written(trail), related)


def _missing(error: ValidationError, trail: Trail, scene: Scene) -> Iterator[Finding]:
    shape = scene.shape(trail)
    if nearest.misplaced(error.instance, shape):
        return
    misspelt = nearest.misspelt_keys(error.instance, shape).values()
    for key in error.validator_value:
        if key in error.instance or key in misspelt or _may_be_unread(key, trail, scene):
            continue
        kind = error.instance.get("kind") if "then" in error.absolute_schema_path else None
        of = f" of the kind {kind}" if kind else ""
        wanted = f"{key}{of}: {expected(shape.keys[key])}"
        if key == "teardown":
            wanted = "teardown with its date, or source when no unit was opened"
        yield _at("record-missing-key", (*trail, key), scene, f"no {key}", wanted, f"add {key} with its value")


def _may_be_unread(key: str, trail: Trail, scene: Scene) -> bool:
    """Whether a key that is missing may stand in what could not be read, or be made needless by it."""
    if trail:
        return trail in scene.holes
    return () in scene.holes or key in scene.unread or (key == "teardown" and "source" in scene.unread)


def _unknown(error: ValidationError, trail: Trail, scene: Scene) -> Iterator[Finding]:
    shape = scene.shape(trail)
    misspelt = nearest.misspelt_keys(error.instance, shape)
    where = written(trail) or "a record"
    home = nearest.misplaced(error.instance, shape)
    if home:
        found, wanted = f"the keys of {home}", f"the keys of {where}: {key_list(shape)}"
        yield _at("record-unknown-key", trail, scene, found, wanted, f"move it to {home}")
        return
    for key in error.instance:
        if key in shape.keys:
            continue
        if key.partition(":")[0] in shape.keys:
            fix = f"put a space after the colon: {shown(key.replace(':', ': ', 1))}"
        elif key in misspelt:
            fix = f"rename it to {misspelt[key]}"
        else:
            homes = nearest.homes(key)
            fix = f"move it to {homes}, or leave it out" if homes else "leave it out, or use one of these keys"
        yield _at_key(
            "record-unknown-key",
            (*trail, key),
            scene,
            f"the key {shown(key)}",
            f"a key of {where}: {key_list(shape)}",
            fix,
        )


def _word(error: ValidationError, trail: Trail, scene: Scene) -> Iterator[Finding]:
    shape = scene.shape(trail)
    near = nearest.words(error.instance, shape.schema["enum"])
    if len(near) == 1:
        fix = f"write {assigned(trail, near[0])}"
    elif near:
        fix = f"use one of {', '.join(near)}"
    else:
        fix = "use one of these words" + _or_nothing(trail, scene)
    yield _at("record-word", trail, scene, shown(error.instance), expected(shape), fix)


def _or_nothing(trail: Trail, scene: Scene) -> str:
    """The way out that an optional key has."""
    required = scene.shape(trail[:-1]).schema.get("required", ())
    return "" if trail[-1] in required or isinstance(trail[-1], int) else ", or leave the key out"


def _version(error: ValidationError, trail: Trail, scene: Scene) -> Iterator[Finding]:
    known = version()
    found = f"version {error.instance} of the record format"
    later = "bring Lidoff up to date: this record is of a later format"
    earlier = "run lidoff migrate, which keeps comments"
    is_format = isinstance(error.instance, int) and 0 <= error.instance < known
    fix = later if error.instance > known else earlier if is_format else f"write schema: {known}"
    yield _at("record-version", trail, scene, found, f"version {known}", fix)


def _range(error: ValidationError, trail: Trail, scene: Scene) -> Iterator[Finding]:
    shape = scene.shape(trail)
    unit = UNITS_IN_WORDS.get(shape.schema.get("x-unit", ""), "")
    fix = f"check the decimal point and the unit: the value is in {unit}" if unit else "check the value"
    yield _at("record-range", trail, scene, plain(error.instance), expected(shape), fix)


def _form(error: ValidationError, trail: Trail, scene: Scene) -> Iterator[Finding]:
    shape = scene.shape(trail)
    if shape.word_list is None and trail[-1] == "package":
        near = nearest.package(error.instance)
        families = "begin with a family of the vocabulary package_family, then a space and the size"
        fix = f"write {assigned(trail, near)}" if near else families
    else:
        fix = "write it in that form" + _or_nothing(trail, scene)
    yield _at("record-form", trail, scene, quoted(error.instance), expected(shape), fix)


def _key_form(error: ValidationError, trail: Trail, scene: Scene) -> Iterator[Finding]:
    wanted = scene.shape(trail).schema["propertyNames"]["patternErrorMessage"]
    yield _at_key(
        "record-form",
        (*trail, error.instance),
        scene,
        f"the key {shown(error.instance)}",
        wanted,
        "write the key in that form",
    )


def _too_short(error: ValidationError, trail: Trail, scene: Scene) -> Iterator[Finding]:
    yield _at(
        "record-empty",
        trail,
        scene,
        'text of no length ("")',
        expected(scene.shape(trail)),
        "leave the key out: what is unknown is not written",
    )


def _too_long(error: ValidationError, trail: Trail, scene: Scene) -> Iterator[Finding]:
    found = f"{counted(len(error.instance), 'character')}: {quoted(error.instance)}"
    wanted = f"at most {counted(error.validator_value, 'character')}"
    yield _at("record-length", trail, scene, found, wanted, "shorten it")


def _count(error: ValidationError, trail: Trail, scene: Scene) -> Iterator[Finding]:
    shape = scene.shape(trail)
    found = counted(len(error.instance), "item")
    if not error.instance:
        fix = "add an item, or leave the key out: what is unknown is not written"
    else:
        fix = "add what is missing" if error.validator == "minItems" else "take items away"
    yield _at("record-count", trail, scene, found, expected(shape), fix)


def _no_keys(error: ValidationError, trail: Trail, scene: Scene) -> Iterator[Finding]:
    yield _at(
        "record-count",
        trail,
        scene,
        "no keys",
        expected(scene.shape(trail)),
        "add a key with its value, or leave it out",
    )


def _repeated(error: ValidationError, trail: Trail, scene: Scene) -> Iterator[Finding]:
    first: dict[object, int] = {}
    for index, item in enumerate(error.instance):
        if item is None:
            continue
        if item in first:
            there = scene.marks.place(written((*trail, first[item])))
            yield _at(
                "record-repeated",
                (*trail, index),
                scene,
                f"{shown(str(item))} a second time",
                "every item once",
                "take one of the two away",
                (there,),
            )
        first.setdefault(item, index)


def _not_here(error: ValidationError, trail: Trail, scene: Scene) -> Iterator[Finding]:
    """Keys that the kind beside them, or another key, rules out; the validator names only the mapping they stand in."""
    steps: list[Step] = list(error.absolute_schema_path)
    if steps[-1] != "properties":
        steps, trail = steps[:-1], trail[:-1]
    ruled_out = scene.shape(trail).schema
    for step in steps[len(steps) - 1 - steps[::-1].index("allOf") :]:
        ruled_out = ruled_out[step]
    mapping = scene.value(trail)
    for key in mapping:
        if ruled_out.get(key) is False and mapping[key] is not None:
            yield _conflict(key, steps, trail, scene) if "dependentSchemas" in steps else _wrong_kind(key, trail, scene)


def _conflict(key: str, steps: list[Step], trail: Trail, scene: Scene) -> Finding:
    other = steps[steps.index("dependentSchemas") + 1]
    there = scene.marks.key_place(written((*trail, other)))
    fix = f"keep the one that is printed and leave {key} or {other} out"
    return _at_key("record-conflict", (*trail, key), scene, f"{key} beside {other}", "one of the two", fix, (there,))


def _wrong_kind(key: str, trail: Trail, scene: Scene) -> Finding:
    kind = scene.value(trail)["kind"]
    there = scene.marks.place(written((*trail, "kind")))
    found, wanted = f"{key} beside kind: {kind}", f"a key that the kind {kind} has"
    return _at_key(
        "record-kind", (*trail, key), scene, found, wanted, f"leave {key} out, or correct the kind", (there,)
    )


def _kind_of_value(error: ValidationError, trail: Trail, scene: Scene) -> Iterator[Finding]:
    yield _at(
        "record-structure",
        trail,
        scene,
        shown(str(error.instance)),
        expected(scene.shape(trail)),
        "write what is expected, or leave the key out",
    )


WORDINGS: Mapping[str, Wording] = {
    "required": _missing,
    "additionalProperties": _unknown,
    "enum": _word,
    "const": _version,
    "minimum": _range,
    "maximum": _range,
    "exclusiveMinimum": _range,
    "pattern": _form,
    "propertyNames": _key_form,
    "minLength": _too_short,
    "maxLength": _too_long,
    "minItems": _count,
    "maxItems": _count,
    "minProperties": _no_keys,
    "uniqueItems": _repeated,
    "not allowed here": _not_here,
    "type": _kind_of_value,
}
