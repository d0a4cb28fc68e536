"""Requests that try to get at the desk from elsewhere, out of its entry, or to wear it down: each is refused."""

import http.client
import json
import os
import socket
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from lidoff.mark.desk import Desk
from lidoff.mark.entry import Entry
from lidoff.mark.guard import MOST_BODY_BYTES
from lidoff.mark.server import DeskServer

Answer = tuple[int, dict[str, str], bytes]


@pytest.fixture
def server(marked_entry: Path) -> Iterator[DeskServer]:
    with DeskServer(Desk(Entry(marked_entry / "record.yaml", "record.yaml"))) as server:
        threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True).start()
        yield server
        server.shutdown()


@pytest.fixture
def ask(server: DeskServer) -> Callable[..., Answer]:
    """Sends a request below the session; headers given as None are left out."""

    def ask(
        method: str = "GET", path: str = "", body: object = None, whole: str | None = None, **headers: str | None
    ) -> Answer:
        connection = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=10)
        content = body if isinstance(body, bytes) or body is None else json.dumps(body).encode()
        own = {"Host": f"127.0.0.1:{server.server_port}"}
        if method == "POST":
            own |= {
                "Origin": f"http://127.0.0.1:{server.server_port}",
                "Content-Type": "application/json",
                "Content-Length": str(len(content or b"")),
            }
        given = {name.replace("_", "-"): value for name, value in headers.items()}
        connection.putrequest(
            method,
            f"/{server.desk.session}/{path}" if whole is None else whole,
            skip_host=True,
            skip_accept_encoding=True,
        )
        for name, value in (
            {key.lower(): value for key, value in own.items()} | {key.lower(): value for key, value in given.items()}
        ).items():
            if value is not None:
                connection.putheader(name, value)
        connection.endheaders()
        if content:
            connection.send(content)
        answer = connection.getresponse()
        return answer.status, {name.lower(): value for name, value in answer.getheaders()}, answer.read()

    return ask


def state(ask: Callable[..., Answer]) -> dict:
    status, _, content = ask(path="state")
    assert status == 200
    return json.loads(content)


def sent(ask: Callable[..., Answer], **photo: object) -> dict:
    return {
        "digest": state(ask)["digest"],
        "photos": [
            {"file": "photos/board-top.jpg", "callouts": [], "scale": None, "card": None, "camera_mm": None} | photo
        ],
    }


def test_it_listens_on_this_machine_alone(server: DeskServer) -> None:
    assert server.server_address[0] == "127.0.0.1"


def test_its_own_page_is_answered_under_a_strict_policy(ask: Callable[..., Answer]) -> None:
    status, headers, content = ask()
    assert status == 200 and b"<main" in content
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy and "unsafe" not in policy and "frame-ancestors 'none'" in policy
    assert headers["referrer-policy"] == "no-referrer" and headers["cache-control"] == "no-store"
    assert headers["cross-origin-resource-policy"] == "same-origin" and headers["x-content-type-options"] == "nosniff"
    assert "access-control-allow-origin" not in headers
    assert b"<style" not in content and b" style=" not in content and b" onclick" not in content
    assert content.count(b"<script") == content.count(b'<script type="module" src=')


def test_the_address_is_good_for_one_use(server: DeskServer, ask: Callable[..., Answer]) -> None:
    way_in = server.desk.way_in
    assert ask("HEAD", whole=way_in)[0] in (404, 421)  # what looks at a link before it is followed does not use it up
    assert ask(whole="/open/wrong")[0] == 404
    status, headers, _ = ask(whole=way_in)
    assert status == 303 and headers["location"] == f"/{server.desk.session}/"
    status, _, text = ask(whole=way_in)
    assert status == 410 and b"start lidoff mark again" in text
    assert server.desk.session not in text.decode()
    assert ask()[0] == 200


def test_tokens_differ_from_one_desk_to_the_next_and_can_not_be_guessed(marked_entry: Path) -> None:
    desks = [Desk(Entry(marked_entry / "record.yaml", "x")) for _ in range(3)]
    secrets = {text for desk in desks for text in (desk.token, desk.session)}
    assert len(secrets) == 6 and min(map(len, secrets)) >= 32


