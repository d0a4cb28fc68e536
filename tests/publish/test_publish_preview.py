"""The live preview: what it serves, to whom, and how an edit shows."""

import http.client
import json
import re
import socket
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace

import pytest

from lidoff.finding import Finding
from lidoff.publish.build import build_preview, build_site
from lidoff.publish.mkdocs_files import frame_assets
from lidoff.publish.policy import content_policy
from lidoff.publish.preview import SCRIPT, STATE, Preview
from lidoff.publish.server import PortTaken, PreviewServer, open_server
from lidoff.website import Page

PRODUCT = "/products/fernhollow/fh-65/"


@dataclass
class InventedLive:
    """Records whose edits are made by hand."""

    pages: dict[str, Page] = field(default_factory=dict)
    errors: dict[str, tuple[Finding, ...]] = field(default_factory=dict)
    changed: set[str] = field(default_factory=set)
    looks: list[str] = field(default_factory=list)
    ahead: set[str] = field(default_factory=set)
    earlier: dict[str, Page] = field(default_factory=dict)
    moves: dict[str, str] = field(default_factory=dict)
    files: dict[str, bytes] = field(default_factory=dict)

    def look(self, address: str) -> bool:
        """Whether an address stands among those to be found edited, each once."""
        is_edited = address in self.looks
        if is_edited:
            self.looks.remove(address)
            self.ahead.add(address)
        return is_edited

    def is_ahead(self, address: str) -> bool:
        return address in self.ahead

    def refresh(self) -> frozenset[str]:
        changed, self.changed, self.ahead = frozenset(self.changed), set(), set()
        return changed

    def page(self, address: str) -> Page | None:
        return self.pages.get(address)

    def earlier_page(self, address: str) -> Page | None:
        return self.earlier.get(address)

    def moved(self, address: str) -> str | None:
        return self.moves.get(address)

    def file(self, path: str) -> bytes | None:
        return self.files.get(path)

    def findings(self, address: str) -> tuple[Finding, ...]:
        return self.errors.get(address, ())

    def edit(self, address: str, body: str) -> None:
        self.pages[address] = Page(address, "Edited", "", body)
        self.changed.add(address)


@pytest.fixture
def live() -> InventedLive:
    return InventedLive()


@pytest.fixture
def preview(project, live) -> Preview:
    result = build_site(project.settings, project.source)
    assert result.is_good
    return Preview((result.site,), result.frames, live)


@pytest.fixture
def server(preview) -> Iterator[PreviewServer]:
    with open_server(preview, 0, is_exact=True) as server:
        threading.Thread(target=server.serve_forever, args=(0.05,)).start()
        yield server
        server.shutdown()


@pytest.fixture
def fetch(server) -> Callable[..., tuple[http.client.HTTPResponse, str]]:
    def fetch(target: str, method: str = "GET", **headers: str) -> tuple[http.client.HTTPResponse, str]:
        connection = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=5)
        connection.request(method, target, headers=headers)
        answer = connection.getresponse()
        text = answer.read().decode("utf-8")
        connection.close()
        return answer, text

    return fetch


def test_site_is_served_with_the_policy_in_a_response_header(fetch):
    answer, text = fetch("/")
    assert (answer.status, answer.headers["Content-Security-Policy"]) == (200, content_policy())
    assert "frame-ancestors 'none'" in answer.headers["Content-Security-Policy"]
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Referrer-Policy"] == "same-origin"
    assert answer.headers["Cache-Control"] == "no-store"
    assert "<h1>Opened chargers</h1>" in text


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/", "text/html; charset=utf-8"),
        (f"/{frame_assets()}frame.css", "text/css; charset=utf-8"),
        (f"/{frame_assets()}frame.js", "text/javascript; charset=utf-8"),
        (f"/{frame_assets()}lid.svg", "image/svg+xml"),
        ("/data/addresses.json", "application/json; charset=utf-8"),
        ("/sitemap.xml", "application/xml; charset=utf-8"),
        ("/_headers", "application/octet-stream"),
        (f"/{SCRIPT}?seen=0", "text/javascript; charset=utf-8"),
    ],
)
def test_content_type(fetch, path, kind):
    answer, _ = fetch(path)
    assert (answer.status, answer.headers["Content-Type"]) == (200, kind)


