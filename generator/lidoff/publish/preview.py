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

    ``folders`` are looked through in their order: the last good site, then any other that may hold the file.
    ``pictures`` makes what a page shows and no folder holds.
    """

    folders: tuple[Path, ...]
    frames: Frames
    live: Live
    pictures: PictureMaker | None = None
    _changes: int = 0
    _rests_until: float = 0.0
    _lock: threading.Lock = field(default_factory=threading.Lock)

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
        started = time.monotonic()
        if not self._look(address) and started >= self._rests_until and not self._refresh():
            ended = time.monotonic()
            self._rests_until = ended + RESTS * (ended - started)

    def _look(self, address: str) -> bool:
        with self._lock:
            is_edited = self.live.look(address)
            self._changes += is_edited
        return is_edited

    def _refresh(self) -> bool:
        with self._lock:
            is_edited = bool(self.live.refresh())
            self._changes += is_edited
        return is_edited

    def _version(self) -> str:
        """Changes with every edit of a record, and with every new site that is published beside the preview."""
        return "-".join((str(self._changes), *(os.path.basename(os.path.realpath(folder)) for folder in self.folders)))

    def _page(self, inner: str) -> Answer:
        """A page: made anew where its record has changed, else as it was built; its record's errors stand on top."""
        address = f"/{inner}"
        with self._lock:
            is_ahead = self.live.is_ahead(address)
        if not self._look(address) and not is_ahead:
            self._refresh()
        with self._lock:
            page, findings = self.live.page(address), self.live.findings(address)
            follows = FOLLOWS if self.live.is_ahead(address) else ""
        if page is not None:
            return self._stamped(replace(page, body=notice(findings, HELD_UP) + follows + page.body))
        built = self._read(f"{inner}index.html")
        if built is not None:
            return self._html(built, notice(findings, HELD_UP))
        shown = notice(findings, NEVER_BUILT)
        if shown:
            return self._stamped(Page(address, "Not published yet", "", f"<h1>Not published yet</h1>{shown}"))
        return self._not_found()

    def _stamped(self, page: Page) -> Answer:
        try:
            return self._html(self.frames.stamp(page).encode("utf-8"))
        except ShellError:
            return self._not_found()

    def _file(self, inner: str) -> Answer:
        content = self._read(inner)
        if content is None:
            content = self._picture(inner)
        if content is None:
            with self._lock:
                is_page = self._read(f"{inner}/index.html") is not None or self.live.page(f"/{inner}/") is not None
            return _moved(f"{self.mount}{inner}/") if is_page else self._not_found()
        if inner.endswith(".html"):
            return self._html(content)
        kind = _TYPES.get(os.path.splitext(inner)[1].lower(), "application/octet-stream")
        return Answer(200, content, {"Content-Type": kind})

    def _picture(self, inner: str) -> bytes | None:
        """A picture as its record wants it now; made outside the lock, so that several are made at once."""
        if self.pictures is None or not inner.startswith("pictures/"):
            return None
        with self._lock:
            picture = self.live.picture(inner)
        return self.pictures.one(picture) if picture is not None else None

    def _not_found(self) -> Answer:
        return self._html(self._read("404.html") or NOTHING.encode("utf-8"), status=404)

    def _html(self, content: bytes, shown: str = "", status: int = 200) -> Answer:
        """A page with what is to be shown above its content, and with the script that loads it again."""
        text = content.decode("utf-8")
        if shown:
            text = _MAIN.sub(lambda main: main[0] + shown, text, count=1)
        script = f'<script src="{self.mount}{SCRIPT}?seen={quote(self._version())}"></script>'
        head, end, rest = text.rpartition("</body>")
        text = f"{head}{script}{end}{rest}" if end else f"{text}{script}"
        return Answer(status, text.encode("utf-8"), {"Content-Type": _TYPES[".html"]})

    def _read(self, path: str) -> bytes | None:
        """The first file of that path that lies in one of the folders, and truly in it."""
        for folder in self.folders:
            top, file = os.path.realpath(folder), os.path.realpath(folder / path)
            if file.startswith(top + os.sep) and os.path.isfile(file):
                return Path(file).read_bytes()
        return None


def _moved(path: str) -> Answer:
    return Answer(302, b"", {"Location": quote(path)})
