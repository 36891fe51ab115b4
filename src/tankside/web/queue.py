"""A few pages are worked out at a time; what must not wait for them has a road of its own."""

from __future__ import annotations

from asyncio import Semaphore
from contextlib import nullcontext

from starlette.types import ASGIApp, Receive, Scope, Send

from tankside.records.one_reading import one_reading
from tankside.web.entrance import OPEN

MOST_AT_ONCE = 4
"""Pages worked out at the same time: more would share one interpreter and only wait longer, and
with them the one task that takes requests and answers the emergency card."""
STREAMED = "/progress/"
"""In the path of what tells how far long work has come: it waits, and works nothing out."""


class FewAtOnce:
    """Lets a few requests through and the others wait for their turn, in the order they came."""

    def __init__(self, inner: ASGIApp) -> None:
        self._inner = inner
        self._turns = Semaphore(MOST_AT_ONCE)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request when it is its turn."""
        if scope["type"] != "http" or _goes_ahead(scope["path"]):
            await self._inner(scope, receive, send)
            return
        async with self._turns:
            with one_reading() if scope["method"] == "GET" else nullcontext():
                await self._inner(scope, receive, send)


def _goes_ahead(path: str) -> bool:
    return path.startswith(OPEN) or STREAMED in path
