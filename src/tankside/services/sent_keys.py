"""Which forms were saved and where they led, kept beside the cases so that a restart forgets none.

A line is on the disk before the answer to its form is given. One that a crash cut short counts as
not there; the entry itself then carries the number of its form, where the store keeps such keys.
"""

from __future__ import annotations

import json
import os
from pathlib import Path

from tankside.errors import CouldNotSave
from tankside.records.whole_file import OWNER_ONLY, write_whole
from tankside.services.drafts import FOLDER

NAME = "sent.jsonl"
MOST_KEPT = 2000


class SentKeys:
    """The numbers of saved forms in one folder of cases."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / FOLDER / NAME

    def read(self) -> dict[str, str]:
        """Return where each form led, the latest last; older ones than 2,000 are dropped."""
        kept: dict[str, str] = {}
        try:
            lines = self._path.read_text(encoding="utf-8").split("\n")
        except (OSError, UnicodeDecodeError):
            return kept
        for line in lines[:-1]:
            try:
                number, onward = json.loads(line)
            except (ValueError, TypeError):
                continue
            kept[str(number)] = str(onward)
        latest = dict(list(kept.items())[-MOST_KEPT:])
        if len(latest) < len(kept):
            write_whole(self._path, b"".join(_line(*pair) for pair in latest.items()))
        return latest

    def keep(self, number: str, onward: str) -> None:
        """Note a saved form; what is noted is on the disk when this returns.

        Raises:
            CouldNotSave: E-DB-04; the entry is saved all the same.
        """
        try:
            self._path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            flags = os.O_WRONLY | os.O_APPEND | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0)
            handle = os.open(self._path, flags, OWNER_ONLY)
            try:
                os.write(handle, _line(number, onward))
                os.fsync(handle)
            finally:
                os.close(handle)
        except OSError as refused:
            raise CouldNotSave(
                "E-DB-04",
                "That this form was saved could not be noted.",
                given=f"{self._path}: {refused.strerror}",
                needed="a folder that may be written to",
                next_step="The entry is saved. Do not send the form again.",
                field="form",
            ) from None


def _line(number: str, onward: str) -> bytes:
    return (json.dumps([number, onward]) + "\n").encode()
