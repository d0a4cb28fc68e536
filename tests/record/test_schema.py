"""The schema itself: valid, closed, described, with a unit on every number, and in step with the messages."""

import re
from collections.abc import Iterator

import jsonschema
import pytest

from lidoff.record import schema
from lidoff.record.messages import WORDINGS
from lidoff.record.phrases import expected
from lidoff.record.reference import fields, vocabularies
from lidoff.record.scalars import other_reading

# keywords that say nothing of a value, or only hold others
SILENT = {
    "$schema", "$id", "$ref", "$defs", "title", "description", "examples", "x-unit", "x-date",
    "markdownEnumDescriptions",
    "patternErrorMessage", "format", "properties", "items", "if", "then", "not", "allOf", "dependentSchemas",
}  # fmt: skip
SUFFIXES = {
    "v": "V", "kv": "kV", "mv": "mV", "a": "A", "ma": "mA", "ua": "µA", "w": "W", "hz": "Hz", "khz": "kHz",
    "mhz": "MHz",
    "ohm": "Ω", "mohm": "mΩ", "uf": "µF", "nf": "nF", "pf": "pF", "uh": "µH", "nc": "nC", "mm": "mm", "mm2": "mm²", "px": "px",
    "cm3": "cm³", "g": "g", "us": "µs", "ms": "ms", "s": "s", "min": "min", "h": "h", "c": "°C", "pct": "%",
    "a2s": "A²s", "j": "J",
    "m": "m",
}  # fmt: skip


def subschemas(node: object, path: str = "") -> Iterator[tuple[str, dict]]:
    """Every schema object of a document with its path."""
    if not isinstance(node, dict):
        return
    yield path, node
    for key in ("properties", "$defs", "dependentSchemas"):
        for name, inner in node.get(key, {}).items():
            yield from subschemas(inner, f"{path}/{key}/{name}")
    for key in ("items", "additionalProperties", "propertyNames", "if", "then", "not"):
        yield from subschemas(node.get(key), f"{path}/{key}")
    for number, inner in enumerate(node.get("allOf", ())):
        yield from subschemas(inner, f"{path}/allOf/{number}")


ALL = [(f"{part}{path}", node) for part, document in schema.parts().items() for path, node in subschemas(document)]
PLACES = [(path, node) for path, node in ALL if not re.search(r"/(allOf|propertyNames)(/|$)", path)]


@pytest.mark.parametrize("part", schema.parts())
def test_a_part_is_valid_json_schema(part: str) -> None:
    document = schema.parts()[part]
    jsonschema.Draft202012Validator.check_schema(document)
    assert document["$id"].endswith(f"/{part}")


def test_every_reference_leads_somewhere_and_none_in_a_circle() -> None:
    assert sum(1 for _ in fields()) > 400


def test_every_place_is_described() -> None:
    undescribed = [path for path, node in PLACES if "$ref" not in node and not node.get("description")]
    assert undescribed == []


def test_every_number_has_a_unit() -> None:
    numbers = [(path, node) for path, node in PLACES if node.get("type") in ("number", "integer")]
    assert len(numbers) > 150
    assert [path for path, node in numbers if not node.get("x-unit")] == []


@pytest.mark.parametrize("field", [field for field in fields() if field.unit], ids=lambda field: field.path)
def test_a_unit_in_a_key_is_the_unit_of_the_field(field) -> None:
    key = [step for step in re.split(r"[.\[\]]+", field.path) if step and step != "*"][-1]
    suffix = key.rpartition("_")[2] if "_" in key else ""
    if key == "slew_a_per_us":
        assert field.unit == "A/µs"
    elif key.startswith("pct_"):
        assert field.unit == "%"
    elif suffix in SUFFIXES:
        assert field.unit == SUFFIXES[suffix]
    else:
        of_their_own = {"1", "year", "currency", "same as the quantity"}
        assert field.unit in of_their_own or key in {"size", "with_prongs", "ports"}


def test_every_mapping_is_closed() -> None:
    mappings = [(path, node) for path, node in PLACES if node.get("type") == "object"]
    not_closed = [(path, node) for path, node in mappings if node.get("additionalProperties") is not False]
    assert [path for path, node in not_closed if "propertyNames" not in node] == []


def test_every_text_and_number_has_bounds() -> None:
    texts = [(path, node) for path, node in PLACES if node.get("type") == "string" and "enum" not in node]
    assert [path for path, node in texts if not {"minLength", "maxLength"} <= set(node)] == []
    numbers = [path for path, node in PLACES if node.get("type") in ("number", "integer") and "maximum" not in node]
    assert numbers == []


