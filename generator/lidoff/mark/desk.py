"""The desk behind the page: what is answered to a request that was found to be its own page's."""

import json
import secrets
import threading
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

from lidoff.mark.entry import ChangedMeanwhile, Entry, Reading, UnreadableEntry, shown
from lidoff.mark.guard import Asked, is_same, refusal
from lidoff.mark.marks import RefusedMarks
from lidoff.mark.measuring import measured
from lidoff.mark.saving import UnsavedMarks
from lidoff.mark.watch import Watch

ASSETS = Path(__file__).with_name("assets")
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    "Cache-Control": "no-store",
}
_TYPES = {".html": "text/html", ".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}
_OPEN = "/open/"


@dataclass(frozen=True, slots=True)
class Answer:
    """Status, content and the headers of its own."""

    status: int
    content: bytes = b""
    headers: Mapping[str, str] = field(default_factory=dict)


@dataclass
class Desk:
    """Answers requests; safe to call from several threads.

    ``token`` opens the desk once; it leads to the address with ``session``, which only the browser knows.
    """

    entry: Entry
    watch: Watch = field(default_factory=Watch)
    hosts: tuple[str, ...] = ()
    token: str = field(default_factory=lambda: secrets.token_urlsafe(24))
    session: str = field(default_factory=lambda: secrets.token_urlsafe(24))
    saves: int = 0
    _is_opened: bool = False
    _lock: threading.Lock = field(default_factory=threading.Lock)

    @property
    def way_in(self) -> str:
        """The path that opens the desk once."""
        return f"{_OPEN}{self.token}"

    def refusal(self, asked: Asked) -> Answer | None:
        """The answer to a request that is refused before its body is read; None for one that may go on."""
        inner = self._inner(asked.target)
        opens = asked.method == "GET" and asked.target.startswith(_OPEN)
        # whoever follows a link to the way in is led on to the page itself
        refused = refusal(asked, self.hosts, opens or (asked.method == "GET" and inner == ""))
        if refused is not None:
            return _text(refused.status, refused.text)
        return None if opens or inner is not None else _text(404, "Nothing here.")

    def answer(self, asked: Asked, body: bytes = b"") -> Answer:
        """The answer to a request that was not refused."""
        path = urlsplit(asked.target).path
        if path.startswith(_OPEN):
            return self._opened(path.removeprefix(_OPEN))
        inner = self._inner(asked.target)
        with self._lock:
            return self._written(inner, body) if asked.method == "POST" else self._read(inner, asked.target)

    def _inner(self, target: str) -> str | None:
        """What follows the session in a request's path; None where the session is not this one."""
        session, slash, inner = urlsplit(target).path.removeprefix("/").partition("/")
        return inner if slash and target.startswith("/") and is_same(session, self.session) else None

    def _opened(self, token: str) -> Answer:
        with self._lock:
            if not is_same(token, self.token):
                return _text(404, "Nothing here.")
            if self._is_opened:
                fix = "Go back to the page that it opened, or start lidoff mark again."
                return _text(410, f"This address was good for one use, and has been used. {fix}")
            self._is_opened = True
        return Answer(303, b"", {"Location": f"/{self.session}/"})

    def _read(self, inner: str, target: str) -> Answer:
        if inner == "":
            self.watch.asked()
            return _file(ASSETS / "page.html")
        if inner == "state":
            try:
                return _json(200, shown(self.entry, self.entry.read()))
            except UnreadableEntry as reason:
                return _json(409, {"message": str(reason)})
        if inner == "picture":
            name = parse_qs(urlsplit(target).query).get("file", [""])[0]
            found = self.entry.picture(name)
            return Answer(200, found[0], {"Content-Type": found[1]}) if found else _text(404, "No such picture.")
        if inner in {path.relative_to(ASSETS).as_posix() for path in ASSETS.rglob("*.*")} - {"page.html"}:
            return _file(ASSETS / inner)
        return _text(404, "Nothing here.")

    def _written(self, inner: str, body: bytes) -> Answer:
        if inner not in ("save", "measure", "alive", "closed"):
            return _text(404, "Nothing here.")
        try:
            sent = json.loads(body)
        except (ValueError, RecursionError):
            return _json(400, {"problems": ["found no JSON; expected an object"]})
        if inner in ("alive", "closed"):
            page = str(sent.get("page", ""))[:64] if isinstance(sent, dict) else ""
            (self.watch.heard if inner == "alive" else self.watch.closed)(page)
            return _json(200, {})
        return self._saved(sent) if inner == "save" else self._measured(sent)

    def _measured(self, sent: object) -> Answer:
        try:
            sections = self.entry.read().sections
            return _json(200, measured(sent, sections, self.entry.sizes(sections)))
        except RefusedMarks as refused:
            return _json(422, {"problems": refused.problems})
        except UnreadableEntry as reason:
            return _json(409, {"message": str(reason)})

    def _saved(self, sent: object) -> Answer:
        try:
            reading: Reading = self.entry.save(sent)
        except RefusedMarks as refused:
            return _json(422, {"problems": refused.problems})
        except UnsavedMarks as reason:
            return _json(422, {"problems": [str(reason)]})
        except ChangedMeanwhile:
            return _json(409, {"message": "", "state": shown(self.entry, self.entry.read())})
        except UnreadableEntry as reason:
            return _json(409, {"message": str(reason)})
        except OSError as error:
            text = f"{self.entry.path} can't be written: {error.strerror}. It is as it was."
            return _json(500, {"problems": [text]})
        self.saves += 1
        return _json(200, shown(self.entry, reading))


def _file(path: Path) -> Answer:
    return Answer(200, path.read_bytes(), {"Content-Type": f"{_TYPES[path.suffix]}; charset=utf-8"})


def _json(status: int, data: object) -> Answer:
    content = json.dumps(data, ensure_ascii=False).encode("utf-8")
    return Answer(status, content, {"Content-Type": "application/json; charset=utf-8"})


def _text(status: int, text: str) -> Answer:
    return Answer(status, f"{text}\n".encode(), {"Content-Type": "text/plain; charset=utf-8"})