def test_head_has_the_headers_alone(fetch):
    answer, text = fetch("/", method="HEAD")
    assert (answer.status, text) == (200, "")
    assert int(answer.headers["Content-Length"]) > 1000


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE"])
def test_nothing_can_be_sent(fetch, method):
    assert fetch("/", method=method)[0].status == 501


@pytest.mark.parametrize("host", ["base.example", "127.0.0.1", "evil.example:8017", "127.0.0.1.evil.example", ""])
def test_other_host_names_are_refused(fetch, host):
    # a page elsewhere can point its own name at this machine, but can't make the browser send another name
    answer, text = fetch("/", Host=host)
    assert answer.status == 421
    assert "chargers" not in text


STRANGE = (
    b"GET / HTTP/1.0\r\n\r\n",
    b"GET / HTTP/1.1\r\n\r\n",
    b"GET / HTTP/1.1\r\nHost: evil.example\r\nHost: 127.0.0.1:PORT\r\n\r\n",
    b"GET / HTTP/1.1\r\nHost: 127.0.0.1:PORT.\r\n\r\n",
    b"GET / HTTP/1.1\r\nHost: x@127.0.0.1:PORT\r\n\r\n",
    b"GET / HTTP/1.1\r\nHost: 127.0.0.1:PORT, evil.example\r\n\r\n",
    b"GET / HTTP/1.1\r\nHost: 127.1:PORT\r\n\r\n",
    b"GET / HTTP/1.1\r\nHost: [::1]:PORT\r\n\r\n",
    b"GET / HTTP/1.1\r\nX-Forwarded-Host: 127.0.0.1:PORT\r\n\r\n",
    b"GET http://127.0.0.1:PORT/ HTTP/1.1\r\nHost: evil.example\r\n\r\n",
)


def sent(port: int, request: bytes) -> bytes:
    """What comes back for a request as no browser would write it."""
    with socket.create_connection(("127.0.0.1", port), timeout=5) as connection:
        connection.sendall(request.replace(b"PORT", str(port).encode()))
        connection.shutdown(socket.SHUT_WR)
        return b"".join(iter(lambda: connection.recv(65536), b""))


@pytest.mark.parametrize("request_", STRANGE)
def test_nor_does_a_strange_way_to_name_it_help(server, request_):
    answer = sent(server.server_port, request_)
    assert b" 421 " in answer.split(b"\r\n")[0]
    assert b"chargers" not in answer


@pytest.mark.parametrize(
    "target",
    ["//[", "http://[/", "/%", "/%ff%fe", "?", "*", "/" + "a/" * 5000, "/~preview/state/../../mkdocs.yml", "/?x=%00"],
)
def test_strange_target_gets_an_answer(server, target, capfd):
    head = sent(server.server_port, f"GET {target} HTTP/1.1\r\nHost: localhost:PORT\r\n\r\n".encode())
    assert head.split(b" ")[1] in (b"200", b"302", b"404"), head[:200]
    assert b"site_name" not in head
    assert "Traceback" not in capfd.readouterr().err


@pytest.mark.parametrize(
    "request_",
    [
        b"GET /" + b"a" * 70_000 + b" HTTP/1.1\r\nHost: localhost:PORT\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: localhost:PORT\r\nX: " + b"a" * 70_000 + b"\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: localhost:PORT\r\n" + b"X: a\r\n" * 200 + b"\r\n",
        b"GET / HTTP/9.9\r\nHost: localhost:PORT\r\n\r\n",
        b"\x00\x01\x02\r\n\r\n",
    ],
    ids=["target", "header", "headers", "version", "bytes"],
)
def test_request_out_of_all_bounds_is_refused(server, request_, capfd):
    answer = sent(server.server_port, request_)
    assert b"chargers" not in answer and re.search(rb"\b(400|414|431|505)\b", answer[:400])
    assert "Traceback" not in capfd.readouterr().err