@pytest.mark.parametrize(
    "host",
    [
        "example.org",
        "example.org:80",
        "127.0.0.1",
        "127.0.0.1:1",
        "localhost.example.org",
        "[::1]",
        "",
        None,
        "127.0.0.1:{port}.example.org",
    ],
)
def test_a_name_that_was_led_to_this_machine_is_refused(
    server: DeskServer, ask: Callable[..., Answer], host: str | None
) -> None:
    host = host and host.replace("{port}", str(server.server_port))
    for method, path, body in (
        ("GET", "", None),
        ("GET", "state", None),
        ("GET", "picture?file=photos/board-top.jpg", None),
        ("POST", "save", {}),
    ):
        status, _, content = ask(method, path, body, Host=host, Origin=f"http://{host}")
        assert status == 421 and len(content) < 100


@pytest.mark.parametrize("session", ["", "x", "{session}x", "{short}", "{token}", "{upper}", "%00", "..", "ä"])
def test_a_wrong_session_sees_nothing(server: DeskServer, ask: Callable[..., Answer], session: str) -> None:
    known = server.desk.session
    session = session.format(session=known, short=known[:-1], token=server.desk.token, upper=known.swapcase())
    path = f"/{session}/state".encode().decode("latin-1")
    status, _, content = ask(whole=path.replace("Ã¤", "%C3%A4"))
    assert status == 404 and content == b"Nothing here.\n"
    assert ask("POST", whole=path.replace("state", "save").replace("Ã¤", "%C3%A4"), body={})[0] == 404


@pytest.mark.parametrize(
    "origin",
    [
        None,
        "",
        "null",
        "http://example.org",
        "https://127.0.0.1:{port}",
        "http://127.0.0.1",
        "http://localhost:{port}",
        "http://127.0.0.1:{port}.example.org",
    ],
)
def test_writing_without_the_pages_own_origin(
    server: DeskServer, ask: Callable[..., Answer], marked_entry: Path, origin: str | None
) -> None:
    before = (marked_entry / "record.yaml").read_bytes()
    origin = origin and origin.replace("{port}", str(server.server_port))
    for path in ("save", "measure", "alive", "closed"):
        assert ask("POST", path, sent(ask), Origin=origin)[0] == 403
    assert (marked_entry / "record.yaml").read_bytes() == before


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_a_page_elsewhere_can_neither_embed_nor_read(ask: Callable[..., Answer], site: str) -> None:
    for path in ("state", "picture?file=photos/board-top.jpg", "js/main.js"):
        assert ask(path=path, Sec_Fetch_Site=site)[0] == 403
    assert (
        ask(path="", Sec_Fetch_Site=site)[0] == 200
    )  # led on from the way in; the page itself holds nothing of the record
    assert ask("POST", "save", sent(ask), Sec_Fetch_Site=site)[0] == 403


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", None])
def test_what_a_form_can_send_is_refused(ask: Callable[..., Answer], kind: str | None) -> None:
    assert ask("POST", "save", sent(ask), Content_Type=kind)[0] == 415


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT"])
def test_other_methods_are_refused(ask: Callable[..., Answer], method: str) -> None:
    status, headers, _ = ask(method, "state")
    assert status == 405 and not any(name.startswith("access-control") for name in headers)


def test_a_method_that_nobody_knows(ask: Callable[..., Answer]) -> None:
    assert ask("BREW", "state")[0] == 501


