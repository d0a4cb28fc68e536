"""The content security policy: what a page may load and run. Nothing from elsewhere, no script inside a page."""

import base64
import hashlib
import re
from collections.abc import Iterable
from html.parser import HTMLParser

# it holds a control sign, which the reader refuses: no text of a record is ever taken for it
PLACEHOLDER = "\x01LidoffContentPolicy\x01"
REFERRER = "same-origin"
_SCRIPT = re.compile(r"<script\b([^>]*)>(.*?)</script>", re.DOTALL | re.IGNORECASE)
_SCRIPT_TYPE = re.compile(r"""\btype\s*=\s*["']?([^"'\s>]*)""", re.IGNORECASE)
_RUNNABLE = {"", "module", "text/javascript", "application/javascript"}  # anything else is data, which no policy stops
_BLOCKED_TAGS = {"iframe", "object", "embed", "base", "style", "frame", "applet"}
_LOADING_LINKS = {"stylesheet", "icon", "manifest", "preload", "modulepreload", "prefetch", "preconnect"}
_LOADING = {"src", "srcset", "poster", "data", "action", "formaction"}
_TAG = re.compile(r"<([^<>]*)>")
_PLAIN_TAG = re.compile(r'/?[a-z][a-z0-9]*(?:\s+[a-z][a-z0-9:-]*(?:="[^"]*")?)*\s*/?', re.IGNORECASE)
# whatever has none of these can't be blocked: a tag or attribute that counts, or a value that hides what it says
_TELLING = re.compile(
    rf"^(?:{'|'.join(sorted(_BLOCKED_TAGS))}|script|use|image)\b|\s(?:on|style|rel|{'|'.join(sorted(_LOADING))})"
    r"|javascript:|&",
    re.IGNORECASE,
)


def inline_hashes(html: str) -> tuple[str, ...]:
    """The hash of every script that stands in the page itself; data blocks (JSON) need none."""
    hashes = []
    for attributes, text in _SCRIPT.findall(html):
        kind = _SCRIPT_TYPE.search(attributes)
        if re.search(r"\bsrc\s*=", attributes) or (kind[1].lower() if kind else "") not in _RUNNABLE:
            continue
        digest = hashlib.sha256(text.encode("utf-8")).digest()
        hashes.append(f"'sha256-{base64.b64encode(digest).decode('ascii')}'")
    return tuple(sorted(set(hashes)))


def content_policy(hashes: Iterable[str] = (), in_header: bool = True) -> str:
    """The policy as one line; browsers heed ``frame-ancestors`` in a response header alone."""
    rules = [
        "default-src 'none'",
        # the text search runs WebAssembly; this word allows that alone, and no script made of text
        " ".join(("script-src 'self' 'wasm-unsafe-eval'", *sorted(set(hashes)))),
        "style-src 'self'",
        "img-src 'self' data:",
        "font-src 'self'",
        "media-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
    ]
    return "; ".join((*rules, "frame-ancestors 'none'") if in_header else rules)


def seal(html: str, content: str) -> tuple[str, tuple[str, ...]]:
    """The page with its policy in place of the placeholder, and the hashes of the frame's own scripts.

    Only the frame's scripts are allowed: a script that came in with the content stays blocked.
    """
    frame = html.replace(content, "", 1) if content else html
    hashes = inline_hashes(frame)
    return html.replace(PLACEHOLDER, content_policy(hashes, in_header=False), 1), hashes


def response_headers(hashes: Iterable[str] = ()) -> dict[str, str]:
    """The headers that every answer of the site should carry."""
    return {
        "Content-Security-Policy": content_policy(hashes),
        "Referrer-Policy": REFERRER,
        "X-Content-Type-Options": "nosniff",
        "Cross-Origin-Opener-Policy": "same-origin",
        "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
    }


def headers_file(hashes: Iterable[str] = ()) -> bytes:
    """The same headers in the form of a ``_headers`` file, which several static hosts read."""
    lines = ["/*", *(f"  {name}: {value}" for name, value in response_headers(hashes).items())]
    for folder in ("assets", "pictures"):  # these names change with their contents
        lines += ["", f"/{folder}/*", "  Cache-Control: public, max-age=31536000, immutable"]
    return ("\n".join(lines) + "\n").encode("utf-8")


class _Reader(HTMLParser):
    """Collects what the policy would block in a fragment."""

    def __init__(self) -> None:
        super().__init__()
        self.breaches: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        line, _ = self.getpos()
        given = dict(attrs)
        if tag in _BLOCKED_TAGS:
            self.breaches.append(f"line {line}: <{tag}>")
        if tag == "script" and "src" not in given and (given.get("type") or "").lower() in _RUNNABLE:
            self.breaches.append(f"line {line}: a script in the page")
        for name, value in given.items():
            if name == "style" or name.startswith("on"):
                self.breaches.append(f"line {line}: {name}= on <{tag}>")
            is_loading_link = tag in ("use", "image") or given.get("rel") in _LOADING_LINKS
            loads = name in _LOADING or (name == "href" and is_loading_link)
            if loads and re.match(r"\s*(?:[a-z][a-z0-9+.-]*:)?//", value or "", re.IGNORECASE):
                self.breaches.append(f"line {line}: {name}= of <{tag}> loads from elsewhere")
            if name in ("href", "xlink:href", "src") and re.match(r"\s*javascript:", value or "", re.IGNORECASE):
                self.breaches.append(f"line {line}: {name}= of <{tag}> holds a script")


def breaches(html: str) -> tuple[str, ...]:
    """What the policy would block in this HTML, each with its line; empty where all of it works."""
    tags = _TAG.findall(html)
    # a whole reading takes thirty times as long, and is left to pages with anything but plain tags
    is_plain = len(tags) == html.count("<") == html.count(">")
    return () if is_plain and not any(map(_may_breach, set(tags))) else _read(html)


def _may_breach(tag: str) -> bool:
    """Whether the policy may block something in a tag, without its brackets."""
    if _PLAIN_TAG.fullmatch(tag) is None:
        return True
    return _TELLING.search(tag) is not None and bool(_read(f"<{tag}>"))


def _read(html: str) -> tuple[str, ...]:
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return tuple(reader.breaches)
