"""The policy: what it says, which scripts it lets run, what it finds in a fragment."""

from dataclasses import replace
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis.strategies import lists, sampled_from

from lidoff.publish import policy
from lidoff.publish.build import build_site
from lidoff.record.text import refused_sign
from lidoff.website import Page


def rules(text: str) -> dict[str, list[str]]:
    return {name: values for name, *values in (rule.split() for rule in text.split(";"))}


def test_policy_allows_this_site_alone():
    given = rules(policy.content_policy())
    assert given["default-src"] == given["object-src"] == given["base-uri"] == given["frame-ancestors"] == ["'none'"]
    assert given["img-src"] == ["'self'", "data:"]
    for name in ("style-src", "font-src", "connect-src", "form-action"):
        assert given[name] == ["'self'"]
    # the text search runs WebAssembly; scripts made of text stay forbidden
    assert given["script-src"] == ["'self'", "'wasm-unsafe-eval'"]
    assert policy.content_policy().count("unsafe") == 1


def test_frame_ancestors_stands_in_the_header_only():
    assert "frame-ancestors" not in rules(policy.content_policy(in_header=False))


def test_hash_of_an_inline_script_is_the_published_one():
    # source: Mozilla's source tree, dom/security/test/csp/file_ignore_unsafe_inline.html: second script, hash beside it
    text = "\ndocument.getElementById('testdiv').innerHTML += 'c';\n"
    hashes = policy.inline_hashes(f'<p><script type="application/javascript">{text}</script>')
    assert hashes == ("'sha256-uJXAPKP5NZxnVMZMUkDofh6a9P3UMRc1CRTevVPS/rI='",)


@pytest.mark.parametrize(
    "tag", ['<script src="a.js">', '<script type="application/json">', "<script type='application/ld+json'>"]
)
def test_scripts_with_an_address_and_data_need_no_hash(tag):
    assert policy.inline_hashes(f"{tag}x</script>") == ()


@pytest.mark.parametrize(
    "tag", ["<script>", '<script type="module">', '<SCRIPT type="text/javascript">', "<script defer type=module >"]
)
def test_scripts_that_run_need_a_hash(tag):
    assert len(policy.inline_hashes(f"{tag}x</SCRIPT>")) == 1


def test_script_of_the_content_is_not_allowed_by_sealing():
    content = "<script>content()</script>"
    sealed, hashes = policy.seal(f"<meta {policy.PLACEHOLDER}><script>frame()</script>{content}", content)
    assert hashes == policy.inline_hashes("<script>frame()</script>")
    assert policy.inline_hashes(content)[0] not in sealed


@pytest.mark.parametrize(
    ("html", "found"),
    [
        ("<p>\n<b style='x:y'>", "line 2: style= on <b>"),
        ("<b onclick='x'>", "line 1: onclick= on <b>"),
        ("<script>x</script>", "line 1: a script in the page"),
        ("<style>x</style>", "line 1: <style>"),
        ("<iframe src='a/'></iframe>", "line 1: <iframe>"),
        ("<img src='//cdn.example/a.png'>", "line 1: src= of <img> loads from elsewhere"),
        ("<img srcset='https://cdn.example/a.png 2x'>", "line 1: srcset= of <img> loads from elsewhere"),
        ("<link rel=stylesheet href='https://fonts.example/a.css'>", "line 1: href= of <link> loads from elsewhere"),
        ("<a href=' javascript:x'>", "line 1: href= of <a> holds a script"),
    ],
)
def test_breach_is_found(html, found):
    assert found in policy.breaches(html)


@pytest.mark.parametrize(
    "html",
    [
        "<link rel=canonical href='https://base.example/'><a href='https://elsewhere.example/'>style= onclick=</a>",
        "<script src='../a.js'></script><script type='application/json'>{}</script>",
        "<img src='data:image/png;base64,AA'><svg viewBox='0 0 1 1'><path d='M0 0'/></svg>",
        "<form action='../compare/'><button>Compare</button></form>",
    ],
)
def test_sound_html_has_no_breach(html):
    assert policy.breaches(html) == ()


