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
        self.lines(("", *(f"  {line}".rstrip() for line in text.rstrip("\n").split("\n")), ""))