@pytest.mark.parametrize(
    "name",
    [
        "record.yaml", "../fh-65/record.yaml", "photos/../record.yaml", "photos/../../fh-65/photos/board-top.jpg", "/etc/passwd",
        "photos//board-top.jpg", "./photos/board-top.jpg", "photos/board-top.jpg/", "photos\\board-top.jpg", "photos/board-top.jpg%00",
        "photos/unknown.jpg", "photos/.hidden.jpg", "photos", "", "C:/x.jpg", "file:///etc/passwd", "photos/link.jpg", "linked/board-top.jpg",
        "photos/fifo.jpg", "photos/script.svg", "photos/text.jpg",
    ],
)  # fmt: skip
def test_no_file_but_a_picture_of_the_record(
    ask: Callable[..., Answer], marked_entry: Path, tmp_path: Path, name: str
) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "board-top.jpg").write_bytes((marked_entry / "photos" / "board-top.jpg").read_bytes())
    (marked_entry / "photos" / "link.jpg").symlink_to(outside / "board-top.jpg")
    (marked_entry / "linked").symlink_to(outside)
    os.mkfifo(marked_entry / "photos" / "fifo.jpg")
    (marked_entry / "photos" / "script.svg").write_text(
        "<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>"
    )
    (marked_entry / "photos" / "text.jpg").write_text("no picture")
    # even a record that names them leads to none of them
    file = marked_entry / "record.yaml"
    named = "".join(
        f'  - {{file: {one}, kind: photo, alt: "x"}}\n'
        for one in (
            "photos/link.jpg",
            "linked/board-top.jpg",
            "photos/fifo.jpg",
            "photos/script.svg",
            "photos/text.jpg",
        )
    )
    file.write_text(file.read_text(encoding="utf-8").replace("answered:", f"{named}answered:"), encoding="utf-8")
    assert ask(path="picture?file=photos/board-top.jpg")[0] == 200
    status, headers, content = ask(path=f"picture?file={name}")
    assert status == 404 and content == b"No such picture.\n" and headers["content-type"].startswith("text/plain")


@pytest.mark.parametrize(
    "path",
    [
        "../../entry.py",
        "js/../../desk.py",
        "js/",
        "mark.css/",
        "js/unknown.js",
        "page.html",
        "%2e%2e/desk.py",
        "js%2fmain.js",
        "/etc/passwd",
        "saved",
    ],
)
def test_no_file_of_the_program_but_those_of_the_page(ask: Callable[..., Answer], path: str) -> None:
    assert ask(path=path)[0] == 404


def test_the_files_of_the_page(ask: Callable[..., Answer]) -> None:
    for path, kind in (("mark.css", "text/css"), ("js/main.js", "text/javascript"), ("mark.svg", "image/svg+xml")):
        status, headers, content = ask(path=path)
        assert status == 200 and headers["content-type"].startswith(kind) and content
        assert ask("HEAD", path)[2] == b""


@pytest.mark.parametrize(
    ("length", "status"),
    [
        (str(MOST_BODY_BYTES + 1), 413),
        ("99999999999", 413),
        ("999999999999999999999", 400),
        ("-1", 400),
        ("1e3", 400),
        ("٣", 400),
        (None, 411),
    ],
)
def test_bodies_that_are_too_large_or_of_no_length_are_not_read(
    server: DeskServer, ask: Callable[..., Answer], length: str | None, status: int
) -> None:
    assert ask("POST", "save", None, Content_Length=length and length.encode().decode("latin-1"))[0] == status


def test_a_body_in_pieces_is_refused(ask: Callable[..., Answer]) -> None:
    assert ask("POST", "save", None, Content_Length=None, Transfer_Encoding="chunked")[0] == 411


def test_what_follows_a_refused_request_is_not_taken_for_the_next(server: DeskServer) -> None:
    hidden = f"GET /{server.desk.session}/state HTTP/1.1\r\nHost: 127.0.0.1:{server.server_port}\r\n\r\n"
    first = f"POST /{server.desk.session}/save HTTP/1.1\r\nHost: example.org\r\nContent-Length: {len(hidden)}\r\n\r\n"
    with socket.create_connection(("127.0.0.1", server.server_port), timeout=10) as connection:
        connection.sendall((first + hidden).encode())
        answer = b""
        while piece := connection.recv(65536):
            answer += piece
    assert answer.count(b"HTTP/1.1") == 1 and answer.startswith(b"HTTP/1.1 421")


@pytest.mark.parametrize("body", [b"", b"{", b"nonsense", b"[" * 100_000, b"\xff\xfe", b'{"digest": NaN'])
def test_what_is_no_json(ask: Callable[..., Answer], body: bytes) -> None:
    assert ask("POST", "save", body)[0] == 400


