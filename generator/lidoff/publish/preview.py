"""The live preview: what is answered to a request, from the last good site and from the records as they are now."""

import json
import os
import re
import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from urllib.parse import parse_qs, quote, unquote, urlsplit

from lidoff.publish.notice import notice
from lidoff.publish.pictures import PictureMaker
from lidoff.publish.shell import Frames, ShellError
from lidoff.publish.source import Live
from lidoff.website import Page

SCRIPT, STATE = "~preview/reload.js", "~preview/state"
HELD_UP = "This record has errors and can't be published as it is. Below stands its page as it last was."
NEVER_BUILT = "This record has errors, and there is no earlier page of it to show."
FOLLOWS = (
    '<p class="lf-notice" role="status">What the other records have to say of this edit is being looked up; the page '
    "then loads again.</p>"
)
NOTHING = "<!doctype html><title>Preview</title><main><h1>Nothing here</h1><p>No page has this address.</p></main>"
RESTS = 4  # times as long as a look through all records takes, so that thousands leave the processor to others
WORTH_A_REST_S = 0.05
PATIENCE_S = 0.2  # how long who asks for news waits for such a look
_MAIN = re.compile(r"<main\b[^>]*>")
_TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json; charset=utf-8",
    ".csv": "text/csv; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
    ".xml": "application/xml; charset=utf-8",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".jpeg": "image/jpeg",
    ".webp": "image/webp",
    ".avif": "image/avif",
    ".woff2": "font/woff2",
    ".wasm": "application/wasm",
    ".pdf": "application/pdf",
}


@dataclass(frozen=True, slots=True)
class Answer:
    """Status, content and the headers of its own."""

    status: int
    content: bytes
    headers: Mapping[str, str] = field(default_factory=dict)


