"""What every request and response passes: loopback host, own origin, strict headers.

A page of another site can reach a local port, and a hostile name can be made to point at it. So
the Host header must be exactly one of the names this server answers to; whoever asks must have
come in by the printed address; a request that another site caused is let through only as a whole
page opened by a person, and never when it sends anything; what is sent is a form of bounded size
from a page of this very server; and every answer, errors included, carries the same headers.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, MutableMapping, Sequence
from dataclasses import dataclass
from typing import Any

from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from tankside.errors import BadInput
from tankside.web.api.address import JSON, is_api
from tankside.web.body_limit import bounded, largest
from tankside.web.entrance import Entrance

SECURITY_HEADERS = {
    "content-security-policy": "default-src 'none'; script-src 'self'; style-src 'self'; "
    "img-src 'self' blob:; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "object-src 'none'; frame-ancestors 'none'",
    "x-content-type-options": "nosniff",
    # Not "no-referrer": a form would then be sent without the origin that is checked here.
    "referrer-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
    "cache-control": "no-store",
}
STATIC = "/static/"
READING = ("GET", "HEAD")
SENDING = "POST"
ANSWERED = (*READING, SENDING)
SAME = ("same-origin", "none")
LONGEST_LENGTH = 12
"""Digits of a length; int() of thousands of them is an error of its own."""
FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")
Headers = Mapping[bytes, bytes]


def hosts_of(port: int) -> frozenset[bytes]:
    """Return the Host values that a server on loopback at this port answers to."""
    names = ("127.0.0.1", "localhost", "[::1]")
    return frozenset(f"{name}:{port}".encode() for name in names)


@dataclass(frozen=True, slots=True)
class TurnedAway:
    """A request that is not let through, and what is said of it."""

    why: BadInput
    status: int
    headers: Mapping[str, str] | None = None

    def answer(self, path: str) -> Response:
        """Return what is answered: words for a person, an object for a program."""
        if is_api(path):
            return JSONResponse({"error": self.why.as_json()}, self.status, self.headers)
        return PlainTextResponse(f"{self.why}\n", self.status, self.headers)


class Guard:
    """Outermost application: checks the request, stamps the response."""

    def __init__(self, inner: ASGIApp, hosts: Iterable[bytes], entrance: Entrance) -> None:
        self._inner = inner
        self._hosts = frozenset(hosts)
        self._entrance = entrance

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._inner(scope, receive, send)
            return
        refused = self._refusal(scope)
        inner = self._inner if refused is None else refused.answer(scope["path"])
        await inner(
            scope, bounded(receive, scope["path"]), _stamped(send, headers_for(scope["path"]))
        )

    def _refusal(self, scope: Scope) -> TurnedAway | None:
        sent: list[tuple[bytes, bytes]] = scope["headers"]
        host = [value for name, value in sent if name == b"host"]
        if len(host) != 1 or host[0] not in self._hosts or not scope["path"].startswith("/"):
            return TurnedAway(_not_this_server(host), 421)
        if scope["method"] not in ANSWERED:
            return TurnedAway(_no_such_way(scope["method"]), 405, {"allow": ", ".join(ANSWERED)})
        headers = dict(sent)
        site = headers.get(b"sec-fetch-site", b"none").decode("latin-1")
        if site not in SAME and (scope["method"] == SENDING or not _opened_by_person(headers)):
            return TurnedAway(_another_site(site), 403)
        if not self._entrance.opens(scope["path"]) and not self._entrance.lets_in(
            b"; ".join(value for name, value in sent if name == b"cookie")
        ):
            return TurnedAway(_not_let_in(), 403)
        if scope["method"] != SENDING:
            return None
        return _sending_refused(headers, host[0], scope["path"])


def _opened_by_person(headers: Headers) -> bool:
    navigates = headers.get(b"sec-fetch-mode") == b"navigate"
    return navigates and headers.get(b"sec-fetch-dest") == b"document"


def _sending_refused(headers: Headers, host: bytes, path: str) -> TurnedAway | None:
    """Refuse what is not a form of bounded size from a page of this server.

    To the interface JSON is sent and nothing else: a page of another site can send a form without
    being asked, but no JSON.
    """
    most = largest(path)
    origin = headers.get(b"origin")
    if origin != b"http://" + host:
        return TurnedAway(_another_site((origin or b"no origin").decode("latin-1")), 403)
    kind = headers.get(b"content-type", b"").decode("latin-1").partition(";")[0].strip().lower()
    kinds = (JSON,) if is_api(path) else FORMS
    if kind not in kinds:
        return TurnedAway(_no_form(kind, kinds), 415)
    length = headers.get(b"content-length", b"")
    if not length.isdigit():
        return TurnedAway(_no_form("no length", kinds), 411)
    if len(length) > LONGEST_LENGTH or int(length) > most:
        return TurnedAway(_too_large(length.decode("latin-1"), most), 413)
    return None


def _not_this_server(host: Sequence[bytes]) -> BadInput:
    return BadInput(
        "E-WEB-01",
        "This is not a name of this server.",
        given=", ".join(name.decode("latin-1") for name in host),
        needed="the address that the program printed when it began to serve",
        next_step="Open that address in a browser on this machine.",
    )


def _no_such_way(method: str) -> BadInput:
    return BadInput(
        "E-WEB-02",
        "This server does not answer that way of asking.",
        given=method,
        needed=" or ".join(ANSWERED),
        next_step="Use the pages as the browser shows them.",
    )


def _not_let_in() -> BadInput:
    return BadInput(
        "E-WEB-07",
        "This browser has not come in by the address that was printed.",
        needed="the whole address that the program printed when it began to serve",
        next_step="Open that address again. In danger now: the page /emergency is open to all.",
    )


def _no_form(kind: str, kinds: Sequence[str]) -> BadInput:
    return BadInput(
        "E-WEB-08",
        "What was sent is not what this address takes.",
        given=kind,
        needed=" or ".join(kinds) + ", with its length",
        next_step="Fill in the page in a browser; to the interface send JSON. Nothing was saved.",
    )


def _too_large(length: str, most: int) -> BadInput:
    return BadInput(
        "E-WEB-09",
        "This is more than one form may hold.",
        given=f"{length[:40]} bytes",
        needed=f"at most {most} bytes",
        next_step="Send less at once; nothing was saved.",
    )


def _another_site(asked_by: str) -> BadInput:
    return BadInput(
        "E-WEB-03",
        "Another site asked for this.",
        given=asked_by,
        needed="a page opened by a person, or asked for by a page of this server",
        next_step="Close that site, and open the workbench by its own address.",
    )


def headers_for(path: str) -> Mapping[str, str]:
    """Return the headers that an answer carries, whatever it says.

    What is part of the program may be kept by a browser if it asks whether it still holds; what
    tells of a case never is.

    Args:
        path: path of the request.
    """
    kept = {"cache-control": "no-cache"} if path.startswith(STATIC) else {}
    return {**SECURITY_HEADERS, **kept}


def _stamped(send: Send, headers: Mapping[str, str]) -> Send:
    async def stamp(message: Message) -> None:
        if message["type"] == "http.response.start":
            message = _with_headers(message, headers)
        await send(message)

    return stamp


def _with_headers(
    message: MutableMapping[str, Any], headers: Mapping[str, str]
) -> MutableMapping[str, Any]:
    ours = {name.encode(): value.encode() for name, value in headers.items()}
    kept = [(name, value) for name, value in message.get("headers", []) if name not in ours]
    return {**message, "headers": [*kept, *ours.items()]}