TAGS = (
    '<a href="../b/">', "</a>", "<b>", '<img src="x.png" alt="on a > b">', '<p title="one &amp; on">', "text", "<br/>",
    '<td data-order="1.0">', "<script src='../a.js'></script>", '<script type="application/json">{"a": "<b style=x>"}',
    "</script>", '<b onclick="x">', '<p style="x:y">', "<b ONload>", '<a href="java&#115;cript:x">', "<", ">", '"',
    '<img src="//e.example/x.png">', "<a title='<' onclick=x>", "<!-- <b style='x'> -->", '<a b=" <i style=x> ">',
    "<link rel=icon href=//e.example>",
)  # fmt: skip
PAYLOADS = Path(__file__).parents[1] / "hostile" / "payloads.yaml"
HOSTILE = [text for texts in yaml.safe_load(PAYLOADS.read_text(encoding="utf-8")).values() for text in texts]


@settings(max_examples=300, deadline=None)
@given(parts=lists(sampled_from((*TAGS, *HOSTILE)), max_size=6))
def test_quick_look_finds_whatever_a_whole_reading_finds(parts):
    html = "".join(parts)
    assert policy.breaches(html) == policy._read(html)


def test_every_frame_carries_its_policy_and_no_breach(project):
    assert build_site(project.settings, project.source).is_good
    pages = sorted(project.site.resolve().rglob("*.html"))
    assert len(pages) == 7
    for page in pages:
        html = page.read_text(encoding="utf-8")
        assert html.count('<meta http-equiv="Content-Security-Policy"') == 1
        assert policy.PLACEHOLDER not in html
        assert policy.breaches(html) == ()


def test_headers_file_holds_what_the_meta_tags_hold(project):
    assert build_site(project.settings, project.source).is_good
    lines = (project.site / "_headers").read_text(encoding="utf-8").splitlines()
    assert lines[0] == "/*"
    assert f"  Content-Security-Policy: {policy.content_policy()}" in lines
    assert "  Referrer-Policy: same-origin" in lines


def test_script_of_an_own_theme_is_hashed_in_page_and_header(project):
    script = "<script>one({{ frame.home | tojson }})</script>"
    project.with_theme('{% extends "frame.html" %}{% block extrahead %}' + script + "{% endblock %}")
    assert build_site(project.settings, project.source, strict=True).is_good
    headers = (project.site / "_headers").read_text(encoding="utf-8")
    for page in sorted(project.site.resolve().rglob("*.html")):
        html = page.read_text(encoding="utf-8")
        (own,) = policy.inline_hashes(html)
        assert own in html
        assert own in headers


def test_theme_without_a_place_for_the_policy_fails_the_build(project):
    project.with_theme("{{ frame.content }}")
    result = build_site(project.settings, project.source)
    assert not result.is_good
    assert any("the policy 0 times in a rendered page" in message for message in result.messages)


def test_text_like_the_place_for_the_policy_is_only_text(project):
    text = policy.PLACEHOLDER.strip("\x01")
    page = Page("/products/", text, text, f"<h1>{text}</h1>", "builder")
    source = replace(
        project.source, pages=tuple(page if one.address == page.address else one for one in project.source.pages)
    )
    assert build_site(project.settings, source).is_good
    html = (project.site / "products" / "index.html").read_text(encoding="utf-8")
    assert f"<h1>{text}</h1>" in html and "content=\"default-src 'none'" in html.split("</head>")[0]


def test_no_record_holds_the_place_for_the_policy():
    assert refused_sign(policy.PLACEHOLDER)


def test_blocked_content_is_a_warning_and_stops_a_strict_build(project):
    project = project.with_pages(Page("/x/", "X", "", "<h1>X</h1><b style='x:y'>"))
    result = build_site(project.settings, project.source)
    assert result.is_good
    assert result.messages == ("lidoff: /x/: line 1: style= on <b>: the content security policy will block this",)
    assert not build_site(project.settings, project.source, strict=True).is_good