def test_both_names_of_this_machine_are_answered(fetch, server):
    for host in ("127.0.0.1", "localhost"):
        assert fetch("/", Host=f"{host}:{server.server_port}")[0].status == 200


def test_server_listens_on_this_machine_alone(server):
    assert server.server_address[0] == "127.0.0.1"


@pytest.mark.parametrize(
    "path",
    [
        "/../mkdocs.yml", "/%2e%2e/mkdocs.yml", "/..%2f..%2f..%2fmkdocs.yml", "/products/../../../../mkdocs.yml",
        "/assets/..%2f..%2f..%2f..%2f..%2fetc/hostname", "//etc/hostname", "////etc/hostname",
        "/.lidoff-site", "/..\\mkdocs.yml", "/%00",
    ],
)  # fmt: skip
def test_nothing_outside_the_site_is_served(fetch, path):
    answer, text = fetch(path)
    assert answer.status == 404
    assert "site_name" not in text
    assert "Page not found" in text


def test_link_in_the_site_that_leads_out_of_it_is_not_followed(preview, project, tmp_path):
    (tmp_path / "secret.txt").write_text("secret")
    (project.site.resolve() / "leak.txt").symlink_to(tmp_path / "secret.txt")
    assert preview.answer("/leak.txt").status == 404


def test_folder_without_its_slash_is_moved(fetch):
    answer, _ = fetch("/products")
    assert (answer.status, answer.headers["Location"]) == (302, "/products/")


def test_site_with_a_path_is_served_under_that_path(make_project, live):
    project = make_project(site_url="https://base.example/chargers/eu/")
    result = build_site(project.settings, project.source)
    preview = Preview((result.site,), result.frames, live)
    assert preview.answer("/").headers["Location"] == "/chargers/eu/"
    assert preview.answer("/chargers/eu/products/").status == 200
    assert preview.answer("/products/").status == 404
    assert b'src="/chargers/eu/~preview/reload.js' in preview.answer("/chargers/eu/").content


def test_edited_record_is_shown_without_a_build(preview, live, project):
    built = (project.site / PRODUCT[1:] / "index.html").read_bytes()
    live.edit(PRODUCT, "<h1>Edited now</h1>")
    text = preview.answer(PRODUCT).content.decode("utf-8")
    assert "<h1>Edited now</h1>" in text
    assert "<title>Edited - Lidoff</title>" in text
    assert (project.site / PRODUCT[1:] / "index.html").read_bytes() == built


def test_edited_page_differs_from_the_built_one_in_its_content_alone(preview, live, project):
    page = next(page for page in project.source.pages if page.address == PRODUCT)
    before = preview.answer(PRODUCT).content
    live.pages[PRODUCT] = page
    assert preview.answer(PRODUCT).content == before


def test_new_record_has_a_page_at_once(preview, live):
    assert preview.answer("/products/new/one/").status == 404
    live.edit("/products/new/one/", "<h1>New</h1>")
    assert b"<h1>New</h1>" in preview.answer("/products/new/one/").content
    assert preview.answer("/products/new/one").headers["Location"] == "/products/new/one/"


def test_broken_record_shows_its_last_good_page_below_the_findings(preview, live, project):
    live.errors[PRODUCT] = project.with_error().source.findings
    text = preview.answer(PRODUCT).content.decode("utf-8")
    assert text.index('id="content"') < text.index("remove the quotes: voltage") < text.index("<h1>FH-65</h1>")
    assert "&#34;16&#34; (text)" in text
    assert "remove the quotes" not in preview.answer("/products/").content.decode("utf-8")


