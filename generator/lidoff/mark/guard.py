"""Who may ask what: every request is held against these rules before anything is read or written."""

import hmac
from dataclasses import dataclass

MOST_BODY_BYTES = 2_000_000
READ, WRITE = ("GET", "HEAD"), "POST"
_OWN_SITES = ("same-origin", "none")


@dataclass(frozen=True, slots=True)
class Asked:
    """A request without its body: method, target and those headers that count; None where there is no such header."""

    method: str
    target: str
    host: str | None = None
    origin: str | None = None
    site: str | None = None
    content_type: str | None = None
    length: str | None = None
    coding: str | None = None


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a request is not answered."""

    status: int
    text: str


def refusal(asked: Asked, hosts: tuple[str, ...], opens: bool) -> Refusal | None:
    """Why a request is refused; None where nothing speaks against it. ``opens`` for the address that is used once.

    A page elsewhere can make a browser send requests here, under a name of its own that leads to this machine, but it
    can't choose the Host header, and the browser tells where a request comes from.
    """
    if asked.host not in hosts:
        return Refusal(421, "This desk answers only to this machine.")
    if asked.method not in (*READ, WRITE):
        return Refusal(405, "This desk knows GET, HEAD and POST.")
    if asked.site is not None and asked.site not in _OWN_SITES and not opens:
        return Refusal(403, "Requests from other pages are not answered.")
    return _of_writing(asked) if asked.method == WRITE else None


def _of_writing(asked: Asked) -> Refusal | None:
    if asked.origin != f"http://{asked.host}":
        return Refusal(403, "Only the desk's own page may write.")
    if (asked.content_type or "").split(";")[0].strip().lower() != "application/json":
        return Refusal(415, "Expected a body of the type application/json.")
    if asked.coding is not None or asked.length is None:
        return Refusal(411, "Expected a body of a stated length.")
    if not (asked.length.isascii() and asked.length.isdigit() and len(asked.length) < 12):
        return Refusal(400, "Expected the length as a whole number.")
    if int(asked.length) > MOST_BODY_BYTES:
        return Refusal(413, f"Expected at most {MOST_BODY_BYTES:,} bytes.")
    return None


def is_same(given: str, secret: str) -> bool:
    """Whether a text is the secret; the time that the answer takes tells nothing of it."""
    return hmac.compare_digest(given.encode("utf-8", "surrogatepass"), secret.encode("ascii"))
