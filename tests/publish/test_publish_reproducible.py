"""The same input gives the same bytes, whatever the machine around it is set to."""

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.publish.build import build_site

SURROUNDINGS = (
    {"TZ": "Pacific/Kiritimati", "LC_ALL": "C", "PYTHONHASHSEED": "0", "PYTHONUTF8": "0"},
    {"TZ": "America/Anchorage", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "4242", "PYTHONUTF8": "1"},
)


def test_two_builds_in_different_surroundings_are_equal(make_project, digest_of):
    digests = set()
    for number, surroundings in enumerate(SURROUNDINGS):
        project = make_project("a" * (number + 1) + " base")
        environment = {name: value for name, value in os.environ.items() if name != "SOURCE_DATE_EPOCH"} | surroundings
        command = [sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet"]
        done = subprocess.run(command, cwd=project.folder, env=environment, capture_output=True, text=True)
        assert done.returncode == 0, done.stderr
        digests.add(digest_of(project.site.resolve()))
    assert len(digests) == 1


def test_digest_tells_two_sites_apart(make_project, digest_of):
    sites = [make_project("one"), make_project("two").with_pages()]
    for project in sites:
        assert build_site(project.settings, project.source).is_good
    assert digest_of(sites[0].site.resolve()) != digest_of(sites[1].site.resolve())


def with_build_date(project) -> Path:
    """The home page of a site whose theme prints the build date."""
    date = '<meta name="built" content="{{ build_date_utc }}">'
    project.with_theme('{% extends "frame.html" %}{% block extrahead %}' + date + "{% endblock %}")
    return project.site / "index.html"


def test_build_date_is_that_of_the_newest_record(project, monkeypatch):
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    page = with_build_date(project)
    assert build_site(project.settings, project.source).is_good
    assert 'content="2026-03-09 00:00:00+00:00"' in page.read_text(encoding="utf-8")
    assert "SOURCE_DATE_EPOCH" not in os.environ


def test_build_date_that_the_user_sets_is_kept(project, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86400")
    page = with_build_date(project)
    assert build_site(project.settings, project.source).is_good
    assert 'content="1970-01-02 00:00:00+00:00"' in page.read_text(encoding="utf-8")
    assert os.environ["SOURCE_DATE_EPOCH"] == "86400"


def test_site_without_records_can_be_built(project):
    assert build_site(project.settings, replace(project.source, newest=None)).is_good


@pytest.mark.parametrize("word", ["mkdocs-", "generator", "2026"])
def test_no_version_and_no_date_stands_in_a_page(project, word):
    assert build_site(project.settings, project.source).is_good
    for page in sorted(project.site.resolve().rglob("*.html")):
        assert word not in page.read_text(encoding="utf-8")