def test_broken_record_without_an_earlier_page_shows_its_findings(preview, live, project):
    live.errors["/products/new/one/"] = project.with_error().source.findings
    answer = preview.answer("/products/new/one/")
    assert answer.status == 200
    assert "remove the quotes" in answer.content.decode("utf-8")


def test_second_folder_serves_what_the_first_lacks(project, live, tmp_path):
    assert build_site(project.settings, project.source).is_good
    left_out = replace(project.source, pages=project.source.pages[:3])
    result = build_preview(project.settings, left_out, tmp_path / "preview")
    live.errors[PRODUCT] = project.with_error().source.findings
    text = Preview((result.site, project.site), result.frames, live).answer(PRODUCT).content.decode("utf-8")
    assert "remove the quotes" in text
    assert "<h1>FH-65</h1>" in text


def test_state_changes_with_an_edit_and_with_a_new_build(fetch, live, project):
    def version() -> str:
        return json.loads(fetch(f"/{STATE}")[1])["version"]

    first = version()
    assert version() == first
    live.edit(PRODUCT, "<h1>2</h1>")
    second = version()
    assert second != first
    assert version() == second
    assert f"seen={second}" in fetch(PRODUCT)[1]
    assert build_site(project.settings, project.source).is_good
    assert version() != second


def test_taken_port_gives_way_to_the_next_one(preview):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        with open_server(preview, port) as server:
            assert port < server.server_port < port + 10


def test_taken_port_that_was_asked_for_is_an_error(preview):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        with pytest.raises(PortTaken, match=f"no free port from {port} to {port} on 127.0.0.1"):
            open_server(preview, port, is_exact=True)


@pytest.mark.browser
def test_edit_shows_in_the_browser_within_a_second(server, live, open_page):
    page = open_page(server.url + PRODUCT[1:])
    assert page.inner_text("h1") == "FH-65"
    for text in ("Edited once", "Edited twice"):
        started = time.monotonic()
        live.edit(PRODUCT, f"<h1>{text}</h1>")
        page.wait_for_function("text => document.querySelector('h1')?.textContent === text", arg=text, timeout=5000)
        assert time.monotonic() - started < 1


@pytest.mark.browser
def test_policy_holds_in_the_browser(server, live, open_page):
    page = open_page(server.url + PRODUCT[1:])
    assert page.problems == []
    scripts = "<script>window.ran = 1</script><img src=x onerror='window.ran = 1'>"
    live.edit(PRODUCT, f"<h1>X</h1>{scripts}<b style='color: red'>b</b>")
    page.wait_for_selector("b")  # it loads again by itself, which a visit of ours could meet
    assert page.evaluate("window.ran") is None
    assert page.evaluate("getComputedStyle(document.querySelector('b')).color") != "rgb(255, 0, 0)"
    assert len([text for text in page.problems if "Content Security Policy" in text]) >= 3


def test_edited_record_is_answered_for_before_the_others_are_looked_at(preview, live):
    """The page comes with word that more follows; the next question looks at everything, and the page loads again."""
    known = preview.answer(f"/{STATE}?page={PRODUCT}").content
    live.edit(PRODUCT, "<h1>Edited now</h1>")
    live.looks = [PRODUCT]
    first = preview.answer(f"/{STATE}?page={PRODUCT}").content
    assert first != known and PRODUCT in live.changed, "only the one record was looked at"
    text = preview.answer(PRODUCT).content.decode("utf-8")
    assert "<h1>Edited now</h1>" in text and "is being looked up" in text and PRODUCT in live.changed
    assert preview.answer(f"/{STATE}?page={PRODUCT}").content != first and not live.changed
    assert "is being looked up" not in preview.answer(PRODUCT).content.decode("utf-8")


