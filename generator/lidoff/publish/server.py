"""The preview's server. It listens on this machine alone and answers only to requests that were meant for it."""

import os
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from lidoff.publish.policy import response_headers
from lidoff.publish.preview import Answer, Preview

LOOPBACK = "127.0.0.1"
TRIES = 10


class PortTaken(Exception):
    """No port to listen on; the text says what was found, what was expected and how to mend it."""


class PreviewServer(ThreadingHTTPServer):
    """Serves one preview until it is shut down."""

    daemon_threads = True
    # elsewhere the option lets two servers share one port
    allow_reuse_address = os.name == "posix"

    def __init__(self, preview: Preview, port: int) -> None:
        super().__init__((LOOPBACK, port), _Handler)
        self.preview = preview

    @property
    def url(self) -> str:
        """Where the site's home page is."""
        return f"http://{LOOPBACK}:{self.server_port}{self.preview.mount}"

    @property
    def hosts(self) -> tuple[str, ...]:
        """The names by which a browser on this machine calls this server; no page elsewhere can make up one of them."""
        return (f"{LOOPBACK}:{self.server_port}", f"localhost:{self.server_port}")


def open_server(preview: Preview, port: int, is_exact: bool = False) -> PreviewServer:
    """Listen on ``port``, or on the next free one of ten; with ``is_exact`` on that port or not at all."""
    tried = range(port, min(port + (1 if is_exact else TRIES), 65536))
    for number in tried:
        try:
            return PreviewServer(preview, number)
        except OSError as fault:
            last = fault
    raise PortTaken(
        f"found     no free port from {tried[0]} to {tried[-1]} on {LOOPBACK} ({last.strerror})\n"
        f"expected  a port that nothing else listens on\n"
        f"fix       end the other program, or choose another port with --port or preview_port in mkdocs.yml"
    ) from last


class _Handler(BaseHTTPRequestHandler):
    server: PreviewServer
    protocol_version = "HTTP/1.1"
    timeout = 60
    server_version, sys_version = "lidoff-preview", ""

    def handle(self) -> None:
        try:
            super().handle()
        except ConnectionError:
            # the browser has gone to another page, or has closed the connection that was kept open for it
            self.close_connection = True

    def do_GET(self) -> None:
        self._answer(with_content=True)

    def do_HEAD(self) -> None:
        self._answer(with_content=False)

    def _answer(self, with_content: bool) -> None:
        if self.headers.get("Host") in self.server.hosts:
            answer = self.server.preview.answer(self.path)
        else:
            text = b"This preview answers only to this machine.\n"
            answer = Answer(421, text, {"Content-Type": "text/plain; charset=utf-8"})
        self._send(answer, with_content)

    def _send(self, answer: Answer, with_content: bool) -> None:
        self.send_response(answer.status)
        for name, value in (response_headers() | {"Cache-Control": "no-store"} | dict(answer.headers)).items():
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(answer.content)))
        self.end_headers()
        if with_content:
            self.wfile.write(answer.content)

    def log_message(self, format: str, *args: object) -> None:
        """Requests are not worth a line each; what goes wrong raises."""
