"""Write the entries of the story into its case file, each at the moment it happens."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from pathlib import Path

from tankside.demo import script
from tankside.demo.script import ScriptedEntry
from tankside.errors import BadInput, Mistake
from tankside.intake.clock import VARIABLE
from tankside.quantity.moment import find_zone
from tankside.records.case_store import read_case
from tankside.services import cases

NAME = "EXAMPLE: Kiln Lane"
KEEPER = "Hedda Marlow"


@contextmanager
def time_of_the_story() -> Iterator[None]:
    """Keep the present of the story apart: what was set before is set again afterwards."""
    before = os.environ.get(VARIABLE)
    try:
        yield
    finally:
        if before is None:
            os.environ.pop(VARIABLE, None)
        else:
            os.environ[VARIABLE] = before


@dataclass(frozen=True, slots=True)
class Replay:
    """The case file of the story."""

    path: Path

    def at(self, day: int, clock: time) -> None:
        """Set the present of the story to a time on a day of the case."""
        zone = find_zone(script.ZONE)
        os.environ[VARIABLE] = datetime.combine(self.day(day), clock, zone).isoformat()

    def day(self, number: int) -> date:
        """Return the calendar day of a day of the case."""
        return date.fromisoformat(script.FIRST_DAY) + timedelta(days=number)

    def number(self, day: date) -> int:
        """Return the day of the case of a calendar day."""
        return (day - date.fromisoformat(script.FIRST_DAY)).days

    def open(self) -> None:
        """Open the case.

        Raises:
            BadInput: E-PATH-03 a file of that name is there and is not this example.
        """
        clear_example(self.path)
        os.environ[VARIABLE] = f"{script.OPENED}+00:00"
        opening = cases.Opening(
            NAME, KEEPER, "fresh", script.ZONE, opened=script.OPENED, call=script.CALL
        )
        cases.new_case(self.path, opening, by=script.BY)

    def add(self, entries: Iterable[ScriptedEntry]) -> None:
        """Add entries as they would be typed."""
        for entry in entries:
            cases.add_words(self.path, entry.kind, entry.words, by=script.BY)


def clear_example(path: Path) -> None:
    """Remove the case file of an earlier telling, and nothing else.

    Raises:
        BadInput: E-PATH-03 a file of that name is there and is not this example.
    """
    if not path.exists():
        return
    try:
        mine = read_case(path).view().name == NAME
    except Mistake:
        mine = False
    if not mine:
        raise BadInput(
            "E-PATH-03",
            "A file with this name is there and is not this example; it is left as it is.",
            given=path,
            needed="a folder without it",
            next_step="Choose another folder with --out.",
            field="out",
        )
    path.unlink()