def test_looking_through_all_records_takes_a_part_of_the_time_only(preview, live, monkeypatch):
    now, calls = [100.0], []

    def refresh() -> frozenset[str]:
        calls.append(now[0])
        now[0] += 1.0
        return frozenset()

    monkeypatch.setattr("lidoff.publish.preview.time.monotonic", lambda: now[0])
    monkeypatch.setattr(live, "refresh", refresh)
    for _ in range(100):
        preview.answer(f"/{STATE}")
        now[0] += 0.25
    assert 2 <= len(calls) <= 8, "a look of a second is followed by four seconds of rest"


def test_page_that_was_seen_before_its_record_broke_stands_below_the_findings(preview, live, project):
    live.errors[PRODUCT] = project.with_error().source.findings
    live.earlier[PRODUCT] = Page(PRODUCT, "FH-65", "", "<h1>As it was</h1>")
    text = preview.answer(PRODUCT).content.decode("utf-8")
    assert text.index("remove the quotes") < text.index("<h1>As it was</h1>") and "<h1>FH-65</h1>" not in text


def test_former_address_leads_on(preview, live):
    live.moves["/products/fernhollow/fh65/"] = PRODUCT
    answer = preview.answer("/products/fernhollow/fh65/")
    assert (answer.status, answer.headers["Location"]) == (302, PRODUCT)


def test_files_are_those_of_the_records_as_they_are_now(project, preview, live):
    """What the last build has written of them is older; what was drawn for this preview is not."""
    (project.site.resolve() / "data" / "index").mkdir()
    (project.site.resolve() / "data" / "index" / "names.json").write_text("[1]", encoding="utf-8")
    behind = Preview((project.folder / "drawn", project.site), preview.frames, live)
    assert behind.answer("/data/index/names.json").content == b"[1]"
    live.files["data/index/names.json"] = b"[2]"
    assert behind.answer("/data/index/names.json").content == b"[2]"
    assert preview.answer("/data/index/names.json").content == b"[1]"


def test_long_look_through_all_records_holds_up_no_question_and_happens_once(preview, live, monkeypatch):
    going_on, calls = threading.Event(), []

    def refresh() -> frozenset[str]:
        calls.append(1)
        going_on.wait(10)
        return frozenset()

    monkeypatch.setattr(live, "refresh", refresh)
    started = time.monotonic()
    for _ in range(3):
        preview.answer(f"/{STATE}")
    assert time.monotonic() - started < 5 and len(calls) == 1
    live.looks = [PRODUCT]
    preview.answer(f"/{STATE}?page={PRODUCT}")
    assert live.looks == [], "an edit of the page that is open is seen meanwhile"
    going_on.set()


def test_preview_writes_no_page_of_records_and_frames_each_like_the_builder(project, live, tmp_path):
    built = build_site(project.settings, project.source)
    drawn = build_preview(project.settings, project.source, tmp_path / "preview")
    written = {path.relative_to(drawn.site).as_posix() for path in drawn.site.rglob("*.html")}
    assert written == {"404.html", "safety/index.html"}
    assert "Read <a" in (drawn.site / "safety" / "index.html").read_text(encoding="utf-8")
    for page in project.source.pages[:3]:
        text = drawn.frames.stamp(page)
        policy = re.compile(r'<meta http-equiv="Content-Security-Policy"[^>]*>')
        of_builder = (built.site / page.address[1:] / "index.html").read_text(encoding="utf-8")
        assert policy.sub("", text).split() == policy.sub("", of_builder).split()


def test_page_is_loaded_again_where_an_edit_came_while_it_was_made(preview, live, monkeypatch):
    def page(address: str) -> Page:
        live.edit("/makers/quillstone/", "<h1>Edited meanwhile</h1>")
        preview.answer(f"/{STATE}")
        return Page(address, "Made of what was there", "", "<h1>Old</h1>")

    monkeypatch.setattr(live, "page", page)
    text = preview.answer("/products/").content.decode("utf-8")
    now = json.loads(preview.answer(f"/{STATE}").content)["version"]
    assert "<h1>Old</h1>" in text and f'?seen={now}"' not in text
