"""Whether a day of the course counts: the strength stayed in its useful range."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.course.bodies.words import show


@dataclass(frozen=True, slots=True)
class CountedDay:
    """Whether the strength stayed in range through one day.

    ``low_mg_l`` is the lowest reading of the day, or the low edge where ``read`` is False;
    ``needed_mg_l`` the lowest useful strength.
    """

    day: int
    body: str
    agent: str
    low_mg_l: float
    needed_mg_l: float
    read: bool

    @property
    def counts(self) -> bool:
        """Whether the day counts."""
        return self.low_mg_l >= self.needed_mg_l

    @property
    def why(self) -> str:
        """Say what the day is judged by."""
        how = "lowest reading" if self.read else "lowest that is sure, no reading"
        return f"{how} {show(self.low_mg_l, 'mg/L')}; needed {show(self.needed_mg_l, 'mg/L')}"