@dataclass
class Preview:
    """Answers requests; safe to call from several threads.

    The records come first, but for files of the first of the ``folders``; what they do not make is looked for in the
    others. ``pictures`` makes what a page shows and no folder holds.
    """

    folders: tuple[Path, ...]
    frames: Frames
    live: Live
    pictures: PictureMaker | None = None
    _changes: int = 0
    _rests_until: float = 0.0
    _look_through: threading.Thread | None = None
    _lock: threading.Lock = field(default_factory=threading.Lock)
    _starting: threading.Lock = field(default_factory=threading.Lock)

    @property
    def mount(self) -> str:
        """The path under which the site stands here, the same as where it is published."""
        return urlsplit(self.frames.addressing.site_url).path

    def answer(self, target: str) -> Answer:
        """The answer to a request's target, such as ``/products/b/m/?x=1``."""
        try:
            path, query = unquote(urlsplit(target).path), parse_qs(urlsplit(target).query)
        except ValueError:  # no address at all, such as http://[/
            return self._not_found()
        if not path.startswith(self.mount):
            return _moved(self.mount) if path in ("/", self.mount.rstrip("/")) else self._not_found()
        inner = path[len(self.mount) :]
        if inner == SCRIPT:
            return Answer(200, Path(__file__).with_name("reload.js").read_bytes(), {"Content-Type": _TYPES[".js"]})
        if inner == STATE:
            self._look_around(query.get("page", [""])[0].removeprefix(self.mount.rstrip("/")))
            state = json.dumps({"version": self._version()})
            return Answer(200, state.encode("utf-8"), {"Content-Type": _TYPES[".json"]})
        if any(part.startswith(".") for part in inner.split("/")) or set(inner) & set("\\\0"):
            return self._not_found()
        return self._page(inner) if inner == "" or inner.endswith("/") else self._file(inner)

    def _look_around(self, address: str) -> None:
        """See what was edited: first the record that the reader looks at, then all; never for most of the time."""
        if self._look(address):
            self._rests_until = 0.0
            return
        with self._starting:
            running = self._look_through
            if (running is None or not running.is_alive()) and time.monotonic() >= self._rests_until:
                running = self._look_through = threading.Thread(target=self._look_through_all, daemon=True)
                running.start()
        if running is not None:
            running.join(PATIENCE_S)

    def _look_through_all(self) -> None:
        started = time.monotonic()
        if not self._refresh():
            ended = time.monotonic()
            if ended - started > WORTH_A_REST_S:
                self._rests_until = ended + RESTS * (ended - started)

    def _look(self, address: str) -> bool:
        return self._counted(self.live.look(address))

    def _refresh(self) -> bool:
        return self._counted(bool(self.live.refresh()))

    def _counted(self, is_edited: bool) -> bool:
        with self._lock:
            self._changes += is_edited
        return is_edited

    def _version(self) -> str:
        """Changes with every edit of a record, and with every new site that is published beside the preview."""
        return "-".join((str(self._changes), *(os.path.basename(os.path.realpath(folder)) for folder in self.folders)))

    def _page(self, inner: str) -> Answer:
        """A page: made anew where its record has changed, else as it was built; its record's errors stand on top."""
        address = f"/{inner}"
        if not self._look(address) and not self.live.is_ahead(address):
            self._refresh()
        seen = self._version()  # before the page is made: what is edited meanwhile loads it again
        follows = FOLLOWS if self.live.is_ahead(address) else ""
        page, findings = self.live.page(address), self.live.findings(address)
        if page is None:
            page = self.live.earlier_page(address)
        if page is not None:
            return self._stamped(replace(page, body=notice(findings, HELD_UP) + follows + page.body), seen)
        moved = self.live.moved(address)
        if moved is not None:
            return _moved(f"{self.mount}{moved[1:]}")
        built = self._read(f"{inner}index.html", self.folders)
        if built is not None:
            return self._html(built, notice(findings, HELD_UP), seen=seen)
        shown = notice(findings, NEVER_BUILT)
        if shown:
            return self._stamped(Page(address, "Not published yet", "", f"<h1>Not published yet</h1>{shown}"), seen)
        return self._not_found()

    def _stamped(self, page: Page, seen: str) -> Answer:
        try:
            return self._html(self.frames.stamp(page).encode("utf-8"), seen=seen)
        except ShellError:
            return self._not_found()

    def _file(self, inner: str) -> Answer:
        if inner == "index.html" or inner.endswith("/index.html"):
            return self._page(inner.removesuffix("index.html"))
        content = self._read(inner, self.folders[:1])
        if content is None:
            content = self.live.file(inner)
        if content is None:
            content = self._read(inner, self.folders[1:])
        if content is None:
            content = self._picture(inner)
        if content is None:
            is_page = self._read(f"{inner}/index.html", self.folders) or self.live.page(f"/{inner}/")
            return _moved(f"{self.mount}{inner}/") if is_page else self._not_found()
        if inner.endswith(".html"):
            return self._html(content)
        kind = _TYPES.get(os.path.splitext(inner)[1].lower(), "application/octet-stream")
        return Answer(200, content, {"Content-Type": kind})

    def _picture(self, inner: str) -> bytes | None:
        """A picture as its record wants it now; several are made at once."""
        if self.pictures is None or not inner.startswith("pictures/"):
            return None
        picture = self.live.picture(inner)
        return self.pictures.one(picture) if picture is not None else None

    def _not_found(self) -> Answer:
        return self._html(self._read("404.html", self.folders) or NOTHING.encode("utf-8"), status=404)

    def _html(self, content: bytes, shown: str = "", status: int = 200, seen: str | None = None) -> Answer:
        """A page with what is to be shown above its content, and with the script that loads it again."""
        seen = self._version() if seen is None else seen
        text = content.decode("utf-8")
        if shown:
            text = _MAIN.sub(lambda main: main[0] + shown, text, count=1)
        script = f'<script src="{self.mount}{SCRIPT}?seen={quote(seen)}"></script>'
        head, end, rest = text.rpartition("</body>")
        text = f"{head}{script}{end}{rest}" if end else f"{text}{script}"
        return Answer(status, text.encode("utf-8"), {"Content-Type": _TYPES[".html"]})

    def _read(self, path: str, folders: tuple[Path, ...]) -> bytes | None:
        """The first file of that path that lies in one of the folders, and truly in it."""
        for folder in folders:
            top, file = os.path.realpath(folder), os.path.realpath(folder / path)
            if file.startswith(top + os.sep) and os.path.isfile(file):
                return Path(file).read_bytes()
        return None


def _moved(path: str) -> Answer:
    return Answer(302, b"", {"Location": quote(path)})
