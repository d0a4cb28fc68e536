"""Links that lead nowhere are found when the site is written."""

from pathlib import Path

import pytest

from lidoff.publish.build import build_site
from lidoff.publish.links import dead_links
from lidoff.website import Page


@pytest.fixture
def site(tmp_path: Path) -> Path:
    for path in ("index.html", "products/index.html", "products/ö b/index.html", "data/x.json"):
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).touch()
    return tmp_path


@pytest.mark.parametrize(
    "link",
    [
        "../", "../../", "../%C3%B6%20b/", "../../products/?p=a/b&amp;p=c/d#x", "../../data/x.json",
        "#here", "#", "https://x.example/no/", "mailto:a@x.example",
    ],
)  # fmt: skip
def test_living_link_is_not_reported(site, link):
    assert dead_links("/products/ö b/", f'<h1 id="here">x</h1><a class="c" href="{link}">x</a>', site) == ()


@pytest.mark.parametrize(
    "link",
    [
        "../gone/", "../../../", "../../../products/", "/products/", "../../data/y.json", "../../data/",
        "#gone", "../../products",
    ],
)  # fmt: skip
def test_dead_link_is_reported_once(site, link):
    assert dead_links("/products/ö b/", f'<a href="{link}">x</a><img alt="" src="{link}">', site) == (link,)


def test_dead_link_is_a_warning_of_the_build(project):
    body = '<h1>X</h1><a href="../b/">living</a><a href="../c/">dead</a>'
    project = project.with_pages(Page("/x/a/", "X", "", body), Page("/x/b/", "X", "", "<h1>X</h1>"))
    result = build_site(project.settings, project.source)
    assert result.is_good
    assert result.messages == ("lidoff: /x/a/: the link ../c/ leads nowhere",)


def test_text_can_link_to_a_stamped_page(project):
    with open(project.folder / "docs" / "safety.md", "a", encoding="utf-8") as safety:
        safety.write("\n[one](../makers/quillstone/)\n")
    assert build_site(project.settings, project.source, strict=True).is_good
    with open(project.folder / "docs" / "safety.md", "a", encoding="utf-8") as safety:
        safety.write("\n[two](../makers/nobody/)\n")
    result = build_site(project.settings, project.source, strict=True)
    assert "lidoff: /safety/: the link ../makers/nobody/ leads nowhere" in result.messages
