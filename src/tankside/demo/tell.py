"""Tell a story on the terminal: headings, wrapped text, what people say."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

WIDTH = 92


class Teller:
    """Writes to standard output; silent when only the result is wanted."""

    def __init__(self, *, silent: bool = False) -> None:
        self._silent = silent

    def scene(self, title: str) -> None:
        """Begin a scene."""
        self.lines(("", f"== {title} ".ljust(WIDTH, "="), ""))

    def say(self, text: str) -> None:
        """Write a paragraph, wrapped."""
        self.lines(textwrap.wrap(text, WIDTH, break_long_words=False, break_on_hyphens=False))

    def quote(self, who: str, text: str) -> None:
        """Write what somebody says."""
        self.say(f'{who}: "{text}"')

    def lines(self, lines: Iterable[str]) -> None:
        """Write lines as they are."""
        if not self._silent:
            for line in lines:
                print(line, flush=True)

    def text(self, text: str) -> None:
        """Write a block of lines, indented, with a blank line around."""
        wrapped = (part for line in text.rstrip("\n").split("\n") for part in _wrapped(line))
        self.lines(("", *(f"  {line}".rstrip() for line in wrapped), ""))


def _wrapped(line: str) -> list[str]:
    """Break a long line, keeping its indent and hanging what follows."""
    if len(line) <= WIDTH:
        return [line]
    indent = line[: len(line) - len(line.lstrip())]
    return textwrap.wrap(
        line,
        WIDTH,
        subsequent_indent=f"{indent}    ",
        break_long_words=False,
        break_on_hyphens=False,
        drop_whitespace=True,
    )
