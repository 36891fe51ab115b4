"""The longest life that print gives for an organism at a temperature, beside the slow cycle."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.claims import Knowledge
from tankside.lifecycle.inputs.published_durations import (
    Beside,
    PublishedDuration,
    published_durations,
)

WHOLE = "whole cycle"
LIVES = frozenset(
    ("cycle time", "length", "length in passage", "egg to maturity", "hatch and mature")
)
"""What a whole cycle is called where its time is printed."""
RELEASES = frozenset(
    (
        "time to theront release", "time to theronts", "division time", "time to hatch",
        "time to first hatch", "hatched by",
    )
)  # fmt: skip
"""What the time on the bottom until the young are released is called."""
STAYS = frozenset(("time on host", "lifespan"))
"""What the time on the fish is called."""
HOLDS = frozenset((Beside.AT, Beside.WARMER, Beside.NOT_SAID, Beside.NOT_MEASURED))
"""Times that hold here: in colder water than printed a life takes longer, never shorter."""


@dataclass(frozen=True, slots=True)
class PrintedTail:
    """The longest life in print.

    Args:
        days: from release to release [d].
        words: what it is and where it stands.
    """

    days: float
    words: str


def printed_tail(organism: str, facts: Knowledge, temperature_c: float) -> PrintedTail | None:
    """Return the longest life in print that holds at a temperature; None where none is printed.

    A whole cycle as printed, or the longest time to release added to the longest stay on the
    fish, whichever is longer. Times printed for colder water are left out: here it is sooner.

    Args:
        organism: its id.
        facts: what is known.
        temperature_c: as measured [C].
    """
    times = [
        time
        for time in published_durations(organism, facts, temperature_c)
        if time.high_d is not None and time.beside in HOLDS
    ]
    whole = _longest([t for t in times if t.part == WHOLE and t.what in LIVES])
    release = _longest([t for t in times if t.what in RELEASES])
    stay = _longest([t for t in times if t.what in STAYS])
    lives = [_tail((part,)) for part in (whole, release) if part is not None]
    if release is not None and stay is not None:
        lives.append(_tail((release, stay)))
    return max(lives, key=lambda life: life.days, default=None)


def _longest(times: list[PublishedDuration]) -> PublishedDuration | None:
    return max(times, key=lambda time: time.high_d or 0.0, default=None)


def _tail(parts: tuple[PublishedDuration, ...]) -> PrintedTail:
    days = sum(part.high_d or 0.0 for part in parts)
    named = " and ".join(
        f"{part.part} {part.what} ({part.beside}; {part.claim.source or part.claim.provenance})"
        for part in parts
    )
    return PrintedTail(days, f"the longest in print is {days:.0f} days: {named}")
