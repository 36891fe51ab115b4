"""Tell how far a long step has come, on standard error, at most a few times a second."""

from __future__ import annotations

import json
import os
import sys
import time
from collections.abc import Callable

SHORTEST_S = 0.25
AS_LINES, NDJSON = "TANKSIDE_PROGRESS", "ndjson"


def teller(*, quiet: bool) -> Callable[[str, int, int], None] | None:
    """Return what tells progress; None when nothing is to be told.

    On a terminal one line is written over; elsewhere each step is told once, when it ends. With
    ``TANKSIDE_PROGRESS=ndjson`` each time is one JSON object on its line, beside ``--json`` too.
    """
    if os.environ.get(AS_LINES) == NDJSON:
        return _as_object
    if quiet:
        return None
    last = [0.0]
    on_terminal = sys.stderr.isatty()

    def tell(what: str, done: int, total: int) -> None:
        now = time.monotonic()
        ended = done >= total
        if not ended and (not on_terminal or now - last[0] < SHORTEST_S):
            return
        last[0] = now
        start, end = ("\r", "\n" if ended else "") if on_terminal else ("", "\n")
        print(f"{start}{what}: {done} of {total}", end=end, file=sys.stderr, flush=True)

    return tell


def _as_object(what: str, done: int, total: int) -> None:
    told_now = {"progress": what, "done": done, "total": total}
    print(json.dumps(told_now, ensure_ascii=False), file=sys.stderr, flush=True)
