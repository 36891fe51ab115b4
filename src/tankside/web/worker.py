"""Work that takes seconds, done once for each state of a case, away from the pages."""

from __future__ import annotations

import os
import sys
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from enum import StrEnum
from threading import Lock, get_native_id
from typing import Any, Generic, TypeVar, cast

MOST_KEPT = 32
MOST_WAITING = 5
"""One at work and four in the queue; a further one is asked for again by its own page."""

RANK = 10
"""How far long work steps back behind the pages, as ``nice`` counts it."""

T = TypeVar("T")


class JobState(StrEnum):
    """How far a piece of work is."""

    WAITING = "waiting"
    DONE = "done"
    CANCELLED = "cancelled"


class Cancelled(Exception):
    """Raised inside a piece of work that somebody stopped."""


class Job(Generic[T]):
    """One piece of work: how far it has come, a first rough result, the result.

    It is stopped where it tells of its progress; what it was asked for stays as it is.

    Args:
        let_pass: waits while something else goes first.
    """

    def __init__(self, let_pass: Callable[[], None]) -> None:
        self._let_pass = let_pass
        self.what, self.done, self.total = "waiting for its turn", 0, 0
        self.early: T | None = None
        self._future: Future[T | None] | None = None
        self._stop = False

    @property
    def state(self) -> JobState:
        """Whether it waits or runs, is done, or was stopped."""
        if self._future is None or not self._future.done():
            return JobState.WAITING
        return JobState.CANCELLED if self._future.cancelled() or self._stop else JobState.DONE

    @property
    def result(self) -> T | None:
        """What it gave; None until it is done."""
        if self.state is not JobState.DONE or self._future is None:
            return None
        return self._future.result()

    def tell(self, what: str, done: int, total: int) -> None:
        """Take note of how far a step has come; the work itself calls this.

        Raises:
            Cancelled: somebody stopped the work.
        """
        if self._stop:
            raise Cancelled
        self.what, self.done, self.total = what, done, total
        self._let_pass()

    def cancel(self) -> None:
        """Stop the work where it next tells of its progress."""
        self._stop = True
        if self._future is not None:
            self._future.cancel()

    def run(self, pool: ThreadPoolExecutor, work: Callable[[Job[T]], T]) -> None:
        """Hand the work to a pool."""

        def guarded() -> T | None:
            try:
                return work(self)
            except Cancelled:
                return None

        self._future = pool.submit(guarded)


def _nothing_else() -> None:
    """Go on at once."""


def step_back() -> None:
    """Let pages go before the work of this thread, where threads have a rank of their own."""
    if sys.platform == "linux":
        os.setpriority(os.PRIO_PROCESS, get_native_id(), RANK)


class Worker:
    """Does one piece of work at a time and keeps the latest results.

    Args:
        let_pass: called at every step of the work; waits while something else goes first.
    """

    def __init__(self, let_pass: Callable[[], None] = _nothing_else) -> None:
        self._let_pass = let_pass
        self._pool = ThreadPoolExecutor(1, "work", initializer=step_back)
        self._jobs: OrderedDict[str, Job[Any]] = OrderedDict()
        self._lock = Lock()

    def job(self, key: str, work: Callable[[Job[T]], T]) -> Job[T]:
        """Return a piece of work, started if it is new and the queue is not full.

        Args:
            key: names the state it belongs to (the digest of a case file) and the work.
            work: what to do; it is handed its own job, to tell of its progress.
        """
        with self._lock:
            job = self._jobs.get(key)
            if job is not None:
                return cast(Job[T], job)
            job = Job[T](self._let_pass)
            waiting = sum(other.state is JobState.WAITING for other in self._jobs.values())
            if waiting < MOST_WAITING:
                self._jobs[key] = job
                job.run(self._pool, work)
                while len(self._jobs) > MOST_KEPT:
                    self._jobs.popitem(last=False)
            return job

    def started(self, key: str) -> Job[Any] | None:
        """Return a piece of work that was started and is still kept; start nothing."""
        with self._lock:
            return self._jobs.get(key)

    def forget(self, key: str) -> None:
        """Drop a piece of work, so that it is started anew when it is asked for."""
        with self._lock:
            self._jobs.pop(key, None)
