"""The desk's server: it listens on this machine alone, and ends when its page is closed."""

import os
import threading
import time
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from lidoff.mark.desk import HEADERS, Answer, Desk
from lidoff.mark.guard import MOST_BODY_BYTES, Asked

LOOPBACK = "127.0.0.1"
POLL_S = 0.2


class DeskServer(ThreadingHTTPServer):
    """Serves one desk; port 0 takes any that is free."""

    daemon_threads = True
    allow_reuse_address = os.name == "posix"

    def __init__(self, desk: Desk, port: int = 0) -> None:
        super().__init__((LOOPBACK, port), _Handler)
        self.desk = desk
        desk.hosts = (f"{LOOPBACK}:{self.server_port}", f"localhost:{self.server_port}")

    @property
    def url(self) -> str:
        """The address that opens the desk, good for one use."""
        return f"http://{LOOPBACK}:{self.server_port}{self.desk.way_in}"

    def serve_until_closed(self) -> None:
        """Answer until nobody is at the desk any more."""
        thread = threading.Thread(target=self.serve_forever, args=(POLL_S,), daemon=True)
        thread.start()
        try:
            while not self.desk.watch.is_over():
                time.sleep(POLL_S)
        finally:
            self.shutdown()
            thread.join()


class _Handler(BaseHTTPRequestHandler):
    server: DeskServer
    protocol_version = "HTTP/1.1"
    timeout = 30
    server_version, sys_version = "lidoff-mark", ""

    def handle(self) -> None:
        try:
            super().handle()
        except ConnectionError:
            # the browser has left, or has closed a connection that was kept open for it
            self.close_connection = True

    def _answer(self) -> None:
        one = self.headers.get
        asked = Asked(
            self.command, self.path, one("Host"), one("Origin"), one("Sec-Fetch-Site"), one("Content-Type"),
            one("Content-Length"), one("Transfer-Encoding"),
        )  # fmt: skip
        desk = self.server.desk
        refused = desk.refusal(asked)
        if refused is not None:
            self.close_connection = True  # a body that was not read must not be taken for the next request
            self._send(refused)
            return
        body = self.rfile.read(min(int(asked.length), MOST_BODY_BYTES)) if self.command == "POST" else b""
        self._send(desk.answer(asked, body))

    do_GET = do_HEAD = do_POST = do_PUT = do_PATCH = do_DELETE = do_OPTIONS = do_TRACE = do_CONNECT = _answer

    def _send(self, answer: Answer) -> None:
        self.send_response(answer.status)
        for name, value in (HEADERS | dict(answer.headers)).items():
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(answer.content)))
        if self.close_connection:
            self.send_header("Connection", "close")
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(answer.content)

    def log_message(self, format: str, *args: object) -> None:
        """Requests are not worth a line each; what goes wrong raises."""
