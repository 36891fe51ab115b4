"""What every scene of the story works with."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from tankside.demo.files import Files
from tankside.demo.replay import Replay
from tankside.demo.tell import Teller
from tankside.present.block_text import block_lines
from tankside.present.blocks import Block

Progress = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True)
class StoryStage:
    """The case, the files, the voice, and what tells progress of long steps."""

    replay: Replay
    files: Files
    voice: Teller
    progress: Progress | None

    def show(self, blocks: Iterable[Block]) -> None:
        """Write pieces of an answer, indented, with a blank line between."""
        self.voice.text("\n\n".join("\n".join(block_lines(block)) for block in blocks))
