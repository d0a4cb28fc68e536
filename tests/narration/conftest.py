"""The demo, examined once, for everything that is written from it."""

from collections.abc import Callable
from pathlib import Path

import pytest

from lidoff.entry import Entry
from lidoff.narration.draft import subject_of
from lidoff.narration.language import read_language
from lidoff.narration.line import Subject
from lidoff.pipeline import examine_all
from lidoff.settings import Settings, read_settings

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def demo_settings() -> Settings:
    return read_settings(ROOT / "mkdocs.yml")


@pytest.fixture(scope="session")
def demo_entries(demo_settings: Settings) -> dict[str, Entry]:
    return {entry.slug: entry for entry in examine_all(demo_settings).entries}


@pytest.fixture(scope="session")
def subject(demo_entries: dict[str, Entry], demo_settings: Settings) -> Callable[[str], Subject]:
    def made(slug: str) -> Subject:
        return subject_of(demo_entries[slug], tuple(demo_entries.values()), demo_settings.tiers_w, read_language())

    return made
