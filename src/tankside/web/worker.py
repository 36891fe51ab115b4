"""Work that takes seconds, done once for each state of a case, away from the pages."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from threading import Lock
from typing import Any, TypeVar, cast

MOST_KEPT = 32
MOST_WAITING = 5
"""One at work and four in the queue; a further one is asked for again by its own page."""

T = TypeVar("T")


class Worker:
    """Plays one piece of work at a time and keeps the latest results."""

    def __init__(self) -> None:
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="work")
        self._known: OrderedDict[str, Future[Any]] = OrderedDict()
        self._lock = Lock()

    def result(self, key: str, work: Callable[[], T]) -> T | None:
        """Return what the work gave, or None while it is waiting or running.

        Args:
            key: names the state it belongs to (the digest of a case file) and the work.
            work: started when the key is new and the queue is not full.
        """
        with self._lock:
            future = self._known.get(key)
            if future is None:
                if sum(not future.done() for future in self._known.values()) >= MOST_WAITING:
                    return None
                future = self._known[key] = self._pool.submit(work)
                while len(self._known) > MOST_KEPT:
                    self._known.popitem(last=False)
        return cast(T, future.result()) if future.done() else None

    def kept(self, key: str) -> object | None:
        """Return what a piece of work gave, if it was done and is still kept; start nothing."""
        with self._lock:
            future = self._known.get(key)
        return future.result() if future is not None and future.done() else None
