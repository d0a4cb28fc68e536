"""Names become folders and addresses through one function."""

import hashlib
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.record.identity import WINDOWS_NAMES, is_folder_name, product_path, slug
from lidoff.record.schema import field_schema


def digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:6]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Fernhollow", "fernhollow"),
        ("FH-65", "fh-65"),
        ("Pell Lane", "pell-lane"),
        ("65", "65"),
        ("Marrow Bay 2 X", "marrow-bay-2-x"),
    ],
)
def test_an_ordinary_name_stays_clean(text: str, expected: str) -> None:
    assert slug(text) == expected


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("C++", "c"),
        ("FH_65", "fh-65"),
        ("FH.65", "fh-65"),
        ("Café", "caf"),
        ("a  b", "a-b"),
        ("-a", "a"),
        ("A/B", "a-b"),
        ("Straße", "strasse"),
        ("ＱＳ", "qs"),
        ("㎏", "kg"),
    ],
)
def test_a_name_that_loses_a_sign_keeps_a_digest(text: str, name: str) -> None:
    assert slug(text) == f"{name}-{digest(text)}"


@pytest.mark.parametrize("text", ["é", "漢字", "++", "🔌"])
def test_a_name_without_plain_signs_is_its_digest(text: str) -> None:
    assert slug(text) == digest(text)


@pytest.mark.parametrize("text", ["AUX", "con", "Nul", "com1", "LPT9"])
def test_a_name_that_windows_keeps_for_itself_gets_a_digest(text: str) -> None:
    assert slug(text) == f"{text.lower()}-{digest(text)}"
    assert not is_folder_name(text.lower())


def test_names_that_differ_in_lost_signs_have_different_slugs() -> None:
    names = ["FH_65", "FH.65", "FH+65", "FH-65", "FH--65", "FH 65+"]
    assert len({slug(name) for name in names}) == len(names)


@given(st.text(min_size=1, max_size=80))
def test_every_slug_is_a_folder_name_and_fits_the_schema(text: str) -> None:
    name = slug(text)
    assert is_folder_name(name) and len(name) <= 64 and name not in WINDOWS_NAMES
    schema = field_schema("product.revision_of")
    path = product_path(text, text)
    assert re.search(schema["pattern"], path) and len(path) <= schema["maxLength"]


@given(st.from_regex(r"\A[A-Za-z0-9]{1,12}([ -][A-Za-z0-9]{1,12}){0,3}\Z"))
def test_a_clean_slug_is_its_own_slug(text: str) -> None:
    assert slug(slug(text)) == slug(text)


def test_the_path_of_a_product_has_two_folders() -> None:
    assert product_path("Fernhollow", "FH-65") == "fernhollow/fh-65"
