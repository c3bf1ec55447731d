"""What every request passes before anything else sees it, and every response on its way out.

Written for the bare protocol between server and application, so that a body that is too long is
refused while it comes in, not after it is in memory.
"""

from __future__ import annotations

import logging
import time
from collections import OrderedDict
from ipaddress import ip_address, ip_network
from urllib.parse import urlsplit

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from walltriage.desk.settings import Settings

log = logging.getLogger("walltriage.desk")
CSP = (
    "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; "
    "base-uri 'none'; frame-ancestors 'none'"
)
_HEADERS = {
    "content-security-policy": CSP,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "geolocation=(), microphone=(), payment=()",
    "cache-control": "no-store",
    "x-robots-tag": "noindex, nofollow",
}
_HSTS = "max-age=31536000"
_CHANGING = ("POST", "PUT", "PATCH", "DELETE")
MOST_FORM_BYTES = 256 * 1024  # of a form without files: it is taken apart in memory


class TooLarge(Exception):  # noqa: N818 - told as what happened
    """The body of a request is longer than anything this program takes."""


class Allowance:
    """So many things a minute for each address, with a burst of half of that at once."""

    KEPT = 20_000

    def __init__(self, per_minute: int) -> None:
        self.per_minute = per_minute
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def take(self, address: str, at: float | None = None) -> bool:
        """Whether one more is allowed; 0 a minute stands for no limit."""
        if self.per_minute <= 0:
            return True
        address = _household(address)
        at = time.monotonic() if at is None else at
        most = max(self.per_minute / 2, 1.0)
        left, then = self._left.pop(address, (most, at))
        left = min(most, left + (at - then) * self.per_minute / 60)
        allowed = left >= 1
        self._left[address] = (left - 1 if allowed else left, at)
        while len(self._left) > self.KEPT:
            self._left.popitem(last=False)
        return allowed


def _household(address: str) -> str:
    """An address as one connection has it: of version 6 everybody has 2 to the power of 64."""
    try:
        known = ip_address(address)
    except ValueError:
        return address
    if known.version == 4 or known.ipv4_mapped is not None:
        return address
    return str(ip_network((known, 64), strict=False))


class Guard:
    """Host, origin, rate and size of requests; headers of responses; errors kept inside."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self.app, self.settings = app, settings
        self._allowance = Allowance(settings.requests_per_minute)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = {k.decode("latin-1"): v.decode("latin-1") for k, v in scope["headers"]}
        status = self._refused(scope, headers)
        if status:
            await self._plain(send, status)
            return
        started = False
        taken, most = 0, self._most_bytes(headers)

        async def limited() -> Message:
            nonlocal taken
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > most:
                raise TooLarge
            return message

        async def with_headers(message: Message) -> None:
            nonlocal started
            if message["type"] == "http.response.start":
                started = True
                message = {**message, "headers": self._headers(message["headers"])}
            await send(message)

        try:
            await self.app(scope, limited, with_headers)
        except Exception:  # the application has answered already, unless it could not
            log.exception("error on %s %s", scope["method"], redacted(scope["path"]))
            if not started:
                await self._plain(send, 500)

    def _refused(self, scope: Scope, headers: dict[str, str]) -> int:
        """The status to refuse with; 0 to let the request in."""
        host = headers.get("host", "")
        if _name_of(host) not in (self.settings.host, "127.0.0.1", "localhost", "::1"):
            return 400
        client = scope.get("client")
        if not self._allowance.take(client[0] if client else ""):
            return 429
        length = headers.get("content-length", "0")
        if not (length.isascii() and length.isdigit()):
            return 400
        if int(length) > self._most_bytes(headers):
            return 413
        if scope["method"] in _CHANGING and not self._from_here(headers, host):
            return 403
        return 0

    def _most_bytes(self, headers: dict[str, str]) -> int:
        """How long the body may be: files come in forms of several parts only."""
        if headers.get("content-type", "").lower().startswith("multipart/"):
            return self.settings.body_bytes
        return min(MOST_FORM_BYTES, self.settings.body_bytes)

    def _from_here(self, headers: dict[str, str], host: str) -> bool:
        """Whether a form was sent from one of our own pages, as far as the browser tells."""
        if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
            return False
        origin = headers.get("origin")
        if origin is None:
            return True
        return origin == self.settings.public_url or urlsplit(origin).netloc == host

    def _headers(self, given: list[tuple[bytes, bytes]]) -> list[tuple[bytes, bytes]]:
        has = {name.lower() for name, _ in given}
        ours = dict(_HEADERS)
        if self.settings.secure:
            ours["strict-transport-security"] = _HSTS
        more = [(k.encode(), v.encode()) for k, v in ours.items() if k.encode() not in has]
        return [*given, *more]

    async def _plain(self, send: Send, status: int) -> None:
        body = WORDS[status].encode()
        headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"connection", b"close")]
        if status == 429:
            headers.append((b"retry-after", b"30"))
        await send(
            {"type": "http.response.start", "status": status, "headers": self._headers(headers)}
        )
        await send({"type": "http.response.body", "body": body})


WORDS = {
    400: "This address is not served here. Use the link you were given.",
    403: "This came from another site's page, so nothing was done. Go back to the desk's own page.",
    413: "That is too much at once. Send one photo at a time, no larger than 20 megabytes. "
    "Nothing you sent before is lost: go back and continue.",
    429: "Too many requests in a short time. Wait half a minute, then load the page again. "
    "Nothing is lost.",
    500: "Something went wrong here, and it has been noted. What you sent before is saved: "
    "go back and try again.",
}


def _name_of(host: str) -> str:
    """The name in a host header, without its port; empty for what is none."""
    try:
        return urlsplit(f"//{host}").hostname or ""
    except ValueError:
        return ""


def redacted(path: str) -> str:
    """A path for the log, without the part that opens something."""
    parts = path.split("/")
    if len(parts) > 2 and parts[1] in ("c", "join"):
        parts[2] = "..."
    return "/".join(parts)
