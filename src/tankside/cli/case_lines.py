"""One typed line after another, each saved by itself."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator

from tankside.errors import Mistake
from tankside.quantity.typed_line import parted
from tankside.terminal.output import report

PROMPT = "add> "


def asked_lines() -> Iterator[str]:
    """Yield what is typed, line by line, until an empty line or the end; a terminal is prompted."""
    asks = sys.stdin.isatty()
    while True:
        if asks:
            print(PROMPT, end="", file=sys.stderr, flush=True)
        line = sys.stdin.readline()
        if not line or (asks and not line.strip()):
            return
        yield line


def write_lines(
    lines: Iterable[str], add_line: Callable[[list[str]], None], *, as_json: bool
) -> int:
    """Add each line; one that is refused is told, and the next one is taken.

    Args:
        lines: as typed; blank ones, and those that begin with ``#``, say nothing.
        add_line: saves the words of one line and answers it.
        as_json: whether a refusal is told as JSON.

    Returns:
        The exit code of the last refusal; 0 when none was refused.
    """
    code = 0
    for line in lines:
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        try:
            add_line(parted(line))
        except Mistake as fault:
            code = report(fault, as_json=as_json)
    return code