def test_every_word_is_defined_once_and_reads_as_text() -> None:
    for vocabulary in vocabularies():
        words = [word.word for word in vocabulary.words]
        assert len(set(words)) == len(words), vocabulary.name
        assert all(word.meaning.endswith(".") or word.meaning for word in vocabulary.words), vocabulary.name
        if vocabulary.name != "package_family":
            assert [word for word in words if other_reading(word)] == [], vocabulary.name


def test_enumerations_and_their_descriptions_have_one_length() -> None:
    enumerations = [(path, node) for path, node in ALL if "enum" in node]
    assert len(enumerations) == len(vocabularies())
    assert [path for path, node in enumerations if len(node["enum"]) != len(node["markdownEnumDescriptions"])] == []


def test_every_pattern_is_told_in_words() -> None:
    patterns = [(path, node) for path, node in ALL if "pattern" in node]
    assert len(patterns) >= 20
    assert [path for path, node in patterns if not node.get("patternErrorMessage")] == []


def test_examples_hold() -> None:
    checked = 0
    for path, node in ALL:
        for example in node.get("examples", ()):
            jsonschema.Draft202012Validator(node).validate(example)
            checked += 1
    assert checked >= 20, path


def test_package_families_agree_with_the_pattern() -> None:
    by_name = {vocabulary.name: vocabulary for vocabulary in vocabularies()}
    families = {word.word for word in by_name["package_family"].words}
    pattern = schema.field_schema("components[0].package")["pattern"]
    alternatives = re.match(r"\^\(([^()]*)\)", pattern).group(1).split("|")
    assert set(alternatives) == families
    assert all(re.search(pattern, f"{family}{size}") for family in families for size in ("", " 5x6", " 14.5x25"))
    # a longer family must come before a shorter one that it begins with, or the alternative would never be reached
    for number, family in enumerate(alternatives):
        assert not any(family.startswith(earlier) for earlier in alternatives[:number]), family


def test_every_keyword_has_a_wording() -> None:
    used = {keyword for path, node in ALL for keyword in node}
    assert used - SILENT == set(WORDINGS) - {"not allowed here"}


def test_lists_that_want_each_item_once_hold_single_values() -> None:
    for path, node in ALL:
        if node.get("uniqueItems"):
            items = node["items"]
            assert "$ref" in items or items["type"] in ("string", "number"), path


def test_a_field_is_found_by_its_path() -> None:
    assert schema.field_schema("ports[0].label[1].voltage_max_v")["maximum"] == 50
    assert schema.field_schema("measured.soak[0].ports.C1")["x-unit"] == "W"
    assert schema.field_schema("ports[0].nothing") is None
    assert schema.field_schema("product.brand.deeper") is None


def test_the_description_beside_a_reference_wins() -> None:
    assert schema.field_schema("product.kind")["description"] == "What sort of charger it is."
    assert schema.field_schema("components[0].ref")["description"] == "Designator."


@pytest.mark.parametrize(
    ("field", "phrase"),
    [
        ("ports[0].label[0].voltage_max_v", "a number of volts, 3 to 50"),
        ("product.rated_power_w", "a number of watts, above 0, up to 1000"),
        ("product.launched", "a year, 1995 to 2100"),
        ("product.supplied_cable.emarked", "true or false"),
        ("boards[0].layers", "a whole number, 1 to 32"),
        ("measured.efficiency[0].load_pct", "a percentage, 0 to 200"),
        ("components[0].ratings.resistance_ohm", "a number of ohms, 0 to 1000000000"),
        ("measured.body_mm.size", "a list of 3 items, each a number of millimetres, above 0, up to 2000"),
        ("status", "one of draft, published"),
        ("components[0].roles[0]", "one of the 80 words of the vocabulary role"),
        ("port_sharing[0].ports", "a mapping from a port, such as C1, to a number of watts, 0 to 1000"),
        ("product.brand", "text of up to 60 characters"),
    ],
)
def test_what_is_expected_is_told_in_words(field: str, phrase: str) -> None:
    assert expected(schema.shape_at(field)) == phrase


def test_the_field_reference_lists_every_field_once() -> None:
    listed = list(fields())
    assert len({field.path for field in listed}) == len(listed)
    assert all(field.description and field.phrase for field in listed)
    by_path = {field.path: field for field in listed}
    assert by_path["ports"].required and not by_path["samples"].required
    assert by_path["ports[].label[].voltage_v"].required_by_kinds == ("fixed",)
    assert by_path["measured.soak[].ports.*"].unit == "W"
    assert by_path["components[].roles"].vocabulary == "role"
