"""Every locked package states a licence that goes with ours; a strange one is noticed."""

import importlib.util
import re
from importlib.metadata import Distribution, distributions
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[1]


@pytest.fixture(scope="module")
def program() -> ModuleType:
    spec = importlib.util.spec_from_file_location("lidoff_licences", ROOT / "generator" / "licences.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


class Invented(Distribution):
    def __init__(self, text: str) -> None:
        self.text = text

    def read_text(self, filename: str) -> str | None:
        return f"Metadata-Version: 2.1\nName: strange\nVersion: 1\n{self.text}\n" if filename == "METADATA" else None

    def locate_file(self, path: object) -> Path:
        raise FileNotFoundError(path)


def test_all_installed_packages_fit(program: ModuleType) -> None:
    found = list(program.licences(distributions()))
    assert [f"{one.package}: {one.text}" for one in found if not one.is_fitting] == []
    names = {re.sub(r"[-_.]+", "-", one.package).lower() for one in found}
    locked = re.findall(
        r"^([a-z0-9-]+)==[^ ]+ (?!;)", (ROOT / "generator" / "locks" / "site.txt").read_text(), re.MULTILINE
    )
    assert len(locked) > 30 and set(locked) <= names


@pytest.mark.parametrize(
    "text",
    [
        "License: Proprietary",
        "License-Expression: AGPL-3.0-only",
        "Classifier: License :: OSI Approved :: GNU General Public License v3 (GPLv3)",
        "",
    ],
)
def test_another_licence_is_noticed(program: ModuleType, text: str) -> None:
    (one,) = program.licences([Invented(text)])
    assert not one.is_fitting


@pytest.mark.parametrize(
    "text",
    ["License: MIT", "License-Expression: MIT AND PSF-2.0", "Classifier: License :: OSI Approved :: BSD License"],
)
def test_a_usual_one_fits(program: ModuleType, text: str) -> None:
    (one,) = program.licences([Invented(text)])
    assert one.is_fitting
