"""The navigation as the frame shows it, and what the frame takes from pages written in Markdown."""

import pytest

from lidoff.publish.build import build_site
from lidoff.publish.frame import NavEntry, NavLink, base_of, nav_links, siblings
from lidoff.publish.mkdocs_files import frame_assets

ENTRIES = (
    NavEntry("Products", "products/"),
    NavEntry("How", "methods/", (NavEntry("Methods", "methods/"), NavEntry("Checks", "checks/"))),
    NavEntry("Elsewhere", "https://x.example/"),
)


@pytest.mark.parametrize(
    ("url", "currents"),
    [
        ("products/", ("page", "", "")),
        ("products/b/m/", ("true", "", "")),
        ("checks/rule/", ("", "true", "")),
        ("makers/x/", ("", "", "")),
        ("", ("", "", "")),
    ],
)
def test_current_entry_is_the_page_or_its_section(url, currents):
    assert tuple(link.current for link in nav_links(ENTRIES, url, "")) == currents


def test_links_are_relative_but_for_those_that_lead_elsewhere():
    urls = [link.url for link in nav_links(ENTRIES, "products/b/m/", "../../../")]
    assert urls == ["../../../products/", "../../../methods/", "https://x.example/"]


def test_pages_of_the_current_section_are_listed():
    assert [entry.label for entry in siblings(ENTRIES, "checks/rule/")] == ["Methods", "Checks"]
    assert siblings(ENTRIES, "products/") == ()
    assert nav_links(siblings(ENTRIES, "checks/"), "checks/", "../")[1] == NavLink("Checks", "../checks/", "page")


@pytest.mark.parametrize(("url", "base"), [("", "./"), ("a/", "../"), ("a/b/c/d/", "../../../../")])
def test_base_leads_back_to_the_top(url, base):
    assert base_of(url) == base


def test_sections_titles_and_descriptions_of_written_pages(project):
    project.with_config("  - Safety: safety.md", "  - Care & more: [safety.md, plain.md]")
    text = '---\ntitle: Plain & "simple"\ndescription: One <b>"line"</b>\n---\n\nNo heading.\n'
    (project.folder / "docs" / "plain.md").write_text(text, encoding="utf-8")
    result = build_site(project.settings, project.source, strict=True)
    assert result.is_good, result.messages
    html = (project.site / "plain" / "index.html").read_text(encoding="utf-8")
    assert "<title>Plain &amp; &#34;simple&#34; - Lidoff</title>" in html
    assert '<meta name="description" content="One &lt;b&gt;&#34;line&#34;&lt;/b&gt;">' in html
    assert "<h1>Plain &amp; &#34;simple&#34;</h1>" in html
    assert '<a href="../safety/" aria-current="true">Care &amp; more</a>' in html
    assert '<a href="../safety/">Before you open a charger</a>' in html
    assert '<a href="../plain/" aria-current="page">Plain &amp; &#34;simple&#34;</a>' in html


def test_home_page_is_reached_by_the_name_of_the_site(project):
    assert build_site(project.settings, project.source).is_good
    html = (project.site / "index.html").read_text(encoding="utf-8")
    assert "<title>Opened chargers</title>" in html
    assert '<a class="frame-name" href="./">' in html
    assert ">Home</a>" not in html


def test_page_for_unknown_addresses_links_from_any_depth(make_project):
    project = make_project(site_url="https://base.example/chargers/")
    assert build_site(project.settings, project.source).is_good
    html = (project.site / "404.html").read_text(encoding="utf-8")
    assert f'<link rel="stylesheet" href="/chargers/{frame_assets()}frame.css">' in html
    assert '<a href="/chargers/products/">Products</a>' in html
    assert '<a href="/chargers/">Go to the start page</a>' in html
    assert "canonical" not in html


def test_wide_table_in_text_can_be_reached_by_keyboard(project):
    assert build_site(project.settings, project.source).is_good
    html = (project.site / "safety" / "index.html").read_text(encoding="utf-8")
    assert '<div class="scroller" tabindex="0" role="group" aria-label="Table, may scroll sideways"><table>' in html
