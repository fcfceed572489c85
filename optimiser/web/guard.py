"""Who may ask: this machine alone, by the very address that was told, from the page itself, with its token.

A page of another site that a browser shows can send requests to this machine, and can have a name of its own lead here
(DNS rebinding). So the Host must be one of ours with its port, a write must come from our own origin (Sec-Fetch-Site, Fetch
Metadata Request Headers, W3C; Origin, RFC 6454), and every answer asks for a token that only our page has.
"""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

HOSTS = ("127.0.0.1", "localhost")
MOST_BYTES = 1 << 20
TOKEN_HEADER = b"x-barwright-token"
TOLD_ONCE = (b"origin", b"sec-fetch-site", b"content-type", TOKEN_HEADER)
BEGIN = "/api/begin"
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"referrer-policy", b"same-origin"),
    (b"x-content-type-options", b"nosniff"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cache-control", b"no-store"),
)


class Keys:
    """The one-time token, burnt when it is used, and the token that requests carry from then on."""

    def __init__(self) -> None:
        self._once: set[str] = set()
        self._token = secrets.token_urlsafe(32)

    def once(self) -> str:
        """A new one-time token, for one window."""
        made = secrets.token_urlsafe(32)
        self._once.add(made)
        return made

    def begin(self, once: str) -> str | None:
        """The token for one that has not been used, which is then burnt; None for any other."""
        told = once.encode("utf-8", "surrogatepass")
        found = next((one for one in self._once if hmac.compare_digest(one.encode(), told)), None)
        if found is None:
            return None
        self._once.discard(found)
        return self._token

    def fits(self, token: bytes) -> bool:
        """Whether a request carries the token."""
        return hmac.compare_digest(self._token.encode(), token)


class Guard:
    """Lets through what may ask, with headers of ours on every answer; all else is refused in a word."""

    def __init__(self, app: App, port: int, keys: Keys) -> None:
        self.inner = app
        self.keys = keys
        self.hosts = {f"{host}:{port}".encode() for host in HOSTS} | (
            {h.encode() for h in HOSTS} if port == 80 else set()
        )

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] == "lifespan":
            await self.inner(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        refused = self.refusal(scope)
        if refused is not None:
            await answer(send, *refused)
            return
        body = await whole(receive, scope)
        if body is None:
            await answer(send, 413, b"that is more than a page sends")
            return
        await self.inner(scope, handed_on(body, receive), with_headers(send))

    def refusal(self, scope: Scope) -> tuple[int, bytes] | None:
        """Why a request is refused; None where it is not."""
        hosts = [value.lower() for name, value in scope["headers"] if name == b"host"]
        is_call = scope["path"].startswith("/api/")
        checks = (
            (len(hosts) != 1 or hosts[0] not in self.hosts, 421, b"this is not that host"),
            (scope["method"] not in ("GET", "HEAD", "POST"), 405, b"no such method here"),
            (scope["method"] == "POST" and not is_call, 405, b"nothing is written there"),
        )
        found = next(((status, words) for is_wrong, status, words in checks if is_wrong), None)
        return self.call_refused(scope, hosts[0]) if found is None and is_call else found

    def call_refused(self, scope: Scope, host: bytes) -> tuple[int, bytes] | None:
        """The same of what asks for data, or writes."""
        headers = dict(scope["headers"])
        told = [name for name, _ in scope["headers"] if name in TOLD_ONCE]
        site, origin = headers.get(b"sec-fetch-site"), headers.get(b"origin")
        kind = headers.get(b"content-type", b"").split(b";")[0].strip()
        writes = scope["method"] == "POST"
        checks = (
            (len(set(told)) != len(told), 400, b"a header of ours is there twice"),
            (site not in (None, b"same-origin"), 403, b"asked from another site"),
            (origin not in (None, origin_of(host)), 403, b"asked from another origin"),
            (writes and origin is None and site is None, 403, b"a write without its origin"),
            (writes and kind != b"application/json", 415, b"JSON is asked for"),
            (
                scope["path"] != BEGIN and not self.keys.fits(headers.get(TOKEN_HEADER, b"")),
                401,
                b"open the page by the address that the program told",
            ),
        )
        return next(((status, words) for is_wrong, status, words in checks if is_wrong), None)


def origin_of(host: bytes) -> bytes:
    """The origin that a page of ours has."""
    return b"//".join((b"http:", host))


async def whole(receive: Receive, scope: Scope) -> bytes | None:
    """The body of a request; None where it is longer than any of ours."""
    told = dict(scope["headers"]).get(b"content-length", b"0")
    if not told.isdigit() or int(told) > MOST_BYTES:
        return None
    body = b""
    while True:
        message = await receive()
        if message["type"] != "http.request":
            return body
        part: bytes = message.get("body", b"")
        body += part
        if len(body) > MOST_BYTES:
            return None
        if not message.get("more_body"):
            return body


def handed_on(body: bytes, receive: Receive) -> Receive:
    """What hands on a body that was read already, and then waits for the end as before."""
    sent = False

    async def read() -> MutableMapping[str, Any]:
        nonlocal sent
        if sent:
            return await receive()
        sent = True
        return {"type": "http.request", "body": body, "more_body": False}

    return read


def with_headers(send: Send) -> Send:
    """What sends an answer with our headers, but for those that its route sets itself."""

    async def write(message: MutableMapping[str, Any]) -> None:
        if message["type"] == "http.response.start":
            given = list(message.get("headers", []))
            names = {name.lower() for name, _ in given}
            message = {**message, "headers": [*given, *(pair for pair in HEADERS if pair[0] not in names)]}
        await send(message)

    return write


async def answer(send: Send, status: int, words: bytes) -> None:
    """A short answer in words."""
    length = str(len(words)).encode()
    head = [(b"content-type", b"text/plain; charset=utf-8"), (b"content-length", length), *HEADERS]
    await send({"type": "http.response.start", "status": status, "headers": head})
    await send({"type": "http.response.body", "body": words})
