"""A few pages are worked out at a time; what must not wait for them has a road of its own."""

from __future__ import annotations

from asyncio import Semaphore
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from threading import Event

from starlette.types import ASGIApp, Receive, Scope, Send

from tankside.records.one_reading import one_reading
from tankside.web.entrance import OPEN

MOST_AT_ONCE = 4
"""Pages worked out at the same time: more would share one interpreter and only wait longer, and
with them the one task that takes requests and answers the emergency card."""
LONGEST_WAIT_S = 0.3
"""How long one step of long work waits for pages at most [s]."""
STREAMED = "/progress/"
"""In the path of what tells how far long work has come: it waits, and works nothing out."""


class PagesUnderWay:
    """Whether a page is being worked out; long work waits a little while one is."""

    def __init__(self) -> None:
        self._number = 0
        self._quiet = Event()
        self._quiet.set()

    @contextmanager
    def one_more(self) -> Iterator[None]:
        """Count a page until it is sent; called from the one task that takes requests."""
        self._number += 1
        self._quiet.clear()
        try:
            yield
        finally:
            self._number -= 1
            if not self._number:
                self._quiet.set()

    def let_pass(self) -> None:
        """Wait until no page is under way, but never long: work must come on beside any load."""
        self._quiet.wait(LONGEST_WAIT_S)


class FewAtOnce:
    """Lets a few requests through and the others wait for their turn, in the order they came.

    Args:
        inner: the application.
        pages: told of every page while it is worked out.
    """

    def __init__(self, inner: ASGIApp, pages: PagesUnderWay) -> None:
        self._inner = inner
        self._pages = pages
        self._turns = Semaphore(MOST_AT_ONCE)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request when it is its turn."""
        if scope["type"] != "http" or _goes_ahead(scope["path"]):
            await self._inner(scope, receive, send)
            return
        with self._pages.one_more():
            async with self._turns:
                with one_reading() if scope["method"] == "GET" else nullcontext():
                    await self._inner(scope, receive, send)


def _goes_ahead(path: str) -> bool:
    return path.startswith(OPEN) or STREAMED in path
