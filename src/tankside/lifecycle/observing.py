"""What a person sees is not the truth: how likely are these counts in each history?"""

from __future__ import annotations

from dataclasses import dataclass

from tankside.lifecycle.types import Floats, Histories


@dataclass(frozen=True, slots=True)
class Sighting:
    """Counts made at one moment on some fish of one group.

    ``how``: "spots" (by eye, on skin and fins) or "scrape" (parasites on a slide of skin or
    gill). ``counts`` holds one number per fish looked at; when only the worst fish or the mean
    of the group was written down, ``kind`` says so ("each", "worst" or "mean") and ``fish_seen``
    how many were looked at. ``how`` "deaths" counts dead fish since the moment ``since_h``.
    """

    hour: int
    group: str
    how: str
    counts: tuple[float, ...]
    kind: str = "each"
    fish_seen: int = 0
    since_h: int = 0


def observe(histories: Histories, sightings: tuple[Sighting, ...]) -> Floats:
    """Return the log-likelihood of the sightings in each history, shape (R,).

    Counts are over-dispersed about what is visible in the history (negative binomial), so that
    one count never decides alone. Call run() with ``record_h`` at the hours of the sightings.
    """
    raise NotImplementedError
