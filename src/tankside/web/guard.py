"""What every request and response passes: loopback host, reading only, strict headers.

A page of another site can reach a local port, and a hostile name can be made to point at it. So
the Host header must be exactly one of the names this server answers to; a request that another
site caused is let through only as a whole page opened by a person; nothing but GET and HEAD is
answered; and every answer, errors included, carries the same headers.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, MutableMapping, Sequence
from typing import Any

from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from tankside.errors import BadInput

SECURITY_HEADERS = {
    "content-security-policy": "default-src 'none'; script-src 'self'; style-src 'self'; "
    "img-src 'self' blob:; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "object-src 'none'; frame-ancestors 'none'",
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-resource-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
    "cache-control": "no-store",
}
READING = ("GET", "HEAD")
SAME = ("same-origin", "none")


def hosts_of(port: int) -> frozenset[bytes]:
    """Return the Host values that a server on loopback at this port answers to."""
    names = ("127.0.0.1", "localhost", "[::1]")
    return frozenset(f"{name}:{port}".encode() for name in names)


class Guard:
    """Outermost application: checks the request, stamps the response."""

    def __init__(self, inner: ASGIApp, hosts: Iterable[bytes]) -> None:
        self._inner = inner
        self._hosts = frozenset(hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._inner(scope, receive, send)
            return
        refused = self._refusal(scope)
        inner = self._inner if refused is None else refused
        await inner(scope, receive, _stamped(send))

    def _refusal(self, scope: Scope) -> PlainTextResponse | None:
        headers: list[tuple[bytes, bytes]] = scope["headers"]
        host = [value for name, value in headers if name == b"host"]
        if len(host) != 1 or host[0] not in self._hosts or not scope["path"].startswith("/"):
            return _told(_not_this_server(host), 421)
        if scope["method"] not in READING:
            allow = {"allow": ", ".join(READING)}
            return PlainTextResponse("E-WEB-02: this server is for reading only.\n", 405, allow)
        sent = {name: value.decode("latin-1") for name, value in headers}
        opened_by_person = (
            sent.get(b"sec-fetch-mode") == "navigate" and sent.get(b"sec-fetch-dest") == "document"
        )
        if sent.get(b"sec-fetch-site", "none") not in SAME and not opened_by_person:
            return PlainTextResponse("E-WEB-03: another site asked for this.\n", 403)
        return None


def _told(
    refused: BadInput, status: int, headers: Mapping[str, str] | None = None
) -> PlainTextResponse:
    return PlainTextResponse(f"{refused}\n", status, headers)


def _not_this_server(host: Sequence[bytes]) -> BadInput:
    return BadInput(
        "E-WEB-01",
        "This is not a name of this server.",
        given=", ".join(name.decode("latin-1") for name in host),
        needed="the address that the program printed when it began to serve",
        next_step="Open that address in a browser on this machine.",
    )


def _reading_only(method: str) -> BadInput:
    return BadInput(
        "E-WEB-02",
        "This server is for reading only.",
        given=method,
        needed=" or ".join(READING),
        next_step="Enter what is new on the command line: tankside case add.",
    )


def _another_site(asked_by: str) -> BadInput:
    return BadInput(
        "E-WEB-03",
        "Another site asked for this.",
        given=asked_by,
        needed="a page opened by a person, or asked for by a page of this server",
        next_step="Close that site, and open the workbench by its own address.",
    )


def _stamped(send: Send) -> Send:
    async def stamp(message: Message) -> None:
        if message["type"] == "http.response.start":
            message = _with_headers(message)
        await send(message)

    return stamp


def _with_headers(message: MutableMapping[str, Any]) -> MutableMapping[str, Any]:
    ours = {name.encode(): value.encode() for name, value in SECURITY_HEADERS.items()}
    kept = [(name, value) for name, value in message.get("headers", []) if name not in ours]
    return {**message, "headers": [*kept, *ours.items()]}
