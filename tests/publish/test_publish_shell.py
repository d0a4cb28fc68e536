"""A stamped page is the page that mkdocs itself would have rendered, byte for byte."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.publish.build import build_site
from lidoff.publish.mkdocs_files import frame_assets
from lidoff.publish.shell import SENTINELS, SLOT_NAMES, Addressing, ShellError, Slots, cut, page_file, plain, section_of
from lidoff.website import Page

AWKWARD = "Torque & <Tine> \"60\" 'W'   über"
BODY = '<h1 id="top">Ümlaut &amp; co</h1>\n<p>LidoffSlot 100 &lt; 240 V, µF</p><script src="../x.js"></script>'


def framed(slots: Slots) -> str:
    return f"<t>{slots.title}</t><m {slots.description}><a {slots.canonical}>{slots.content}<b>{slots.edit}</b>{slots.social}"


ADDRESSES = (
    "/alone/", "/makers/quillstone/", "/trends/t/", "/products/fern-hollow/fh-65/", "/parts/-/q/",
    "/compare/part/ölpumpe/x-1/",
)  # fmt: skip


@pytest.mark.parametrize("site_url", ["https://base.example/", "https://base.example/a/b/"])
@pytest.mark.parametrize("edit_path", [None, "entries/a b/record.yaml"])
def test_stamped_page_equals_mkdocs_own(make_project, site_url, edit_path):
    sites = []
    for frame in ("stamped", "builder"):
        pages = [Page(address, AWKWARD, AWKWARD, BODY, frame, edit_path) for address in ADDRESSES]
        project = make_project(frame, site_url=site_url).with_pages(*pages)
        result = build_site(project.settings, project.source)
        assert result.is_good, result.messages
        sites.append([(project.site / page_file(address)).read_bytes() for address in ADDRESSES])
    assert sites[0] == sites[1]
    for html in sites[0]:
        assert BODY.encode() in html
        assert (b'rel="edit"' in html) == (edit_path is not None)


def test_title_and_description_are_escaped(project):
    project = project.with_pages(Page("/x/", '</title><script>"&', '"><script>', "<h1>X</h1>"))
    assert build_site(project.settings, project.source).is_good
    html = (project.site / "x" / "index.html").read_text(encoding="utf-8")
    assert "<title>&lt;/title&gt;&lt;script&gt;&#34;&amp; - Lidoff</title>" in html
    assert '<meta name="description" content="&#34;&gt;&lt;script&gt;">' in html


def test_links_lead_from_every_depth_to_the_same_places(project):
    project = project.with_pages(*(Page("/" + "d/" * depth, "D", "", "<h1>D</h1>") for depth in (1, 2, 3, 4)))
    assert build_site(project.settings, project.source).is_good
    for depth in (1, 2, 3, 4):
        html = (project.site / ("d/" * depth) / "index.html").read_text(encoding="utf-8")
        up = "../" * depth
        for target in ("products/", "assets/lidoff.css", "assets/lidoff.js", f"{frame_assets()}frame.css"):
            assert f'="{up}{target}"' in html


def test_section_of_a_stamped_page_is_marked_in_the_navigation(project):
    assert build_site(project.settings, project.source).is_good
    product = (project.site / "products/fernhollow/fh-65/index.html").read_text(encoding="utf-8")
    assert '<a href="../../../products/" aria-current="true">Products</a>' in product
    assert product.count("aria-current") == 1
    assert "aria-current" not in (project.site / "makers/quillstone/index.html").read_text(encoding="utf-8")


def test_edit_link_leads_to_the_file_beside_mkdocs_yml(project):
    assert build_site(project.settings, project.source).is_good
    product = (project.site / "products/fernhollow/fh-65/index.html").read_text(encoding="utf-8")
    assert '<a href="https://git.example/base/edit/main/entries/fernhollow/fh-65/record.yaml" rel="edit">' in product
    safety = (project.site / "safety/index.html").read_text(encoding="utf-8")
    assert '<a href="https://git.example/base/edit/main/docs/safety.md" rel="edit">' in safety


@pytest.mark.parametrize("name", SLOT_NAMES)
def test_missing_slot_is_an_error(name):
    with pytest.raises(ShellError, match=f"slot for {name} 0 times"):
        cut(framed(replace(SENTINELS, **{name: ""})))


@pytest.mark.parametrize("name", SLOT_NAMES)
def test_slot_that_stands_twice_is_an_error(name):
    with pytest.raises(ShellError, match=f"slot for {name} 2 times"):
        cut(framed(SENTINELS) + getattr(SENTINELS, name))


def test_theme_that_prints_a_slot_twice_fails_the_build(project):
    project.with_theme("{{ frame.policy }}{{ frame.title }}{{ frame.title }}{{ frame.content }}")
    result = build_site(project.settings, project.source)
    assert not result.is_good
    assert any("the slot for title 2 times" in message for message in result.messages)
    assert not project.site.exists()


@given(st.builds(Slots, *[st.text()] * 5))
def test_stamping_fills_each_slot_and_changes_nothing_else(slots):
    assert cut(framed(SENTINELS)).stamp(slots) == framed(slots)


@given(st.text())
def test_plain_text_can_neither_end_an_attribute_nor_open_a_tag(text):
    assert not set(plain(text)) & set("<>\"'\n\r\t")


@pytest.mark.parametrize(
    "address",
    [
        "products/x/", "/products/x", "", "//", "/a//b/", "/../x/", "/a/./b/", "/.git/",
        "/a?b/", "/a#b/", "/a%2fb/", "/a\\b/", "/C:/",
    ],
)  # fmt: skip
def test_unsound_address_is_refused(address):
    with pytest.raises(ShellError, match="the page address"):
        page_file(address)


def test_page_deeper_than_the_frames_fails_the_build(project):
    project = project.with_pages(Page("/a/b/c/d/e/", "Deep", "", "<h1>Deep</h1>"))
    result = build_site(project.settings, project.source)
    assert not result.is_good
    assert any("a page at /a/b/c/d/e/, 5 folders deep" in message for message in result.messages)


@pytest.mark.parametrize(
    ("address", "section"), [("/", ""), ("/products/b/m/", "products"), ("products/b/", "products")]
)
def test_section_is_the_first_folder(address, section):
    assert section_of(address) == section


def test_no_edit_link_without_a_repository():
    assert Addressing("Lidoff", "https://base.example/").edit_link("entries/a/b/record.yaml") == ""


def test_a_page_with_a_picture_says_what_stands_for_it_where_it_is_linked():
    addressing = Addressing("Base", "https://base.example/chargers/")
    page = Page("/products/b/m/", 'A "B"', "65 W & more", "<h1>A</h1>", image="pictures/ü.jpg", image_alt="Top <side>")
    social = addressing.slots(page).social
    assert '<meta property="og:title" content="A &#34;B&#34;">' in social
    assert '<meta property="og:image" content="https://base.example/chargers/pictures/%C3%BC.jpg">' in social
    assert '<meta property="og:url" content="https://base.example/chargers/products/b/m/">' in social
    assert "Top &lt;side&gt;" in social and "65 W &amp; more" in social
    assert addressing.slots(replace(page, image=None)).social == ""