@pytest.mark.parametrize(
    "photo",
    [
        {"file": "photos/unknown.jpg"}, {"file": "../x"}, {"file": None}, {"file": {"a": 1}},
        {"callouts": "x"}, {"callouts": [1]}, {"callouts": [{"ref": "T1"}]}, {"callouts": [{"ref": "T1", "box": [0, 0, 1]}]},
        {"callouts": [{"ref": "NONE", "box": [0, 0, 0.1, 0.1]}]}, {"callouts": [{"ref": ["T1"], "box": [0, 0, 0.1, 0.1]}]},
        {"callouts": [{"ref": "T1", "box": [0.5, 0, 0.6, 0.1]}]}, {"callouts": [{"ref": "T1", "box": [0, 0, 0, 0.1]}]},
        {"callouts": [{"ref": "T1", "box": [True, 0, 0.1, 0.1]}]}, {"callouts": [{"ref": "T1", "box": ["0", 0, 0.1, 0.1]}]},
        {"callouts": [{"ref": "T1", "box": [float("nan"), 0, 0.1, 0.1]}]}, {"callouts": [{"ref": "T1", "box": [float("inf"), 0, 0.1, 0.1]}]},
        {"callouts": [{"ref": "T1", "box": [0, 0, 0.1, 0.1], "at": 7}]}, {"callouts": [{"ref": "T1", "box": [0, 0, 0.1, 0.1], "at": True}]},
        {"callouts": [{"ref": "T1", "box": [0, 0, 0.1, 0.1], "at": 0}] * 2}, {"callouts": [{}] * 3000},
        {"scale": 5}, {"scale": {"points": [[0, 0]], "length_mm": 5}}, {"scale": {"points": [[0, 0], [0, 2]], "length_mm": 5}},
        {"scale": {"points": [[0, 0], [0, 1]], "length_mm": -5}}, {"card": {"corners": [[0, 0]] * 3}}, {"camera_mm": "far"}, {"camera_mm": 1e9},
    ],
)  # fmt: skip
def test_marks_that_make_no_sense_are_refused_in_words(
    ask: Callable[..., Answer], marked_entry: Path, photo: dict
) -> None:
    before = (marked_entry / "record.yaml").read_bytes()
    status, _, content = ask("POST", "save", sent(ask, **photo))
    problems = json.loads(content)["problems"]
    assert status == 422 and problems and all("expected" in one for one in problems)
    assert (marked_entry / "record.yaml").read_bytes() == before


def test_every_problem_is_told_at_once(ask: Callable[..., Answer]) -> None:
    boxes = [{"ref": "NONE", "box": [0, 0, 0.1, 0.1]}, {"ref": "T1", "box": [2, 0, 0.1, 0.1]}]
    assert len(json.loads(ask("POST", "save", sent(ask, callouts=boxes, camera_mm=0))[2])["problems"]) == 3


def test_boards_that_make_no_sense(ask: Callable[..., Answer]) -> None:
    for board in (
        {"id": "none"},
        {"id": "main", "in_photo": 3},
        {"id": "main", "in_photo": {"file": "record.yaml"}},
        {"id": "main", "in_photo": {"file": "photos/board-top.jpg", "length": 3}},
    ):
        marks = {"digest": state(ask)["digest"], "boards": [board]}
        assert ask("POST", "save", marks)[0] == 422


def test_a_measurement_of_nothing(ask: Callable[..., Answer]) -> None:
    for question in ([], {}, {"file": "record.yaml"}, {"file": "photos/board-top.jpg", "ends": [[0, 0]]}):
        assert ask("POST", "measure", question)[0] == 422


def test_text_of_a_record_is_sent_as_data(ask: Callable[..., Answer], marked_entry: Path) -> None:
    file = marked_entry / "record.yaml"
    file.write_text(
        file.read_text(encoding="utf-8").replace("The top side of the board.", "</script><script>alert(1)</script>"),
        encoding="utf-8",
    )
    status, headers, content = ask(path="state")
    assert status == 200 and headers["content-type"].startswith("application/json")
    assert json.loads(content)["photos"][0]["alt"] == "</script><script>alert(1)</script>"
